"""How a consultant answers, in words."""

import pytest

from tenter.report.on_screen.answering import answering_words


@pytest.mark.parametrize(
    ("noise", "cuts", "first", "second"),
    [
        (0.7, 0.7, "vary less than", "difference sooner."),
        (0.85, 0.9, "vary a little less than", "difference a little sooner."),
        (1.0, 1.0, "vary as much as", "about when Tenter expects it."),
        (1.15, 1.1, "vary a little more than", "difference a little later."),
        (1.5, 1.4, "vary more than", "difference later."),
    ],
)
def test_words_follow_noise_and_cut_points(noise, cuts, first, second):
    words = answering_words(noise, cuts)
    assert first in words[0]
    assert second in words[1]
