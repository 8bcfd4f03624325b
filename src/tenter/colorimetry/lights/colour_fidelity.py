"""Colour fidelity and gamut: Rf, Rg, and how far each hue turns and strengthens under a light.

Sources: CIE 224:2017, CIE 2017 colour fidelity index for accurate scientific use (Rf); ANSI/IES TM-30-18, IES method
for evaluating light source color rendition (Rg and what is local to each of 16 hues).
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from tenter.arrays import FloatArray, IntArray, steady
from tenter.colorimetry.appearance import ViewingConditions, cam16_ucs, ciecam02
from tenter.colorimetry.illuminants import Observer, colour_matching_functions, spectral_table, weights_under
from tenter.colorimetry.lights.blackbody import daylight_power, planckian_power
from tenter.colorimetry.lights.colour_temperature import cct_and_duv

HUE_BINS = 16  # ANSI/IES TM-30-18: of 22.5 degrees in CAM02-UCS, from the red side of a' onward
_BIN_DEGREES = 360 / HUE_BINS
_MIXED_KELVIN = (4000.0, 5000.0)  # CIE 224:2017: between these the reference is part black body, part daylight
_FIDELITY_SLOPE = 6.73  # CIE 224:2017: c_f, points of Rf for each CAM02-UCS difference
_ADAPTING_CD_M2, _BACKGROUND = 100.0, 20.0  # CIE 224:2017: L_A in cd/m², Y_b


@dataclass(frozen=True, slots=True)
class ColourFidelity:
    """How like the reference light a light shows colours.

    `rf` is 0 to 100, 100 the same; `rg`, 0 or above, is 100 where colours are on the whole as strong, and more where
    they are stronger: a ratio of areas in percent. For each of 16 hues, from red through yellow, green and blue:
    `local_hue_shifts` in radians, above 0 toward the next hue; `local_chroma_shifts` as a share, 0.05 for 5 % stronger.
    A hue that no sample has is nan.
    """

    rf: float
    rg: float
    local_hue_shifts: tuple[float, ...]
    local_chroma_shifts: tuple[float, ...]


def colour_fidelity(power: FloatArray) -> ColourFidelity:
    """Return fidelity and gamut of a light's power, shape (81,).

    Raises
    ------
    NoColourTemperature
        If the light is coloured, for then no reference light is like it.
    """
    seen, meant = _looks(power), _looks(reference_power(power))
    differences = np.linalg.norm(seen - meant, axis=1)
    bins = _hue_bins(meant)
    here, there = _bin_means(seen[:, 1:], bins), _bin_means(meant[:, 1:], bins)
    hue, chroma = _local_shifts(here, there)
    return ColourFidelity(
        rf=float(10 * np.log1p(np.exp((100 - _FIDELITY_SLOPE * differences.mean()) / 10))),
        rg=float(100 * _area(here) / _area(there)),
        local_hue_shifts=tuple(float(v) for v in hue),
        local_chroma_shifts=tuple(float(v) for v in chroma),
    )


def reference_power(power: FloatArray) -> FloatArray:
    """Return the reference light of CIE 224:2017, shape (81,), for a light's power (81,).

    It is a black body, daylight, or both in part. Raises `NoColourTemperature` if the light is coloured.
    """
    kelvin = min(cct_and_duv(power).cct_kelvin, 25000.0)
    low, high = _MIXED_KELVIN
    daylight_share = float(np.clip((kelvin - low) / (high - low), 0, 1))
    mixed = np.zeros_like(power)
    for share, light in ((1 - daylight_share, planckian_power), (daylight_share, daylight_power)):
        if share > 0:
            part = light(kelvin)
            mixed += share * part / (part @ colour_matching_functions(Observer.CIE_1964_10)[:, 1])
    return mixed


@cache
def _samples() -> FloatArray:
    table = spectral_table("cie_224_colour_samples_380-780nm_5nm.csv")
    samples = np.stack([values for name, values in table.items() if name != "nm"])
    samples.setflags(write=False)
    return samples


def _looks(power: FloatArray) -> FloatArray:
    """Return J', a', b' of the samples under a light in CAM02-UCS, shape (99, 3)."""
    weights = 100 * weights_under(power, Observer.CIE_1964_10)
    X, Y, Z = (float(v) for v in weights.sum(axis=0))
    surroundings = ViewingConditions((X, Y, Z), _ADAPTING_CD_M2, _BACKGROUND, discounted=True)
    return cam16_ucs(ciecam02(_samples() @ weights, surroundings))


def _hue_bins(looks: FloatArray) -> IntArray:
    """Return which of the 16 hues each sample has under the reference light."""
    degrees = steady(np.degrees(np.arctan2(looks[:, 2], looks[:, 1])) % 360)
    bins: IntArray = np.floor(degrees / _BIN_DEGREES).astype(np.intp) % HUE_BINS
    return bins


def _bin_means(a_b: FloatArray, bins: IntArray) -> FloatArray:
    """Return the mean a', b' of each hue, shape (16, 2); nan where no sample is."""
    count = np.bincount(bins, minlength=HUE_BINS)[:, None]
    total = np.stack([np.bincount(bins, weights=column, minlength=HUE_BINS) for column in a_b.T], axis=1)
    means: FloatArray = np.divide(total, count, out=np.full(total.shape, np.nan), where=count > 0)
    return means


def _local_shifts(here: FloatArray, there: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the shift of each hue along its circle in radians, and outward as a share."""
    middle = np.radians((np.arange(HUE_BINS) + 0.5) * _BIN_DEGREES)
    a, b = ((here - there) / np.linalg.norm(there, axis=1, keepdims=True)).T
    return -a * np.sin(middle) + b * np.cos(middle), a * np.cos(middle) + b * np.sin(middle)


def _area(corners: FloatArray) -> float:
    """Return the area of the polygon of the hues' means."""
    a, b = corners[~np.isnan(corners[:, 0])].T
    return float((a * np.roll(b, -1) - b * np.roll(a, -1)).sum() / 2)
