"""ISO 105-A05: the greys of ISO 105-A02 have their own grades, and the formula is that of an independent program."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenter.colorimetry.grey_scale import grey_scale_difference, grey_scale_grade

# ISO 105-A02:1993 (EN 20105-A02:1994), 2.4: CIELAB difference of each pair of greys, which differ in lightness alone.
GREYS = {
    "5": 0.0,
    "4-5": 0.8,
    "4": 1.7,
    "3-4": 2.5,
    "3": 3.4,
    "2-3": 4.8,
    "2": 6.8,
    "1-2": 9.6,
    "1": 13.6,
}
colours = st.tuples(st.floats(0, 100), st.floats(-80, 80), st.floats(-80, 80))


@pytest.mark.parametrize("step", GREYS)
@pytest.mark.parametrize("way", [1, -1])
def test_the_greys_of_the_scale_have_their_own_grades(step, way):
    found = grey_scale_grade([50, 0, 0], [50 + way * GREYS[step], 0, 0])
    assert found.step == step
    assert found.difference == pytest.approx(GREYS[step])
    middle = sum(map(float, step.split("-"))) / len(step.split("-"))
    assert found.value == pytest.approx(middle, abs=0.05)


def by_angles(before, after):
    """The difference as a program reads it that knows C and h alone, step by step (Ulshoefer's, in Fortran)."""
    (L1, a1, b1), (L2, a2, b2) = before, after
    C1, C2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = math.degrees(math.atan2(b1, a1)) % 360, math.degrees(math.atan2(b2, a2)) % 360
    whole = math.dist(before, after)
    hue = math.sqrt(max(whole**2 - (L2 - L1) ** 2 - (C2 - C1) ** 2, 0)) * math.copysign(1, a1 * b2 - a2 * b1)
    mean_c, mean_h = (C1 + C2) / 2, (h1 + h2) / 2
    if abs(h2 - h1) > 180:
        mean_h += 180 if h1 + h2 < 360 else -180
    x = ((mean_h - 280) / 30) ** 2 if abs(mean_h - 280) <= 180 else ((360 - abs(mean_h - 280)) / 30) ** 2
    shared = (C2 - C1) * mean_c * math.exp(-x) / 100
    return math.sqrt(
        (L2 - L1) ** 2
        + ((C2 - C1 - shared) / (1 + (20 * mean_c / 1000) ** 2)) ** 2
        + ((hue - shared) / (1 + (10 * mean_c / 1000) ** 2)) ** 2
    )


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ((40, 5, -40), (42, 3, -30)),
        ((40, 30, -20), (41, 28, -26)),
        ((60, 40, 3), (58, 41, -4)),
        ((60, 30, -2), (61, 28, 5)),
        ((80, -10, 40), (82, -6, 30)),
        ((30, 0.5, -9), (35, -2, -3)),
    ],
)
def test_the_formula_is_that_of_another_program(before, after):
    assert float(grey_scale_difference(before, after)) == pytest.approx(by_angles(before, after), abs=1e-9)


@given(colours)
def test_no_change_is_grade_5(colour):
    found = grey_scale_grade(colour, colour)
    assert (found.difference, found.value, found.step) == (0.0, 5.0, "5")


@given(colours, colours)
def test_a_grade_is_from_5_to_1_and_falls_with_the_difference(before, after):
    found = grey_scale_grade(before, after)
    assert 1 <= found.value <= 5
    further = np.array(before) + 2 * (np.array(after) - np.array(before)) * [1, 0, 0]
    nearer = np.array(before) + (np.array(after) - np.array(before)) * [1, 0, 0]
    assert grey_scale_grade(before, further).value <= grey_scale_grade(before, nearer).value


def test_differences_come_for_many_colours_at_once():
    before, after = np.array([[40.0, 5, -40], [60, 40, 3]]), np.array([[42.0, 3, -30], [58, 41, -4]])
    each = [float(grey_scale_difference(one, other)) for one, other in zip(before, after, strict=True)]
    assert grey_scale_difference(before, after) == pytest.approx(each)
    assert each[0] != each[1]
