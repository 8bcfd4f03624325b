"""The colour of a white light: its correlated colour temperature, and Duv, how far it is from a black body's colour."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.illuminants import Observer, colour_matching_functions
from tenter.colorimetry.lights.blackbody import planckian_power, planckian_slope
from tenter.errors import TenterError
from tenter.language import _, as_written

FURTHEST_DUV = 0.05  # CIE 15:2018: further from the locus in u, v a colour temperature is not spoken of
_MIREDS = (10.0, 1000.0)  # 1e6 / K: 100000 K to 1000 K
_MIRED_STEP = 10.0  # of the first look round; the locus bends so slowly that each step holds one nearest point at most
_HALVINGS = 50  # of a step, down to 1e-14 mired


class NoColourTemperature(TenterError):
    """A light so coloured that no colour temperature describes it."""

    def __init__(self, uv: FloatArray) -> None:
        self.uv = uv
        super().__init__(
            _(
                "a light of u {u}, v {v} is no white: it is more than {furthest} from the colours of glowing bodies, "
                "or redder than 1000 K; check the spectrum's columns, or measure without a coloured lamp",
                u=as_written(f"{uv[0]:.4f}"),
                v=as_written(f"{uv[1]:.4f}"),
                furthest=as_written(str(FURTHEST_DUV)),
            )
        )


@dataclass(frozen=True, slots=True)
class ColourTemperature:
    """Correlated colour temperature in kelvin, and Duv: above 0 greener, below 0 pinker than a black body."""

    cct_kelvin: float
    duv: float


def cct_and_duv(power: FloatArray) -> ColourTemperature:
    """Return the colour temperature of a light's power, shape (81,), by the 2 degree observer.

    Raises
    ------
    NoColourTemperature
        If the light is coloured.

    References
    ----------
    CIE 15:2018, section 9.5 (the nearest colour of a black body in u, v of CIE 1960); Duv with its sign as in
    ANSI C78.377 and Y. Ohno (2014), LEUKOS 10(1), 47-55. Found by halving, exactly, instead of from a table.
    """
    return cct_and_duv_of_uv(_uv(power @ colour_matching_functions(Observer.CIE_1931_2)))


def cct_and_duv_of_xy(xy: ArrayLike) -> ColourTemperature:
    """Return the colour temperature of a chromaticity x, y (2 degree observer), shape (2,).

    Raises `NoColourTemperature` if it is coloured, or no number.
    """
    x, y = (float(v) for v in np.asarray(xy, dtype=float))
    return cct_and_duv_of_uv(_uv(np.array([x, y, 1 - x - y])))


def cct_and_duv_of_uv(uv: ArrayLike) -> ColourTemperature:
    """Return the colour temperature of a chromaticity u, v (CIE 1960, 2 degree observer), shape (2,).

    Raises `NoColourTemperature` if it is coloured, or no number.
    """
    asked = np.asarray(uv, dtype=float)
    if not np.all(np.isfinite(asked)):
        raise NoColourTemperature(asked)
    coolest, warmest = _MIREDS
    nearest = coolest + _MIRED_STEP * float(np.argmin(((_locus() - asked) ** 2).sum(axis=1)))
    low, high = max(nearest - _MIRED_STEP, coolest), min(nearest + _MIRED_STEP, warmest)
    for _halving in range(_HALVINGS):
        middle = (low + high) / 2
        point, along = _point_and_tangent(middle)
        low, high = (middle, high) if (asked - point) @ along > 0 else (low, middle)
    point, along = _point_and_tangent((low + high) / 2)
    off, length = asked - point, float(np.linalg.norm(along))
    duv = float(along[0] * off[1] - along[1] * off[0]) / length
    beside = abs(float(off @ along)) / length  # more than rounding only where the nearest point is an end
    if beside > 1e-9 or abs(duv) > FURTHEST_DUV:
        raise NoColourTemperature(asked)
    return ColourTemperature(1e6 / ((low + high) / 2), duv)


def _uv(xyz: FloatArray) -> FloatArray:
    """Return u, v of CIE 1960."""
    X, Y, Z = xyz
    uv: FloatArray = np.array([4 * X, 6 * Y]) / (X + 15 * Y + 3 * Z)
    return uv


@cache
def _locus() -> FloatArray:
    """Return u, v of black bodies at every step, shape (n, 2)."""
    coolest, warmest = _MIREDS
    return np.array([_point_and_tangent(m)[0] for m in np.arange(coolest, warmest + _MIRED_STEP, _MIRED_STEP)])


def _point_and_tangent(mired: float) -> tuple[FloatArray, FloatArray]:
    """Return u, v of a black body, and their change by a mired."""
    functions = colour_matching_functions(Observer.CIE_1931_2)
    kelvin = 1e6 / mired
    X, Y, Z = planckian_power(kelvin) @ functions
    dX, dY, dZ = planckian_slope(kelvin) @ functions
    below, slope = X + 15 * Y + 3 * Z, dX + 15 * dY + 3 * dZ
    point = np.array([4 * X, 6 * Y]) / below
    return point, (np.array([4 * dX, 6 * dY]) - point * slope) / below
