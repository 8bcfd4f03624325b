"""Lights and observers: CIE illuminants, colour-matching functions and the white points they make.

Source: CIE 15:2018, Colorimetry, 4th edition. Every spectrum is sampled at 380-780 nm in steps of 5 nm.
"""

from enum import StrEnum
from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import FloatArray
from tenter.errors import UnknownName
from tenter.language import _

WAVELENGTHS_NM: FloatArray = np.arange(380.0, 781.0, 5.0)  # of every spectrum here
WAVELENGTHS_NM.setflags(write=False)


class Observer(StrEnum):
    """The two CIE standard observers, named by the field of view in degrees."""

    CIE_1931_2 = "2"
    CIE_1964_10 = "10"


@cache
def spectral_table(file: str) -> dict[str, FloatArray]:
    """Return the columns of one of the package's own tables by their heads, "nm" among them, each (81,)."""
    text = (files("tenter.colorimetry") / "data" / file).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    values = np.array([[float(v) for v in line.split(",")] for line in lines[1:]])
    values.setflags(write=False)
    return dict(zip(lines[0].split(","), values.T, strict=True))


def _illuminants() -> dict[str, FloatArray]:
    return {name: v for name, v in spectral_table("cie_illuminants_380-780nm_5nm.csv").items() if name != "nm"}


def illuminant_names() -> tuple[str, ...]:
    """Return the name of every bundled CIE illuminant."""
    return tuple(_illuminants())


def illuminant_power(name: str) -> FloatArray:
    """Return the relative spectral power of a CIE illuminant, shape (81,), on `WAVELENGTHS_NM`.

    Raises
    ------
    UnknownName
        If no illuminant of that name is bundled.
    """
    known = _illuminants()
    if not isinstance(name, str) or name not in known:
        raise UnknownName(_("illuminant"), name, known)
    return known[name]


def observer_from(value: object) -> Observer:
    """Return the observer that "2", "10", 2 or 10 names; raises `UnknownName` for anything else."""
    try:
        return Observer(str(value))
    except ValueError:
        raise UnknownName(_("observer"), value, Observer) from None


@cache
def colour_matching_functions(observer: Observer) -> FloatArray:
    """Return the colour-matching functions of an observer, shape (81, 3), on `WAVELENGTHS_NM`."""
    table = spectral_table("cie_observers_380-780nm_5nm.csv")
    functions = np.stack([table[f"{axis}{observer}"] for axis in "xyz"], axis=1)
    functions.setflags(write=False)
    return functions


def weights_under(power: FloatArray, observer: Observer) -> FloatArray:
    """Return the weights W, shape (81, 3), of any light, given as power (81,) on `WAVELENGTHS_NM`.

    XYZ = reflectance @ W, with Y = 1 for a perfect white, so that the power may be in any unit.
    """
    weights: FloatArray = power[:, None] * colour_matching_functions(observer)
    weights /= weights[:, 1].sum()
    return weights


@cache
def weighting_table(illuminant: str, observer: Observer) -> FloatArray:
    """Return the weights W, shape (81, 3), of a CIE illuminant: XYZ = reflectance @ W, Y = 1 for a perfect white.

    Raises `UnknownName` if no illuminant of that name is bundled. Source: CIE 15:2018, section 7: summation at 5 nm.
    """
    weights = weights_under(illuminant_power(illuminant), observer)
    weights.setflags(write=False)
    return weights


@cache
def white_point(illuminant: str, observer: Observer) -> FloatArray:
    """Return the XYZ of a perfect white under an illuminant, shape (3,), with Y = 1.

    Raises `UnknownName` if no illuminant of that name is bundled.
    """
    white: FloatArray = weighting_table(illuminant, observer).sum(axis=0)
    white.setflags(write=False)
    return white
