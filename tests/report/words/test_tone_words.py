"""A learned tone curve in plain words: what the phone does, not what undoes it."""

import pytest

from tenter.photo.camera.tone_prior import TonePrior
from tenter.photo.patches.correction import ToneCurve
from tenter.report.words.tone_words import tone_words

CURVES = [
    (
        (0.3, -0.2, 0.8),
        "Its pictures have more contrast and lighter middle tones than a plain picture. It changes mostly",
    ),
    ((-0.3, 0.0, 0.4), "Its pictures have less contrast than a plain picture. It changes partly lightness"),
    (
        (0.05, 0.2, 0.0),
        "Its pictures have darker middle tones than a plain picture. It changes red, green and blue each",
    ),
    ((0.05, -0.05, 0.0), "Its tones are those of a plain picture. "),
]


@pytest.mark.parametrize(("mean", "words"), CURVES)
def test_a_curve_is_told_by_what_the_phone_does(mean, words):
    assert tone_words(TonePrior(mean, (0.1, 0.1, 0.1))).startswith(words)


def test_the_words_are_of_the_picture_as_the_curve_leaves_it():
    """A curve that has to be lightened in its middle tones to be plain belongs to a phone that darkens them."""
    undone = ToneCurve(0.0, 0.2).linear([0.5]) > ToneCurve(0.0, 0.0).linear([0.5])
    assert undone.all()
    assert "darker middle tones" in tone_words(TonePrior((0.0, 0.2, 0.0), (0.1, 0.1, 0.1)))
