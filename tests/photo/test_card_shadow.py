"""A shadow or a finger on part of the card, which the fit could swallow, is found out; a clear card is not."""

import numpy as np
import pytest

from card_faults import fingered, shaded
from tenter.photo.card import ChartKind, look_for_card
from tenter.photo.gate import Code
from tenter.photo.loading import Photo


def refused(rgb) -> set[Code]:
    found = look_for_card(Photo(np.ascontiguousarray(rgb)), ChartKind.CLASSIC24)
    return {reason.code for reason in found.reasons if reason.refuses}


@pytest.mark.parametrize("box", [(-0.1, -0.1, 0.5, 1.2), (-0.1, 0.5, 1.1, 1.2)], ids=["lengthwise", "across"])
def test_a_shadow_over_half_the_card_is_found_out(portrait, box):
    left, top, right, bottom = portrait.card_box
    corners = np.array([[left, top], [right, top], [right, bottom], [left, bottom]], dtype=float)
    assert refused(portrait.rgb) == set()
    assert refused(shaded(portrait.rgb, corners, box, 0.4)) == {Code.CHART_COVERED}


def test_a_finger_over_two_patches_is_found_out(portrait):
    left, top, right, bottom = portrait.card_box
    corners = np.array([[left, top], [right, top], [right, bottom], [left, bottom]], dtype=float)
    assert refused(fingered(portrait.rgb, corners, (0, 0.5, 0.25, 5 / 6))) == {Code.CHART_COVERED}
