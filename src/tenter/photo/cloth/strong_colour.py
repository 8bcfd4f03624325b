"""A colour stronger than the picture can hold: a channel at black says *this little or less*, and no more.

What the channel would have been takes light of its own colour away from what was read, so the true colour lies on a
line that goes on outward, at the furthest to where no real surface is stronger (M. R. Pointer 1980). The middle of that
line is the estimate, and the line is within its interval. The channels' colours are those of sRGB, whatever the camera.
"""

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.real_surfaces import POINTER, is_real_surface
from tenter.colorimetry.spaces import SRGB_TO_XYZ, xyz_to_lab
from tenter.photo.patches.correction import D65_WHITE

LOST_FROM = 0.5  # part of a cloth with a channel at black from which its colour is no longer in the picture
_STEPS = np.linspace(0.0, 0.5, 201)  # of a channel's light, below black
_LEAST = 1e-4  # of X, Y and Z
_WITHIN_90 = 0.9  # of a line on which every place is as likely, about its middle


def beyond_the_picture(xyz: FloatArray, channels: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the likeliest XYZ (3,) of a cloth, and the half-widths (3,) in Lab that not knowing a channel adds.

    xyz: as read, D65/2°. channels: (3,), the part of the cloth in which red, green and blue are at black. Up to
    `LOST_FROM` nothing changes, as what is left tells the colour; from there to 1 the line grows to its whole length.
    """
    whole = float(np.clip((channels.max() - LOST_FROM) / (1 - LOST_FROM), 0, 1))
    if whole == 0:
        return xyz, np.zeros(3)
    away = SRGB_TO_XYZ @ np.where(channels > LOST_FROM, channels, 0.0)
    ends = xyz - away * np.array([[0.0], [whole * _furthest(xyz, away)]])
    read, last = (xyz_to_lab(np.maximum(end, _LEAST), D65_WHITE) for end in ends)
    return ends.mean(axis=0), _WITHIN_90 * np.abs(last - read) / 2


def _furthest(xyz: FloatArray, away: FloatArray) -> float:
    """Return how far the colour may go on before no real surface is as strong."""
    line = xyz - _STEPS[:, None] * away
    # Under D65 instead of the table's own light the border moves by less than it is known.
    real = is_real_surface(xyz_to_lab(np.maximum(line, _LEAST), D65_WHITE), POINTER)
    impossible = np.flatnonzero(~real | (line <= _LEAST).any(axis=1))
    return float(_STEPS[max(int(impossible[0]) - 1, 0) if len(impossible) else -1])
