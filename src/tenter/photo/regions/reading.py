"""A region's colour before a photograph is judged, and how two of them differ."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from tenter.arrays import FloatArray
from tenter.photo.patches.chart import LOW_CODE
from tenter.photo.patches.correction import Correction
from tenter.photo.regions.light_signs import LightSigns
from tenter.photo.regions.regions import SHADED_SKIN, SKIN, Region, RegionPixels
from tenter.photo.regions.uncertainty import ColourEvidence, colour_half_width_90, placement, relative_half_width_90

_BARE_SKIN = frozenset({*SKIN, *SHADED_SKIN})
# A veil on the card that is taken off leaves this part of what it changes open; one that may be there more than all.
_VEIL_TAKEN_OFF, _VEIL_POSSIBLE = 0.45, 1.3
_SEEN_BY_SKIN_MATRIX = frozenset({*_BARE_SKIN, Region.LIPS})


@dataclass(frozen=True, slots=True)
class RegionReading:
    """Lab (3,), how far it moves across the region (3,), and its evidence."""

    lab: FloatArray
    placement: FloatArray
    evidence: ColourEvidence

    @property
    def half_width_90(self) -> FloatArray:
        """Half-widths (3,) of the 90 % interval, where the colour is absolute."""
        return colour_half_width_90(self.lab, self.evidence)


def read_colour(pixels: RegionPixels, correction: Correction) -> RegionReading:
    """Return a region's colour; without a card, as if the camera wrote true sRGB."""
    lab = correction.lab(pixels.code, skin=pixels.region in _SEEN_BY_SKIN_MATRIX)
    evidence = ColourEvidence(
        correction.error,
        correction.metamerism(pixels.code),
        pixels.log_spread,
        pixels.region in _BARE_SKIN,
        correction.basis,
        crushed=float((pixels.code <= LOW_CODE).any(axis=1).mean()),
        lost=correction.lost,
        doubt=correction.doubt,
        uneven=correction.uneven,
        light_doubt=correction.light_doubt,
        poor_light=correction.poor_light,
        jpeg_step=correction.jpeg_step,
        veil=_by_veil(pixels, correction),
    )
    return RegionReading(lab, placement(lab, pixels.log_spread), evidence)


def _by_veil(pixels: RegionPixels, correction: Correction) -> tuple[float, float, float]:
    part = _VEIL_TAKEN_OFF if correction.veil_taken_off else _VEIL_POSSIBLE
    lightness, a, b = part * correction.otherwise_by(pixels.code, skin=pixels.region in _SEEN_BY_SKIN_MATRIX)
    return float(lightness), float(a), float(b)


def in_light(reading: RegionReading, signs: LightSigns) -> RegionReading:
    """Return the reading with what the light of the photograph makes doubtful in it."""
    doubted = replace(reading.evidence, mixed=signs.mixed, darkening=signs.corner_darkening)
    return replace(reading, evidence=doubted)


class Placed(Protocol):
    """A colour in its place: Lab (3,), and how far it moves across the region (3,)."""

    @property
    def lab(self) -> FloatArray:
        """Lab (3,), D65/2°."""

    @property
    def placement(self) -> FloatArray:
        """How far Lab moves across the region, (3,)."""


class ReadWithin(Placed, Protocol):
    """The same with the half-widths (3,) of its 90 % interval."""

    @property
    def half_width_90(self) -> FloatArray:
        """Half-widths (3,) of the 90 % interval in L*, a* and b*."""


@dataclass(frozen=True, slots=True)
class MeanPlaced:
    """The mean Lab (3,) of some regions, and how far it moves across them (3,)."""

    lab: FloatArray
    placement: FloatArray


def mean_placed(colours: Sequence[Placed]) -> MeanPlaced:
    """Return the mean of some regions; what they move by is taken as moving together."""
    return MeanPlaced(
        np.mean([colour.lab for colour in colours], axis=0), np.mean([colour.placement for colour in colours], axis=0)
    )


def step(origin: Placed, to: Placed, calibrated: bool) -> tuple[FloatArray, FloatArray]:
    """Return Lab of `to` minus that of `origin`, and the half-widths of its 90 % interval, each (3,)."""
    delta = to.lab - origin.lab
    return delta, relative_half_width_90(delta, np.stack([origin.placement, to.placement]), calibrated)
