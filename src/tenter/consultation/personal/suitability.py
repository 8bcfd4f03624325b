"""How well any colour suits a client, from what is known of them, small enough to travel in a file.

What is known is the posterior of a sitting, condensed: some hundred places where the client's ideal may lie, with the
weight of each under every shape of utility. Suitability is the expectation of exp(U): 1 at the ideal, and exp(−1),
0.37, at the edge of what works on its own. Nothing here is random.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tenter.arrays import FloatArray, IntArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.conventions.method import Method, Use
from tenter.errors import TenterError
from tenter.inference.posterior import Posterior
from tenter.inference.utility import Shape, utilities

_PARTS = 7  # along each axis, into which the lattice is gathered: at most 343 places
_LEAST_WEIGHT = 2e-4  # of a place; lighter ones say nothing that is seen in a suitability
_PLACE_DECIMALS, _WEIGHT_DECIMALS = 4, 7  # as written in a file, so that what is read back is what was used
_TAIL = 0.05  # on either side of a 90 % interval


@dataclass(frozen=True, slots=True)
class Offset:
    """How far a colour lies from the client's ideal on one axis.

    mean, low, high: in bench units, with the 90 % interval. Above 0 it is too warm, too light or too bright; below 0
    too cool, too dark or too soft.
    """

    mean: float
    low: float
    high: float


@dataclass(frozen=True, eq=False)
class Known:
    """What is known of a client: where their ideal may lie, and how utility falls with distance from it.

    ideals (n, 3): undertone, depth and clarity in bench units. weights (h, n): the probability of each shape and place;
    they are made to sum to 1. Raises `TenterError` for other shapes, a place that is not finite, a weight below 0, and
    weights that are all 0.
    """

    method: Method
    shapes: tuple[Shape, ...]
    ideals: FloatArray
    weights: FloatArray

    def __post_init__(self) -> None:
        if self.ideals.shape[1:] != (3,) or self.weights.shape != (len(self.shapes), len(self.ideals)):
            raise TenterError(
                f"{len(self.shapes)} shapes and places {self.ideals.shape} need weights of shapes × places; got "
                f"{self.weights.shape}"
            )
        if not np.all(np.isfinite(self.ideals)) or not np.all(self.weights >= 0) or not self.weights.sum() > 0:
            raise TenterError(
                "what is known of a client needs finite places, and weights of at least 0 that are not all 0"
            )
        object.__setattr__(self, "weights", self.weights / self.weights.sum())

    @cached_property
    def of_ideal(self) -> FloatArray:
        """The probability of each place, shape (n,)."""
        of_ideal: FloatArray = self.weights.sum(axis=0)
        return of_ideal

    @cached_property
    def ideal(self) -> FloatArray:
        """The mean place, shape (3,), in bench units."""
        ideal: FloatArray = self.of_ideal @ self.ideals
        return ideal

    @cached_property
    def warm(self) -> float:
        """The probability that the ideal is of a category whose season is warm."""
        return float(sum(p for c, p in self.masses.items() if self.method.side_of[self.method.season_of[c]] == "warm"))

    @cached_property
    def masses(self) -> dict[str, float]:
        """The probability of each category, by the nearest prototype."""
        of_category = np.bincount(self._categories, self.of_ideal, len(self.method.categories))
        return dict(zip(self.method.categories, map(float, of_category), strict=True))

    @cached_property
    def _categories(self) -> IntArray:
        apart = np.sum((self.ideals[:, None] - self.method.prototypes[None]) ** 2, axis=2)
        nearest: IntArray = np.argmin(steady(apart), axis=1)
        return nearest

    def within(self, category: str) -> "Known":
        """Return what would be known were the client surely of one category; all of it where no place is of it."""
        of_it = self._categories == self.method.categories.index(category)
        if not self.of_ideal[of_it].sum() > 0:
            return self
        return Known(self.method, self.shapes, self.ideals[of_it], self.weights[:, of_it])

    def places(self, lab: FloatArray, families: Sequence[HueFamily]) -> FloatArray:
        """Return where colours (m, 3), D65/10°, lie as they are worn, in bench units, shape (m, 3)."""
        return self.method.places(lab, families, Use.WEAR)

    def suitability(self, places: FloatArray) -> FloatArray:
        """Return the suitability of colours at places (m, 3), from 0 to 1, steady to 1e-9, shape (m,).

        Our own: the expectation of exp(utility), 1 at the ideal.
        """
        total = np.zeros(len(places))
        for shape, weights in zip(self.shapes, self.weights, strict=True):
            worth = shape.utility(places, self.ideals)
            np.exp(np.minimum(worth, 0, out=worth), out=worth)  # in its own place: it is by far the largest array here
            total += worth @ weights
        return steady(np.clip(total, 0, 1))

    def utility(self, places: FloatArray) -> FloatArray:
        """Return the expected utility of colours at places (m, 3), 0 at the ideal, shape (m,)."""
        total = np.zeros(len(places))
        for shape, weights in zip(self.shapes, self.weights, strict=True):
            total += shape.utility(places, self.ideals) @ weights
        return steady(total)

    def interval(self, places: FloatArray) -> FloatArray:
        """Return the 90 % interval (m, 2) of the suitability of colours at places (m, 3).

        Widened to hold the expectation, which a lopsided posterior can put outside of it.
        """
        of_each = np.exp(np.minimum(utilities(self.shapes, places, self.ideals), 0))  # (h, m, n)
        values = np.moveaxis(of_each, 1, 0).reshape(len(places), self.weights.size)
        found = np.array([weighted_interval(row, self.weights.ravel()) for row in values]).reshape(-1, 2)
        expected = self.suitability(places)
        return np.stack([np.minimum(found[:, 0], expected), np.maximum(found[:, 1], expected)], axis=1)

    def off(self, place: FloatArray) -> dict[Axis, Offset]:
        """Return how far a colour at a place (3,) lies from the ideal on each axis, in bench units."""
        found = {}
        for axis in Axis:
            apart = float(place[axis.column]) - self.ideals[:, axis.column]
            low, high = weighted_interval(apart, self.of_ideal)
            mean = float(apart @ self.of_ideal)
            found[axis] = Offset(mean, min(low, mean), max(high, mean))
        return found


def weighted_interval(values: FloatArray, weights: FloatArray) -> tuple[float, float]:
    """Return the central 90 % interval of values (n,) with weights (n,) that sum to 1."""
    order = np.argsort(steady(values), kind="stable")
    below = np.cumsum(weights[order]) - weights[order] / 2  # a value stands for the bin around it
    low, high = np.interp([_TAIL, 1 - _TAIL], below, values[order])
    return float(steady(low)), float(steady(high))


def condensed(posterior: Posterior, method: Method) -> Known:
    """Return a posterior of three axes as some hundred places: neighbours on its lattice gathered at their mean."""
    box = posterior.lattice.box
    of_shape = posterior.weights.sum(axis=1)  # (h, n)
    part = np.minimum(np.arange(box.nodes) * _PARTS // box.nodes, _PARTS - 1)
    undertone, depth, clarity = np.meshgrid(part, part, part, indexing="ij")
    cell = ((undertone * _PARTS + depth) * _PARTS + clarity).ravel()
    count = _PARTS**3
    weights = np.stack([np.bincount(cell, row, count) for row in of_shape])
    mass = weights.sum(axis=0)
    kept = mass >= _LEAST_WEIGHT
    moments = np.stack([np.bincount(cell, posterior.of_ideal * column, count) for column in posterior.lattice.ideals.T])
    ideals = (moments[:, kept] / mass[kept]).T
    return Known(
        method,
        posterior.lattice.shapes,
        np.round(ideals, _PLACE_DECIMALS) + 0.0,
        np.round(weights[:, kept] / mass[kept].sum(), _WEIGHT_DECIMALS),
    )


def moved_to(known: Known, place: FloatArray) -> Known:
    """Return what is known with its mean carried to a place (3,): for a result that the consultant names."""
    return Known(known.method, known.shapes, known.ideals + (place - known.ideal), known.weights)


def prototype(method: Method, category: str, shapes: tuple[Shape, ...]) -> Known:
    """Return what a fixed card supposes of a client: the ideal of the category's prototype, and nothing unsure."""
    shares = np.array([[shape.share] for shape in shapes])
    return Known(method, shapes, np.array([method.region(category).prototype], dtype=float), shares)
