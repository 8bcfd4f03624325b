"""The published warm-cool scale for single colours, checked against worked values of another program.

Source: L.-C. Ou, M. R. Luo, A. Woodcock, A. Wright (2004), A study of colour emotion and colour preference, part I,
Color Research and Application 29(3), 232-240. The paper was not read: the constants stand alike in two public programs.
The scale comes from patches on grey judged by observers, not from faces.
"""

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.spaces import chroma, hue_angle, srgb_to_lab

NEUTRAL = -0.5  # what a grey scores
# sRGB and its warm-cool value, printed in the tests of the Material color utilities (Apache-2.0).
WORKED = {
    (0.0, 0.0, 1.0): -1.393,
    (1.0, 0.0, 0.0): 2.351,
    (0.0, 1.0, 0.0): -0.267,
    (1.0, 1.0, 1.0): -0.5,
    (0.0, 0.0, 0.0): -0.5,
}
# Their Lab differs from ours in the last digits of the sRGB matrix, so half the last printed digit cannot be asked.
WORKED_TOLERANCE = 0.002


def warm_cool(lab: ArrayLike) -> FloatArray:
    """Return the warm-cool value of CIELAB colours (..., 3); warm is higher."""
    hue = np.radians(hue_angle(lab) - 50)
    value: FloatArray = NEUTRAL + 0.02 * chroma(lab) ** 1.07 * np.cos(hue)
    return value


def worked_error() -> float:
    """Return the largest difference from the worked values."""
    return max(abs(float(warm_cool(srgb_to_lab(rgb))) - value) for rgb, value in WORKED.items())
