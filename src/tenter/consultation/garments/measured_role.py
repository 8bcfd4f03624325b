"""How well a garment suits a client, and where it is worn, with the error of its colour and what is not known of them.

The colour is tried at its middle, at a fixed set of points spread as its 90 % interval says, and at the same set drawn
in to a half and a quarter: a role is as sure as in the least sure of the three, so that of two readings the wider is
never the surer. A print's utility is the mean of its colours' utilities by area, as that of cloths worn together is,
and a rule that holds all of its colours holds it. The whites of a print count only where it has nothing else.

Points: M. Roberts (2018), "The unreasonable effectiveness of quasirandom sequences": the R3 sequence, from memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from scipy.special import ndtri

from tenter.arrays import BoolArray, FloatArray, IntArray, steady
from tenter.colorimetry.intervals import DEVIATIONS_TO_90
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.garments.garment import GarmentColour
from tenter.consultation.garments.role import (
    ROLES,
    GarmentAnswer,
    Hold,
    held_steps,
    kept_off_steps,
    steps_by_suitability,
    steps_of_whites,
)
from tenter.consultation.personal.suitability import Known, Offset, weighted_interval
from tenter.inference.utility import utilities

_POINTS = 80  # normal deviates by which a colour is tried
DRAWN_IN = (1.0, 0.5, 0.25)  # of the error, for how sure a role is
_R3 = 1.2207440846057596  # the real root of x⁴ = x + 1
_BINS = 1000  # of suitability, in which its interval is looked for


@cache
def _points() -> FloatArray:
    """Return normal deviates (d, 3): the middle, a sequence that fills space evenly, and the same drawn in."""
    steps = np.arange(1, _POINTS + 1)[:, None] / _R3 ** np.arange(1, 4)
    even = ndtri((0.5 + steps) % 1.0)
    spread: FloatArray = np.vstack([np.zeros((1, 3)), *(scale * even for scale in DRAWN_IN)])
    spread.setflags(write=False)
    return spread


def drawn_points(drawn: float) -> FloatArray:
    """Return the normal deviates (80, 3) by which a colour is tried.

    drawn: the share of the error, one of `DRAWN_IN`, to which they are drawn in.
    """
    start = 1 + DRAWN_IN.index(drawn) * _POINTS
    return _points()[start : start + _POINTS]


_AS_MEASURED = slice(0, _POINTS + 1)  # the middle, and the points that are not drawn in


@dataclass(frozen=True, eq=False)
class MeasuredRole:
    """What is known of how colours worn together suit a client.

    places: (d, 3), bench units, at the middle of the colours' intervals and about it. utility: (h, d, n), of each shape
    and place of the client's ideal. holds: by rule (d,), the place in `ROLES` beyond which they are not sent. kept_off:
    (d,), the place before which the staples of the palette do not let them. white: (d,), whether they are white.
    """

    known: Known
    places: FloatArray
    utility: FloatArray
    holds: dict[Hold, IntArray]
    kept_off: IntArray
    white: BoolArray

    @cached_property
    def _suited(self) -> FloatArray:
        """exp(U), shape (h, d, n)."""
        suited: FloatArray = np.exp(np.minimum(self.utility, 0))
        return suited

    @cached_property
    def _expected(self) -> FloatArray:
        """The suitability at each point, shape (d,)."""
        expected: FloatArray = steady(np.einsum("hdn,hn->d", self._suited, self.known.weights))
        return np.clip(expected, 0, 1)

    @property
    def suitability(self) -> float:
        """The suitability of the colours as they were measured, 0 to 1."""
        return float(self._expected[0])

    @cached_property
    def interval(self) -> tuple[float, float]:
        """The 90 % interval of the suitability: what is not known of the client and of the colours together."""
        suited = self._suited[:, _AS_MEASURED]
        weights = np.broadcast_to(self.known.weights[:, None], suited.shape).ravel()
        bins = np.minimum((suited.ravel() * _BINS).astype(np.intp), _BINS - 1)
        below = np.cumsum(np.bincount(bins, weights, _BINS)) / suited.shape[1]
        low, high = (np.searchsorted(steady(below), tail) / _BINS for tail in (0.05, 0.95))
        return min(float(low), self.suitability), max(min(1.0, float(high) + 1 / _BINS), self.suitability)

    @cached_property
    def _steps(self) -> IntArray:
        """The role before any hold, shape (d,)."""
        by_undertone = steps_of_whites(self.known, self.places)
        return np.where(self.white, by_undertone, steps_by_suitability(self._expected))

    @cached_property
    def _roles(self) -> IntArray:
        held: IntArray = np.maximum(np.min([self._steps, *self.holds.values()], axis=0), self.kept_off)
        return held

    @property
    def held(self) -> Hold | None:
        """The rule that the role follows from, where it does not follow from the suitability alone."""
        if self._roles[0] > min(self._steps[0], *(steps[0] for steps in self.holds.values())):
            return Hold.PALETTE
        nearer = [hold for hold, steps in self.holds.items() if steps[0] == self._roles[0] < self._steps[0]]
        if nearer or not self.white[0]:
            return nearer[0] if nearer else None
        return Hold.PALETTE if self.kept_off[0] else Hold.WHITE

    @property
    def role(self) -> GarmentAnswer:
        """Where the colours are worn as they were measured."""
        return ROLES[int(self._roles[0])]

    @cached_property
    def probabilities(self) -> dict[GarmentAnswer, float]:
        """The probability of each role, given the error of the colours alone."""
        found = self._roles[_AS_MEASURED]
        counts = np.bincount(found, minlength=len(ROLES)) / len(found)
        return dict(zip(ROLES, map(float, counts), strict=True))

    @property
    def certainty(self) -> float:
        """How sure the role is: its probability, or a smaller one with the points drawn in."""
        same = self._roles[1:].reshape(len(DRAWN_IN), _POINTS) == self._roles[0]
        return min(self.probabilities[self.role], *(float(steady(part)) for part in same.mean(axis=1)))

    @cached_property
    def off(self) -> dict[Axis, Offset]:
        """How far the colours lie from the client's ideal on each axis, in bench units."""
        found = {}
        places = self.places[_AS_MEASURED]
        weights = np.tile(self.known.of_ideal / len(places), len(places))
        for axis in Axis:
            apart = places[:, None, axis.column] - self.known.ideals[None, :, axis.column]
            low, high = weighted_interval(apart.ravel(), weights)
            mean = float(steady(apart[0] @ self.known.of_ideal))
            found[axis] = Offset(mean, min(low, mean), max(high, mean))
        return found


def measured_role(palette: PersonalPalette, known: Known, colours: Sequence[GarmentColour]) -> MeasuredRole:
    """Return how a garment's colours suit a client, taken together by their areas.

    White ones count only where all are white.
    """
    tried = [_tried(colour, known) for colour in colours]
    counting = [one for one in tried if one.family is not HueFamily.WHITE] or tried
    areas = np.array([one.area for one in counting])
    places, utility = np.zeros_like(_points()), np.zeros(())
    for one, area in zip(counting, areas / areas.sum(), strict=True):
        places = places + area * one.places
        utility = utility + area * utilities(known.shapes, one.places, known.ideals)
    held = [held_steps(palette, known.method, one.lab, one.families, one.places) for one in tried]
    holds = {hold: np.max([of_one[hold] for of_one in held], axis=0) for hold in held[0]}
    kept_off = np.max([kept_off_steps(palette, one.lab) for one in counting], axis=0)
    white = np.all([[family is HueFamily.WHITE for family in one.families] for one in counting], axis=0)
    return MeasuredRole(known, places, utility, holds, kept_off, white)


@dataclass(frozen=True, slots=True, eq=False)
class _Tried:
    """A colour and others about it, as its interval says: Lab (d, 3), hue families and places (d, 3)."""

    lab: FloatArray
    families: tuple[HueFamily, ...]
    places: FloatArray
    area: float

    @property
    def family(self) -> HueFamily:
        return self.families[0]


def _tried(colour: GarmentColour, known: Known) -> _Tried:
    """Return a colour and others about it; none darker than black."""
    lab = np.asarray(colour.lab) + _points() * np.asarray(colour.half_width_90) / DEVIATIONS_TO_90
    lab[:, 0] = np.maximum(lab[:, 0], 0)
    families = tuple(hue_family(row) for row in lab)
    return _Tried(lab, families, known.places(lab, families), colour.area)
