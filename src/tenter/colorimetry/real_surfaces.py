"""How strong the colours of real surfaces are: Pointer's gamut, carried to the light and observer that are asked for.

Source: M. R. Pointer (1980), "The gamut of real surface colours", Color Research and Application 5(3), 145-155: the
most chroma of surfaces at 16 levels of L* and 36 hue angles, in CIELAB under illuminant C and the 2 degree observer.
"""

from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import ArrayLike, BoolArray, FloatArray
from tenter.colorimetry.illuminants import Observer
from tenter.colorimetry.measurement import D65_10, Colours, Conditions
from tenter.colorimetry.spaces import lab_to_lch, lch_to_lab

POINTER = Conditions("C", Observer.CIE_1931_2)
_FAINT = 0.1  # C*ab
_ENDS = (0.0, 100.0)  # L* of black and white, where no surface has chroma; the table runs from 15 to 90


def most_chroma(lightness: ArrayLike, hue_angle: ArrayLike, conditions: Conditions = D65_10) -> FloatArray:
    """Return the most C*ab (...) that a real surface has at L* (...) and hue angles (...) in degrees, which broadcast.

    Between the table's points it is linear in hue, then in L*. Under other conditions than those of the table its
    points are carried there by a recovered reflectance each: a prediction.
    """
    wanted, hues = np.broadcast_arrays(np.asarray(lightness, dtype=float), np.asarray(hue_angle, dtype=float))
    rings = [(_around(hues, ring, 0), _around(hues, ring, 1)) for ring in _rings(conditions)]
    levels = np.stack(
        [np.full(wanted.shape, _ENDS[0]), *(level for level, _ in rings), np.full(wanted.shape, _ENDS[1])]
    )
    chromas = np.stack([np.zeros(wanted.shape), *(chroma for _, chroma in rings), np.zeros(wanted.shape)])
    columns = zip(wanted.ravel(), levels.reshape(len(levels), -1).T, chromas.reshape(len(levels), -1).T, strict=True)
    return np.array([np.interp(at, level, chroma) for at, level, chroma in columns]).reshape(wanted.shape)


def is_real_surface(lab: ArrayLike, conditions: Conditions = D65_10) -> BoolArray:
    """Tell of each CIELAB colour (..., 3) whether real surfaces are as strong, within Pointer's gamut: shape (...)."""
    lightness, chroma, hue = np.moveaxis(lab_to_lch(lab), -1, 0)
    inside: BoolArray = chroma <= most_chroma(lightness, hue, conditions)
    return inside


def _around(hues: FloatArray, ring: FloatArray, column: int) -> FloatArray:
    found: FloatArray = np.interp(hues, ring[:, 2], ring[:, column], period=360.0)
    return found


@cache
def _rings(conditions: Conditions) -> tuple[FloatArray, ...]:
    """Return L*, C* and h of the table's points, one array (36, 3) for each of its levels, under the conditions."""
    points = pointer_table()
    if conditions == POINTER:
        return tuple(points)
    points = np.maximum(points, (0, _FAINT, 0))  # without chroma a point would lose its hue
    carried = Colours(lch_to_lab(points), POINTER).under(conditions).lab
    return tuple(lab_to_lch(carried))


@cache
def pointer_table() -> FloatArray:
    """Return Pointer's table as L*, C*ab and h_ab, shape (16, 36, 3), under illuminant C by the 2 degree observer."""
    text = (files("tenter.colorimetry") / "data" / "pointer_1980.csv").read_text(encoding="utf-8")
    head, *rows = [line.split(",") for line in text.splitlines() if not line.startswith("#")]
    hues = [float(hue) for hue in head[1:]]
    table = np.array(
        [[(row[0], chroma, hue) for chroma, hue in zip(row[1:], hues, strict=True)] for row in rows], float
    )
    table.setflags(write=False)
    return table
