"""What follows from the colours of a face: lightness, chroma and hue, steps between features, names, left and right.

Everything carries a 90 % interval, propagated from that of L*, a* and b*; each axis is taken as a normal error of its
own. What the camera does to two regions alike is left out of their difference, so that a step is known better than
either colour.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.colour_names import NameReading, name_reading
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.intervals import DEVIATIONS_TO_90, chi_square_point
from tenter.colorimetry.spaces import lab_to_lch
from tenter.photo.json_numbers import rounded
from tenter.photo.regions.reading import ReadWithin, mean_placed, step
from tenter.photo.regions.regions import Region

Interval = tuple[float, float]

_NAMED = (Region.HAIR, Region.IRIS_LEFT, Region.IRIS_RIGHT)
_SKIN_AT_LARGE = (Region.FOREHEAD, Region.CHEEK_LEFT, Region.CHEEK_RIGHT)
_FEATURES = (
    Region.HAIR,
    Region.BROW_LEFT,
    Region.BROW_RIGHT,
    Region.IRIS_LEFT,
    Region.IRIS_RIGHT,
    Region.SCLERA_LEFT,
    Region.SCLERA_RIGHT,
    Region.LIPS,
)
SIDES = (
    (Region.CHEEK_RIGHT, Region.CHEEK_LEFT),
    (Region.JAW_RIGHT, Region.JAW_LEFT),
    (Region.UNDER_EYE_RIGHT, Region.UNDER_EYE_LEFT),
)
# 90 % points of chi squared, counted in half-widths: of a difference in L*, a* and b*, and of a colour in a* and b*.
_NO_DIFFERENCE = chi_square_point(0.9, 3) / DEVIATIONS_TO_90**2
_GREY = chi_square_point(0.9, 2) / DEVIATIONS_TO_90**2
# Seven equally likely values of a normal error in standard deviations, on each axis: 343 errors.
_PARTS: FloatArray = np.array([-1.4652, -0.7916, -0.3661, 0, 0.3661, 0.7916, 1.4652])
_ERRORS: FloatArray = np.stack(np.meshgrid(_PARTS, _PARTS, _PARTS), axis=-1).reshape(-1, 3)


@dataclass(frozen=True, slots=True)
class LchReading:
    """L*, C*ab and h_ab with their 90 % intervals.

    hue: in degrees; its interval may pass 0 or 360, and is None where grey lies in it.
    """

    lightness: float
    chroma: float
    hue: float
    lightness_90: Interval
    chroma_90: Interval
    hue_90: Interval | None

    def to_json(self) -> dict[str, Any]:
        """Return L*, C*ab and h_ab with the ends of their intervals, three decimals; a hue from 0 to below 360."""
        turn = 360.0 * (rounded(self.hue) >= 360)  # a hue that is written as 360 is 0, and so is its interval about it
        return {
            "lch": rounded([self.lightness, self.chroma, self.hue - turn]),
            "interval_90": [
                rounded(self.lightness_90),
                rounded(self.chroma_90),
                None if self.hue_90 is None else rounded([end - turn for end in self.hue_90]),
            ],
        }


@dataclass(frozen=True, slots=True)
class LightnessStep:
    """How much lighter a feature is than the skin (the mean of forehead and cheeks), with its 90 % interval.

    step: L* of the feature minus L* of the skin.
    """

    feature: Region
    step: float
    interval_90: Interval

    def to_json(self) -> dict[str, Any]:
        """Return the step in L* with the ends of its interval, three decimals."""
        return {
            "from": "skin",
            "to": str(self.feature),
            "delta_l": round(self.step, 3),
            "interval_90": rounded(self.interval_90),
        }


@dataclass(frozen=True, slots=True)
class ColourStep:
    """The difference between two regions, with its 90 % interval, which begins at 0 where none can be told.

    delta_e_2000: in ΔE00.
    """

    origin: Region
    to: Region
    delta_e_2000: float
    interval_90: Interval

    def to_json(self) -> dict[str, Any]:
        """Return the ΔE00 with the ends of its interval, three decimals."""
        return {
            "from": str(self.origin),
            "to": str(self.to),
            "value": round(self.delta_e_2000, 3),
            "interval_90": rounded(self.interval_90),
        }


@dataclass(frozen=True, slots=True)
class Asymmetry:
    """The person's left side against the right one, as photographed: the light's doing as well as the skin's.

    delta_l: L* of the left region minus L* of the right one.
    """

    right: Region
    left: Region
    delta_l: float
    delta_l_90: Interval
    colour: ColourStep

    @property
    def lighter(self) -> str:
        """Which side is lighter: "left", "right" or "cannot tell"."""
        low, high = self.delta_l_90
        return "left" if low > 0 else "right" if high < 0 else "cannot tell"

    def to_json(self) -> dict[str, Any]:
        """Return the steps in L* and ΔE00 with the ends of their intervals, three decimals."""
        return {
            "from": str(self.right),
            "to": str(self.left),
            "delta_l": round(self.delta_l, 3),
            "delta_l_interval_90": rounded(self.delta_l_90),
            "lighter": self.lighter,
            "delta_e_2000": round(self.colour.delta_e_2000, 3),
            "delta_e_2000_interval_90": rounded(self.colour.interval_90),
        }


@dataclass(frozen=True, slots=True)
class FaceReadings:
    """What follows from the colours; `lch`, `colour_steps` and `names` only where colours are absolute."""

    lch: Mapping[Region, LchReading]
    lightness_steps: tuple[LightnessStep, ...]
    colour_steps: tuple[ColourStep, ...]
    names: Mapping[Region, NameReading]

    def to_json(self) -> dict[str, Any]:
        """Return the readings as `tenter face measure --json` writes them."""
        return {
            "lch": {str(region): reading.to_json() for region, reading in self.lch.items()},
            "lightness_steps": [found.to_json() for found in self.lightness_steps],
            "delta_e_2000": [found.to_json() for found in self.colour_steps],
            "names": {str(region): _name_json(reading) for region, reading in self.names.items()},
        }


NO_READINGS = FaceReadings({}, (), (), {})


def readings_of(colours: Mapping[Region, ReadWithin], absolute: bool, calibrated: bool) -> FaceReadings:
    """Return what follows from the colours of some regions; `calibrated`: whether a card says how steps are scaled."""
    if not absolute:
        return FaceReadings({}, _lightness_steps(colours, calibrated), (), {})
    pairs = list(combinations(colours, 2))
    return FaceReadings(
        {region: lch_reading(reading.lab, reading.half_width_90) for region, reading in colours.items()},
        _lightness_steps(colours, calibrated),
        tuple(colour_step(origin, to, colours, calibrated) for origin, to in pairs),
        {r: name_reading(colours[r].lab, colours[r].half_width_90) for r in _NAMED if r in colours},
    )


def asymmetry_of(colours: Mapping[Region, ReadWithin], calibrated: bool) -> tuple[Asymmetry, ...]:
    """Return the left side against the right one, for cheeks, jaws and under-eyes as far as both were read."""
    found = []
    for right, left in SIDES:
        if right in colours and left in colours:
            delta, half = step(colours[right], colours[left], calibrated)
            interval = (float(delta[0] - half[0]), float(delta[0] + half[0]))
            found.append(
                Asymmetry(right, left, float(delta[0]), interval, colour_step(right, left, colours, calibrated))
            )
    return tuple(found)


def lch_reading(lab: FloatArray, half_width_90: FloatArray) -> LchReading:
    """Return L*, C*ab and h_ab of a Lab (3,) with half-widths (3,), and their 90 % intervals.

    Chroma and hue to first order. Near grey, where that does not hold, chroma begins at 0 and hue is left open.
    """
    L, C, h = (float(value) for value in lab_to_lch(lab))
    _, a, b = lab
    _, half_a, half_b = half_width_90
    across = float(np.hypot(half_a * b, half_b * a)) / max(C, 1e-9)  # perpendicular to the hue's ray
    along = float(np.hypot(half_a * a, half_b * b)) / max(C, 1e-9)
    grey = float((a / half_a) ** 2 + (b / half_b) ** 2) < _GREY
    half_hue = float(np.degrees(np.arctan2(across, C)))
    low = 0.0 if grey else max(C - along, 0.0)
    high = float(np.hypot(C + along, across)) if grey else C + along
    return LchReading(
        L,
        C,
        h,
        (L - float(half_width_90[0]), L + float(half_width_90[0])),
        (low, high),
        None if grey else (h - half_hue, h + half_hue),
    )


def colour_step(origin: Region, to: Region, colours: Mapping[Region, ReadWithin], calibrated: bool) -> ColourStep:
    """Return ΔE00 of two regions with its interval: 5 % and 95 % of what its errors make of it."""
    delta, half = step(colours[origin], colours[to], calibrated)
    start = colours[origin].lab
    spread = delta_e_2000(start, start + delta + half / DEVIATIONS_TO_90 * _ERRORS)
    low, high = (float(end) for end in np.percentile(spread, (5, 95)))
    nothing = float(((delta / half) ** 2).sum()) < _NO_DIFFERENCE
    value = float(delta_e_2000(start, start + delta))
    return ColourStep(origin, to, value, (0.0 if nothing else min(low, value), max(high, value)))


def _lightness_steps(colours: Mapping[Region, ReadWithin], calibrated: bool) -> tuple[LightnessStep, ...]:
    skin = [colours[region] for region in _SKIN_AT_LARGE if region in colours]
    if not skin:
        return ()
    found = []
    for feature in _FEATURES:
        if feature in colours:
            delta, half = step(mean_placed(skin), colours[feature], calibrated)
            interval = (float(delta[0] - half[0]), float(delta[0] + half[0]))
            found.append(LightnessStep(feature, float(delta[0]), interval))
    return tuple(found)


def _name_json(reading: NameReading) -> dict[str, Any]:
    return {
        "name": reading.name.name,
        "number": reading.name.number,
        "munsell": reading.notation,
        "share": round(reading.share, 3),
        "others": [{"name": n.name, "number": n.number, "share": round(share, 3)} for n, share in reading.others],
    }
