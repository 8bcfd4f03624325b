"""Skin lightness by the individual typology angle (ITA)."""

import math
from enum import StrEnum

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.errors import TenterError


class ItaClass(StrEnum):
    """Classes of the individual typology angle, lightest first."""

    VERY_LIGHT = "very light"
    LIGHT = "light"
    INTERMEDIATE = "intermediate"
    TAN = "tan"
    BROWN = "brown"
    DARK = "dark"


# Degrees above which each class begins: Chardon et al. (1991); Del Bino and Bernerd (2013).
_ABOVE_DEGREES = (
    (55, ItaClass.VERY_LIGHT),
    (41, ItaClass.LIGHT),
    (28, ItaClass.INTERMEDIATE),
    (10, ItaClass.TAN),
    (-30, ItaClass.BROWN),
)


def individual_typology_angle(lab: ArrayLike) -> FloatArray:
    """Return ITA = arctan((L* - 50) / b*) in degrees, shape (...), of CIELAB (..., 3).

    Defined for the b* > 0 of skin; the two-argument arctangent keeps it continuous where b* touches 0.

    Source: A. Chardon, I. Cretois, C. Hourseau (1991), Int. J. Cosmet. Sci. 13(4), 191-208.
    """
    values = np.asarray(lab, dtype=float)
    degrees: FloatArray = np.degrees(np.arctan2(values[..., 0] - 50, values[..., 2]))
    return degrees


def ita_class(ita_degrees: float) -> ItaClass:
    """Return the class of an ITA; a value on a border belongs to the darker class. Raises `TenterError` for NaN."""
    if math.isnan(ita_degrees):  # compares false with every border, and would pass for the darkest class
        raise TenterError("a typology angle that is not a number has no class; check that the reading has L* and b*")
    return next((name for above, name in _ABOVE_DEGREES if ita_degrees > above), ItaClass.DARK)
