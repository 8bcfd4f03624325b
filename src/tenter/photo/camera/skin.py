"""What skin reflects: measured forearms, and the same with more blood in them, as lips and flushed cheeks have it.

A layer of absorber in front of a reflecting body multiplies its reflectance by exp(-μ d) (Beer and Lambert). That is
crude for skin, whose light takes many ways; it serves to carry the shape of haemoglobin's bands into the spectra that a
camera is fitted to, and no skin is told anything by it.
"""

from functools import cache

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.photo.patches.reference import spectra_table

_OXYGENATED = 0.7  # of the haemoglobin in the skin's small vessels; common practice, from memory
_FLUSH = 0.3  # absorbance added at 550 nm: the forearms' a* rises by about 6
_FLUSHED_EVERY = 5  # every fifth forearm, from the lightest to the darkest


@cache
def skin_reflectances() -> FloatArray:
    """Return measured reflectances of human skin, very light to brown, shape (18, 81), on `WAVELENGTHS_NM`."""
    return spectra_table("skin_reflectances_380-780nm_5nm.csv")[1]


@cache
def blood_absorbance() -> FloatArray:
    """Return the absorbance (81,) of blood in the skin, 1 at 550 nm."""
    oxygenated, reduced = spectra_table("haemoglobin_380-780nm_5nm.csv")[1]
    absorbance = _OXYGENATED * oxygenated + (1 - _OXYGENATED) * reduced
    return np.asarray(absorbance / absorbance[WAVELENGTHS_NM == 550], dtype=float)


@cache
def skin_to_fit() -> FloatArray:
    """Return the spectra a camera is fitted to, shape (n, 81): the measured ones, and some of them flushed."""
    flushed = skin_reflectances()[::_FLUSHED_EVERY] * np.exp(-_FLUSH * blood_absorbance())
    spectra: FloatArray = np.concatenate([skin_reflectances(), flushed])
    spectra.setflags(write=False)
    return spectra


@cache
def skin_to_fit_xyz() -> FloatArray:
    """Return the XYZ (n, 3) of `skin_to_fit` under D65, 2° observer."""
    xyz = reflectance_to_xyz(skin_to_fit(), D65_2.illuminant, D65_2.observer)
    xyz.setflags(write=False)
    return xyz
