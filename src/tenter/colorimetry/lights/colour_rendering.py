"""The CIE colour rendering index: Ra, and R1 to R14 of its test colours.

Source: CIE 13.3-1995, Method of measuring and specifying colour rendering properties of light sources.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import Observer, spectral_table, weights_under
from tenter.colorimetry.lights.blackbody import daylight_power, planckian_power
from tenter.colorimetry.lights.colour_temperature import cct_and_duv

_DAYLIGHT_FROM_KELVIN = 5000.0  # CIE 13.3, section 5.3: below, the reference is a black body
_GENERAL = 8  # Ra is the mean of the first eight


@dataclass(frozen=True, slots=True)
class RenderingIndices:
    """`ra`, the mean of R1 to R8, and `r`, R1 to R14: 100 is as under the reference light, and below 0 is possible.

    R9 is a strong red and R13 a light skin.
    """

    ra: float
    r: tuple[float, ...]


def rendering_indices(power: FloatArray) -> RenderingIndices:
    """Return Ra and R1 to R14 of a light's power, shape (81,).

    Raises
    ------
    NoColourTemperature
        If the light is coloured, for then no reference light is like it.
    """
    kelvin = cct_and_duv(power).cct_kelvin
    reference = planckian_power(kelvin) if kelvin < _DAYLIGHT_FROM_KELVIN else daylight_power(min(kelvin, 25000.0))
    there, here = _xyz(reference), _xyz(power)
    apart = _uvw(_uv(there[1:]), there[1:, 1], _uv(there[0])) - _uvw(
        _adapted(_uv(here[1:]), _uv(here[0]), _uv(there[0])), here[1:, 1], _uv(there[0])
    )
    r = 100 - 4.6 * np.linalg.norm(apart, axis=1)
    return RenderingIndices(float(r[:_GENERAL].mean()), tuple(float(v) for v in r))


def _xyz(power: FloatArray) -> FloatArray:
    """Return XYZ of white and of the test colours under a light, shape (15, 3), with Y = 100 for white."""
    table = spectral_table("cie_13_3_test_colours_380-780nm_5nm.csv")
    surfaces = np.stack([np.ones_like(power), *(values for name, values in table.items() if name != "nm")])
    return 100 * surfaces @ weights_under(power, Observer.CIE_1931_2)


def _uv(xyz: FloatArray) -> FloatArray:
    """Return u, v of CIE 1960, shape (..., 2)."""
    X, Y, Z = np.moveaxis(xyz, -1, 0)
    uv: FloatArray = np.stack([4 * X, 6 * Y], axis=-1) / (X + 15 * Y + 3 * Z)[..., None]
    return uv


def _adapted(uv: FloatArray, white: FloatArray, reference_white: FloatArray) -> FloatArray:
    """Return u, v (n, 2) as seen by an eye adapted to the reference: CIE 13.3, section 5.7 (von Kries in c and d)."""

    def c_and_d(of: FloatArray) -> FloatArray:
        u, v = of[..., 0], of[..., 1]
        return np.stack([(4 - u - 10 * v) / v, (1.708 * v + 0.404 - 1.481 * u) / v])

    ratio = c_and_d(reference_white) / c_and_d(white)
    c, d = ratio[:, None] * c_and_d(uv)
    below = 16.518 + 1.481 * c - d
    return np.stack([(10.872 + 0.404 * c - 4 * d) / below, 5.520 / below], axis=-1)


def _uvw(uv: FloatArray, Y: FloatArray, white: FloatArray) -> FloatArray:
    """Return U*, V*, W* of CIE 1964, shape (n, 3)."""
    W = 25 * np.cbrt(Y) - 17
    return np.concatenate([13 * W[:, None] * (uv - white), W[:, None]], axis=1)
