"""Lights by their temperature: a black body, and daylight of any hour.

Source: CIE 15:2018, Colorimetry, 4th edition: Planck's law with c2 = 0.014388 m K, and the components of daylight.
"""

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, spectral_table
from tenter.errors import TenterError
from tenter.language import _

_C2_NM_KELVIN = 1.4388e7  # CIE 15:2018: 0.014388 m K
DAYLIGHT_KELVIN = (4000.0, 25000.0)  # where CIE 15:2018 defines daylight, in kelvin


class NoSuchDaylight(TenterError):
    """A temperature that daylight has not."""

    def __init__(self, kelvin: float) -> None:
        self.kelvin = kelvin
        least, most = DAYLIGHT_KELVIN
        super().__init__(
            _(
                "daylight has {least} to {most} K; got {kelvin} K; below, ask for a black body",
                least=f"{least:.0f}",
                most=f"{most:.0f}",
                kelvin=f"{kelvin:.0f}",
            )
        )


def planckian_power(kelvin: float) -> FloatArray:
    """Return the relative power of a black body, shape (81,), on `WAVELENGTHS_NM`, with 1 at its greatest."""
    with np.errstate(over="ignore"):  # of a cold body next to nothing is blue: 1 / infinity is the 0 that it should be
        power: FloatArray = WAVELENGTHS_NM**-5 / np.expm1(_C2_NM_KELVIN / (WAVELENGTHS_NM * kelvin))
    power /= power.max()
    return power


def planckian_slope(kelvin: float) -> FloatArray:
    """Return how `planckian_power` changes with 1e6 / kelvin, in its own units, shape (81,): scaled as it is."""
    x = _C2_NM_KELVIN / (WAVELENGTHS_NM * kelvin)
    slope: FloatArray = planckian_power(kelvin) * _C2_NM_KELVIN / (1e6 * WAVELENGTHS_NM) / np.expm1(-x)
    return slope


def daylight_power(kelvin: float) -> FloatArray:
    """Return the relative power of daylight, shape (81,), on `WAVELENGTHS_NM`.

    Its correlated colour temperature is `kelvin` to within 0.3 %. D65 is daylight of 6500 * 1.4388 / 1.4380 K.

    Raises
    ------
    NoSuchDaylight
        Below 4000 K and above 25000 K.
    """
    least, most = DAYLIGHT_KELVIN
    if not least <= kelvin <= most:
        raise NoSuchDaylight(kelvin)
    a, b, c, d = (
        (-4.6070e9, 2.9678e6, 0.09911e3, 0.244063) if kelvin <= 7000 else (-2.0064e9, 1.9018e6, 0.24748e3, 0.237040)
    )
    x = a / kelvin**3 + b / kelvin**2 + c / kelvin + d
    y = -3.000 * x**2 + 2.870 * x - 0.275
    m = 0.0241 + 0.2562 * x - 0.7341 * y
    # CIE 15 rounds both factors to three decimals, which is what makes the published spectra.
    m1 = round((-1.3515 - 1.7703 * x + 5.9114 * y) / m, 3)
    m2 = round((0.0300 - 31.4424 * x + 30.0717 * y) / m, 3)
    parts = spectral_table("cie_daylight_components_380-780nm_5nm.csv")
    return parts["S0"] + m1 * parts["S1"] + m2 * parts["S2"]
