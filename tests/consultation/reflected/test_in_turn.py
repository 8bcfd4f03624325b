"""Photographs that were said to show two drapes in turn, and do not."""

import numpy as np
import pytest

from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.in_turn import require_apart, require_in_turn
from tenter.errors import Refused

WHITE = ThrowingSurface("white", np.full(81, 0.86), recovered=False)
GREY = ThrowingSurface("grey", np.full(81, 0.7), recovered=False)
BLACK = ThrowingSurface("black", np.full(81, 0.03), recovered=False)


def why_not_in_turn(*said):
    try:
        require_in_turn(*said)
    except Refused as refused:
        return str(refused)
    return ""


@pytest.mark.parametrize(
    ("letters", "drape"),
    [
        ("ABAB", (0.9, 0.03, 0.95, 0.02)),
        ("ABAB", (0.4, 0.1, 0.5, 0.08)),
        ("ABABAB", (0.9, 0.03, None, 0.02, 0.9, 0.03)),
        ("ABAB", (None, None, None, 0.02)),
        ("ABAB", ()),
    ],
)
def test_drapes_in_turn_are_let_through_and_so_is_what_nobody_saw(letters, drape):
    assert why_not_in_turn(letters, drape, WHITE, BLACK) == ""
    assert why_not_in_turn(letters.translate({65: 66, 66: 65}), drape, BLACK, WHITE) == ""


@pytest.mark.parametrize(
    ("drape", "words"),
    [
        ((0.03, 0.9, 0.02, 0.9), "mixed up: photographs 1 and 3 were said to show the lighter"),
        ((0.9, 0.03, 0.03, 0.9), "Photographs 3 and 4 show the other drape"),
        ((0.9, 0.03, 0.9, 0.9), "Photograph 4 shows the other drape"),
        ((0.9, 0.88, 0.86, 0.9), "equally light in all photographs"),
        ((0.03, 0.035, None, 0.03), "equally light in all photographs"),
    ],
)
def test_what_is_not_in_turn_is_refused_by_its_photographs(drape, words):
    with pytest.raises(Refused, match=words):
        require_in_turn("ABAB", drape, WHITE, BLACK)


def test_cloths_too_alike_measure_nothing():
    require_apart(BLACK, WHITE)
    with pytest.raises(Refused, match="Use a white and a black"):
        require_apart(WHITE, GREY)
