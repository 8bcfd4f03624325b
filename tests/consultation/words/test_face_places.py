"""Where on the face something was seen, in words that a person would use."""

import pytest

from tenter.consultation.words.face_places import seen_where


@pytest.mark.parametrize(
    ("regions", "words"),
    [
        ([], ""),
        (["", "  "], ""),
        (["jaw"], ", seen at the jaw"),
        (["under-eye"], ", seen under the eye"),
        (["Whole", "whole face"], ", seen over the whole face"),
        (["jaw", "eye white", "jaw"], ", seen at the jaw and in the eye white"),
        (["right-jaw"], ", seen at the right jaw"),
    ],
)
def test_each_place_is_named_once_and_with_its_own_preposition(regions, words):
    assert seen_where(regions) == words
