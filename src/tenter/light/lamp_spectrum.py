"""A light's spectrum as every calculation takes it, made of one that was measured on other wavelengths."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer, colour_matching_functions
from tenter.consultation.readings.given_colour import check_wavelengths
from tenter.errors import TenterError
from tenter.language import _, as_written, local_number

_STEP_NM = 5.0  # of WAVELENGTHS_NM
_FINE_NM = 0.25  # steps in which a band is summed; finer than any meter's
_MOST_BELOW_NOUGHT = 0.02  # share of the greatest value: a meter's noise about nothing; more is another error
_MOST_LM_PER_WATT = 683.0  # CIE 15: lumens of a watt at 555 nm


@dataclass(frozen=True, eq=False)
class LampSpectrum:
    """Power (81,) on `WAVELENGTHS_NM`, in any unit, and what is to be said of how it came to be.

    lux: where the file's own unit is W/m² per nm. remarks: sentences on what was filled in or is coarse.
    """

    power: FloatArray
    source: str
    remarks: tuple[str, ...] = ()
    lux: float | None = None

    def __post_init__(self) -> None:
        self.power.setflags(write=False)


def lamp_spectrum(
    wavelengths_nm: Sequence[float], values: Sequence[float], source: str, is_irradiance: bool = False
) -> LampSpectrum:
    """Return the spectrum of measured values, one for each wavelength.

    Finer steps than 5 nm are averaged over bands of 5 nm (triangles of 10 nm at the base), so that no sharp line falls
    between two samples; wider ones are joined by straight lines. What is not covered counts as dark, as CIE 224:2017
    has it. is_irradiance: the values are W/m² per nm, of which lux follow.

    Raises
    ------
    TenterError
        If the wavelengths neither rise nor fall, do not cover 400-700 nm or have gaps, or the values are no light's.
    """
    nm, power = np.asarray(wavelengths_nm, dtype=float), np.asarray(values, dtype=float)
    if power.shape != nm.shape:
        raise TenterError(
            _(
                "{count} values came for {expected} wavelengths; each wavelength needs one",
                count=power.size,
                expected=nm.size,
            )
        )
    if nm.size and np.all(np.diff(nm) < 0):  # some programs write the longest first
        nm, power = nm[::-1], power[::-1]
    check_wavelengths(nm.tolist())
    _require_light(nm, power)
    remarks = list(_remarks(nm, power))
    sampled = _on_wavelengths(nm, np.maximum(power, 0.0))
    lux = _MOST_LM_PER_WATT * _STEP_NM * float(sampled @ colour_matching_functions(Observer.CIE_1931_2)[:, 1])
    return LampSpectrum(sampled, source, tuple(remarks), lux if is_irradiance else None)


def _require_light(nm: FloatArray, power: FloatArray) -> None:
    """Raise `TenterError` where a value is no light's."""
    if not np.all(np.isfinite(power)):
        raise TenterError(
            _("the value at {nm} nm is not a finite number", nm=as_written(f"{nm[~np.isfinite(power)][0]:g}"))
        )
    seen = (nm >= WAVELENGTHS_NM[0]) & (nm <= WAVELENGTHS_NM[-1])
    greatest = float(power[seen].max())
    if greatest <= 0:
        raise TenterError(_("there is no light in it: no value is above 0. Switch the lamp on and measure again"))
    worst = int(np.argmin(power))
    if power[worst] < -_MOST_BELOW_NOUGHT * greatest:
        raise TenterError(
            _(
                "the value at {nm} nm is {value}, and no light is less than none. Calibrate the meter's dark "
                "reading and measure again",
                nm=as_written(f"{nm[worst]:g}"),
                value=as_written(f"{power[worst]:g}"),
            )
        )


def _remarks(nm: FloatArray, power: FloatArray) -> list[str]:
    """Return what is to be said of a spectrum that does nevertheless."""
    said = []
    step = float(np.diff(nm[(nm >= 400) & (nm <= 700)]).max())
    if step > _STEP_NM:
        said.append(
            _(
                "The spectrum has steps of {step} nm. Sharp lines fall between them: for lamps that have such lines, "
                "Ra and Rf can be several points off. Measure in steps of 5 nm or less if the meter can.",
                step=as_written(f"{step:g}"),
            )
        )
    for low, high in ((WAVELENGTHS_NM[0], nm[0]), (nm[-1], WAVELENGTHS_NM[-1])):
        if low < high:
            ends = {"low": as_written(f"{low:g}"), "high": as_written(f"{high:g}")}
            said.append(_("Nothing was measured from {low} to {high} nm; it counts as dark there.", **ends))
    if np.any(power < 0):
        share = local_number(-100 * float(power.min()) / float(power.max()), 1)
        said.append(
            _("Some values are below 0 (by {share} % of the greatest at most): noise, taken as 0.", share=share)
        )
    return said


def _on_wavelengths(nm: FloatArray, power: FloatArray) -> FloatArray:
    """Return the power on `WAVELENGTHS_NM`."""
    if float(np.diff(nm).min()) >= _STEP_NM:
        return np.interp(WAVELENGTHS_NM, nm, power, left=0.0, right=0.0)
    fine = np.arange(WAVELENGTHS_NM[0] - _STEP_NM, WAVELENGTHS_NM[-1] + _STEP_NM + _FINE_NM, _FINE_NM)
    inside = (fine >= nm[0]) & (fine <= nm[-1])
    weights = np.maximum(0.0, 1 - np.abs(fine - WAVELENGTHS_NM[:, None]) / _STEP_NM) * inside
    covered = (nm[0] <= WAVELENGTHS_NM) & (nm[-1] >= WAVELENGTHS_NM)
    sampled = np.zeros(WAVELENGTHS_NM.size)
    sampled[covered] = (weights @ np.interp(fine, nm, power))[covered] / weights.sum(axis=1)[covered]
    return sampled
