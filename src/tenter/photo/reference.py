"""What the card's patches are: reflectances of the classic 24-patch target and their colours under D65.

Cards differ: two of one make by about 1 ΔE00, and by more once they have faded. These are the mean of many.
"""

from functools import cache
from importlib.resources import files

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz, resample

PATCH_COUNT = 24
WHITE_PATCH = 18
GREY_PATCHES = range(18, 24)


def _spectra(file: str) -> tuple[tuple[str, ...], FloatArray]:
    """Return the row names and the spectra (n, 81) on `WAVELENGTHS_NM` of one of the tables in data/."""
    text = (files("tenter.photo") / "data" / file).read_text(encoding="utf-8")
    rows = [line.split(",") for line in text.splitlines() if not line.startswith("#")]
    wavelengths_nm = np.array(rows[0][1:], dtype=float)
    values = np.array([row[1:] for row in rows[1:]], dtype=float)
    return tuple(row[0] for row in rows[1:]), resample(values, wavelengths_nm)


@cache
def patch_names() -> tuple[str, ...]:
    """Return the names of the patches in the card's own order."""
    return _spectra("classic24_reflectances_380-730nm_10nm.csv")[0]


@cache
def patch_reflectances() -> FloatArray:
    """Return the reflectances of the patches, shape (24, 81), on `WAVELENGTHS_NM`."""
    reflectances = _spectra("classic24_reflectances_380-730nm_10nm.csv")[1]
    reflectances.setflags(write=False)
    return reflectances


@cache
def patch_xyz() -> FloatArray:
    """Return the XYZ (24, 3) of the patches under D65, 2° observer, with Y = 1 for a perfect white."""
    xyz = reflectance_to_xyz(patch_reflectances(), D65_2.illuminant, D65_2.observer)
    xyz.setflags(write=False)
    return xyz


@cache
def skin_reflectances() -> FloatArray:
    """Return measured reflectances of human skin, very light to brown, shape (18, 81), on `WAVELENGTHS_NM`."""
    reflectances = _spectra("skin_reflectances_380-780nm_5nm.csv")[1]
    reflectances.setflags(write=False)
    return reflectances


@cache
def skin_xyz() -> FloatArray:
    """Return the XYZ (18, 3) of `skin_reflectances` under D65, 2° observer."""
    xyz = reflectance_to_xyz(skin_reflectances(), D65_2.illuminant, D65_2.observer)
    xyz.setflags(write=False)
    return xyz
