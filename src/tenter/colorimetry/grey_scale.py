"""The grey scale for a change in colour: which grade a textile's change would be given, computed from two colours.

Source: ISO 105-A05:1996, Textiles, Tests for colour fastness, instrumental assessment of change in colour for
determination of grey scale rating. Its formula, its constants and the borders of its steps are from memory, and agree
with two programs of others that compute it (one in Fortran, one in C#). The greys of ISO 105-A02:1993, whose nominal
differences are published, come out at their own grades (tests/colorimetry/test_grey_scale.py).
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import ArrayLike, FloatArray, steady
from tenter.colorimetry.spaces import lab_to_lch

# Where chroma and hue count half, in C*ab; the standard writes them as 20 C/1000 and 10 C/1000, squared.
_CHROMA_HALVED, _HUE_HALVED = 50.0, 100.0
_BLUE, _BLUE_WIDTH = 280.0, 30.0  # degrees: about blue a change of chroma looks like one of hue too
_PER_GRADE = 1.7  # of the difference, from grade 5 down to 3; below 3 each grade is twice the difference
_LINEAR_TO, _GEOMETRIC_FROM = 3.4, 0.85  # of the difference: where grade 3 is, and what log2 counts from
WORST_GRADE, BEST_GRADE = 1.0, 5.0
# Each step up to a difference that is still in it, as the standard's table has them; above the last the step is 1.
_STEPS = (
    (0.40, "5"),
    (1.25, "4-5"),
    (2.10, "4"),
    (2.95, "3-4"),
    (4.10, "3"),
    (5.80, "2-3"),
    (8.20, "2"),
    (11.60, "1-2"),
)
_LAST_STEP = "1"


@dataclass(frozen=True, slots=True)
class GreyScaleGrade:
    """A grade on the grey scale. difference: the standard's own, above 0. value: 1 to 5, 5 for no change; step: 5 to 1.

    The step is what a person with the scale in hand would name: one of 5, 4-5, 4, 3-4, 3, 2-3, 2, 1-2 and 1.
    """

    difference: float
    value: float
    step: str


def grey_scale_difference(before: ArrayLike, after: ArrayLike) -> FloatArray:
    """Return ΔE_F of ISO 105-A05, shape (...), between CIELAB (..., 3) of the original and of the treated textile.

    Both under D65 by the 10 degree observer, as the standard asks.
    """
    first, second = np.broadcast_arrays(np.asarray(before, dtype=float), np.asarray(after, dtype=float))
    (L1, C1, h1), (L2, C2, h2) = np.moveaxis(lab_to_lch(first), -1, 0), np.moveaxis(lab_to_lch(second), -1, 0)
    C_mean, h_mean = (C1 + C2) / 2, _mean_hue(h1, h2)
    dC, dH = C2 - C1, 2 * np.sqrt(C1 * C2) * np.sin(np.radians(h2 - h1) / 2)
    dH = np.where(steady(np.abs(h2 - h1)) > 180, -dH, dH)  # the shorter way round
    away = np.abs(h_mean - _BLUE)
    x = (np.minimum(away, 360 - away) / _BLUE_WIDTH) ** 2
    D = dC * C_mean * np.exp(-x) / 100
    dC_F = (dC - D) / (1 + (C_mean / _CHROMA_HALVED) ** 2)
    dH_F = (dH - D) / (1 + (C_mean / _HUE_HALVED) ** 2)
    difference: FloatArray = np.sqrt((L2 - L1) ** 2 + dC_F**2 + dH_F**2)
    return difference


def _mean_hue(h1: FloatArray, h2: FloatArray) -> FloatArray:
    """Return the hue angle between two, in degrees, by the shorter way round."""
    total = h1 + h2
    across = np.where(total < 360, total / 2 + 180, total / 2 - 180)
    return np.where(steady(np.abs(h2 - h1)) <= 180, total / 2, across)


def grey_scale_grade(before: ArrayLike, after: ArrayLike) -> GreyScaleGrade:
    """Return the grade of a change from one CIELAB colour (3,) to another, both under D65 by the 10 degree observer."""
    difference = float(steady(grey_scale_difference(before, after)))
    if difference <= _LINEAR_TO:
        value = BEST_GRADE - difference / _PER_GRADE
    else:
        value = BEST_GRADE - float(np.log2(difference / _GEOMETRIC_FROM))
    step = next((name for least, name in _STEPS if difference <= least), _LAST_STEP)
    return GreyScaleGrade(difference, max(value, WORST_GRADE), step)
