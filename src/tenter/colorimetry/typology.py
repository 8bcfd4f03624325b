"""Skin lightness by the individual typology angle (ITA), and the mean reflectance of measured skin in each class."""

import math
from enum import StrEnum
from functools import cache
from importlib.resources import files

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


_EVERYBODY = "everybody"  # the table's column of all classes together
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


def mean_skin_reflectance() -> FloatArray:
    """Return the mean reflectance of 100 forearms, 0 to 1, shape (81,) on `WAVELENGTHS_NM`.

    For predictions where no face is measured. Source: NIST, by the table's head in `colorimetry/data`. The array is
    shared and cannot be written to.
    """
    return _mean_skins()[_EVERYBODY]


def skins_by_ita_class() -> dict[ItaClass, FloatArray]:
    """Return the mean reflectance (81,), 0 to 1, of the forearms in each class, lightest first; nobody was dark.

    Source: as for `mean_skin_reflectance`.
    """
    return {name: _mean_skins()[name] for name in ItaClass if name in _mean_skins()}


@cache
def _mean_skins() -> dict[str, FloatArray]:
    text = (files("tenter.colorimetry") / "data" / "nist_mean_skins_380-780nm_5nm.csv").read_text(encoding="utf-8")
    head, *rows = [line.split(",") for line in text.splitlines() if not line.startswith("#")]
    values = np.array(rows, dtype=float)[:, 1:].T
    values.setflags(write=False)
    return dict(zip(head[1:], values, strict=True))
