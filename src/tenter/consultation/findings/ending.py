"""Where a sitting stands: finished in a category, finished between two, or not finished, and then what it owes.

A sitting is never finished because its odds have once been high. Odds that wander touch 90 % at some moment for half of
the clients on a border. Finished means that each axis was reached by two routes, a neighbour was held, and either the
odds are above a limit that holds when it is reached or the client lies on a border that the answers have made narrow.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.reading.evidence import axes_tested
from tenter.consultation.reading.reading import Reading
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.words.odds_words import ENOUGH, OddsWord, odds_word

_TOGETHER = 0.85  # of two categories between which a client lies
_NEAR_BORDER, _SURELY = 0.4, 0.85  # bench units on either side of a border, and how probable it is to lie within them
_ROUTES = 2  # of each axis, on different cloths
# Medians of simulated sittings that are not finished after 8 to 20 pairs; the middle half of them took 3 to 15.
_PAIRS_LEFT, _PAIRS_LEFT_OPEN = 6, 12


class Ending(StrEnum):
    """How a sitting may stand."""

    FINISHED = "finished"
    BETWEEN = "between"
    UNFINISHED = "not finished"


class Owed(StrEnum):
    """What a sitting may still owe beside odds."""

    UNDERTONE = "undertone"
    DEPTH = "depth"
    CLARITY = "clarity"
    NEIGHBOUR = "neighbour"
    ODDS = "odds"


@dataclass(frozen=True, slots=True)
class Reached:
    """How a sitting stands, and what it owes.

    pairs: so many more, and half of such sittings are over (0 once it is); minutes: how many minutes they take.
    untried: the axes among those owed that no answer is about yet.
    """

    ending: Ending
    owed: tuple[Owed, ...] = ()
    pairs: int = 0
    minutes: float = 0.0
    untried: tuple[Owed, ...] = ()


def reached(sitting: Reading, stated: Mapping[str, float]) -> Reached:
    """Return how a sitting stands; `stated` are the odds of each category, 0 to 1, as they are stated.

    What counts as finished is common practice, no source; the odds that it takes are ours.
    """
    first, second = sorted(stated, key=lambda c: -steady(stated[c]))[:2]
    routes = _routes(sitting)
    owed = _pairs_owed(sitting, routes, first, second)
    sure = steady(stated[first] - ENOUGH) >= 0
    if owed or not (sure or on_border(sitting, first, second, stated)):
        owed = owed if sure else (*owed, Owed.ODDS)
        pairs = max(len(owed), _pairs_left(owed, stated[first]))
        untried = tuple(axis for axis in routes if not routes[axis])
        return Reached(Ending.UNFINISHED, owed, pairs, pairs * sitting.method.planning.pair_minutes, untried)
    return Reached(Ending.FINISHED if sure else Ending.BETWEEN)


def owes_axes(sitting: Reading) -> bool:
    """Whether an axis is owed by a second route, whatever the odds are: then no sitting is over."""
    return any(count < _ROUTES for count in _routes(sitting).values())


def owes_pairs(sitting: Reading, stated: Mapping[str, float]) -> bool:
    """Whether comparisons are owed whatever the odds: an axis by a second route, or a neighbour's cloth.

    stated: the odds of each category, 0 to 1.
    """
    first, second = sorted(stated, key=lambda c: -steady(stated[c]))[:2]
    return bool(_pairs_owed(sitting, _routes(sitting), first, second))


def _pairs_owed(sitting: Reading, routes: Mapping[Owed, int], first: str, second: str) -> tuple[Owed, ...]:
    return (*(axis for axis in routes if routes[axis] < _ROUTES), *_neighbour_owed(sitting, first, second))


def on_border(sitting: Reading, first: str, second: str, stated: Mapping[str, float]) -> bool:
    """Whether the client surely lies near the border of two categories, and in one of them.

    stated: the odds of each category, 0 to 1. The distances and the sureness are ours.
    """
    if steady(stated[first] + stated[second] - _TOGETHER) < 0:
        return False
    posterior = sitting.posterior()
    one, other = (np.array(sitting.method.region(c).prototype) for c in (first, second))
    beyond = _beyond_border(posterior.lattice.ideals, one, other)
    near = float(posterior.of_ideal[np.abs(beyond) <= _NEAR_BORDER].sum())
    return steady(near - _SURELY) >= 0


def _beyond_border(ideals: FloatArray, one: FloatArray, other: FloatArray) -> FloatArray:
    """Return how far ideal points (n, 3) lie from the plane half-way between two prototypes, in bench units."""
    normal = (other - one) / max(float(np.linalg.norm(other - one)), 1e-9)
    beyond: FloatArray = (ideals - (one + other) / 2) @ normal
    return beyond


def _routes(sitting: Reading) -> dict[Owed, int]:
    """Return how many entries on different cloths are about each axis."""
    routes: dict[Axis, set[frozenset[object]]] = {axis: set() for axis in Axis}
    for entry in sitting.evidence:
        judgement = entry.judgement
        cloths = frozenset(judgement.pair if isinstance(judgement, PairJudgement) else judgement.cloths)
        for axis in axes_tested(sitting.bench, judgement):
            routes[axis].add(cloths)
    return {Owed(axis): len(routes[axis]) for axis in Axis}


def _neighbour_owed(sitting: Reading, first: str, second: str) -> list[Owed]:
    """Return that a neighbour is owed where no cloth was held of the second category or of the trait neighbour."""
    neighbours = {second, sitting.method.region(first).trait_neighbour}
    held = {cloth for entry in sitting.evidence for cloth in entry.judgement.cloths}
    places = sitting.bench.coordinates[[sitting.kit.row(cloth) for cloth in held]]
    return [] if neighbours & {sitting.method.category_at(x) for x in places} else [Owed.NEIGHBOUR]


def _pairs_left(owed: tuple[Owed, ...], odds: float) -> int:
    """Return after how many more pairs half of the sittings that owe odds were over."""
    if Owed.ODDS not in owed:
        return 0
    return _PAIRS_LEFT if odds_word(odds) is not OddsWord.OPEN else _PAIRS_LEFT_OPEN
