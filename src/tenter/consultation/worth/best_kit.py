"""The best kit of so many cloths out of those owned: what tells most when only they can be held.

Two ways lead there: cloths are left out one at a time, the one that is missed least first; or they are added to the
best pair, the one that tells most first. Either kit is then improved by exchanges while they tell more: ours. That no
other kit of the size is better is not proved. But none can tell more at a look than all cloths together, which is the
bound that is stated.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import BoolArray, FloatArray, IntArray, steady
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.worth.tried_sittings import TriedSittings, places_of, rows_by_id, sittings_with, tried_sittings
from tenter.given import given_whole
from tenter.language import _

_MOST_EXCHANGES = 60  # each tells more than the one before, so that this is a guard and no aim


@dataclass(frozen=True, slots=True)
class BestKit:
    """A kit out of the cloths owned; `cloths` are ids in the kit's order.

    `nats` is what its own sittings teach a comparison, over the first nine, and `nats_of_all` the same with every
    measured cloth. `share` is what its best pairs tell of what the best of all pairs do, 0 to 1: no kit of this size
    has more than 1.
    """

    cloths: tuple[str, ...]
    nats: float
    nats_of_all: float
    share: float


def best_kit(bench: Bench, count: int) -> BestKit:
    """Return the best kit of `count` of the measured cloths, metals left out; the same whatever their order.

    Raises
    ------
    TenterError
        If the count is below 2 or above how many measured cloths there are.
    """
    owned = rows_by_id(bench)
    given_whole(count, _("the number of cloths of the best kit"), 2, max(2, owned.size))
    tried = tried_sittings(bench)
    size = min(count, owned.size)
    ways = [_exchanged(tried, way(tried, size)) for way in (_left_out, _grown)]
    chosen = max(ways, key=lambda way: float(steady(_best(tried, way).sum())))
    of_all, own = float(tried.best.mean()), float(_best(tried, chosen).mean())
    return BestKit(
        tuple(bench.kit.ids[row] for row in np.sort(tried.rows[chosen])),
        float(sittings_with(bench, tried.rows[chosen]).learned.mean()),
        float(tried.learned.mean()),
        own / of_all if of_all > 0 else 1.0,
    )


def _ends(tried: TriedSittings) -> IntArray:
    return places_of(tried.rows, tried.pairs)


def _best(tried: TriedSittings, chosen: BoolArray) -> FloatArray:
    """Return what the best pair among chosen cloths (n,) tells at each look, shape (s,)."""
    best: FloatArray = tried.told[:, chosen[_ends(tried)].all(axis=1)].max(axis=1, initial=0.0)
    return best


def _left_out(tried: TriedSittings, count: int) -> BoolArray:
    """Return which cloths (n,) stay when the others have been left out one at a time."""
    ends, chosen = _ends(tried), np.ones(tried.rows.size, dtype=bool)
    while chosen.sum() > count:
        alive = np.flatnonzero(chosen[ends].all(axis=1))
        missed = np.where(chosen, 0.0, np.inf)
        # Cloths that are missed nowhere go by the best that they could show.
        strength = np.where(chosen, 0.0, np.inf)
        if alive.size:
            told = tried.told[:, alive]
            top = told.argmax(axis=1)
            best = told[np.arange(len(told)), top]
            np.maximum.at(strength, ends[alive].ravel(), np.repeat(told.mean(axis=0), 2))
            for cloth in np.unique(ends[alive[top]]):
                looks = (ends[alive[top]] == cloth).any(axis=1)
                rest = (ends[alive] != cloth).all(axis=1)
                missed[cloth] = (best[looks] - told[looks][:, rest].max(axis=1, initial=0.0)).sum()
        chosen[np.lexsort((steady(strength), steady(missed)))[0]] = False
    return chosen


def _grown(tried: TriedSittings, count: int) -> BoolArray:
    """Return which cloths (n,) there are when the best pair has been added to, one cloth at a time."""
    ends, chosen = _ends(tried), np.zeros(tried.rows.size, dtype=bool)
    if len(ends):
        chosen[ends[int(np.argmax(steady(tried.told.mean(axis=0))))]] = True
    while chosen.sum() < count:
        left = np.flatnonzero(~chosen)
        now = _best(tried, chosen)
        told = [_told_with(tried, ends, chosen, now, int(new)) for new in left]
        chosen[left[int(np.argmax(told))]] = True
    return chosen


def _told_with(tried: TriedSittings, ends: IntArray, chosen: BoolArray, now: FloatArray, new: int) -> float:
    able = (ends == new).any(axis=1) & (chosen[ends].any(axis=1))
    return float(steady(np.maximum(now, tried.told[:, able].max(axis=1, initial=0.0)).sum()))


def _exchanged(tried: TriedSittings, chosen: BoolArray) -> BoolArray:
    """Return the chosen cloths (n,) after every exchange of one for one left out that tells more, the best first."""
    for _step in range(_MOST_EXCHANGES):
        out, new, told = _best_exchange(tried, chosen)
        if steady(told - float(_best(tried, chosen).sum())) <= 0:
            break
        chosen = chosen.copy()
        chosen[out], chosen[new] = False, True
    return chosen


def _best_exchange(tried: TriedSittings, chosen: BoolArray) -> tuple[int, int, float]:
    ends, found = _ends(tried), (0, 0, -np.inf)
    partner_of = [(np.flatnonzero((ends == c).any(axis=1)), c) for c in np.flatnonzero(~chosen)]
    for out in np.flatnonzero(chosen):
        kept = chosen.copy()
        kept[out] = False
        base = _best(tried, kept)
        for own, new in partner_of:
            able = own[kept[ends[own].sum(axis=1) - new]]
            told = float(steady(np.maximum(base, tried.told[:, able].max(axis=1, initial=0.0)).sum()))
            if told > found[2]:
                found = (int(out), int(new), told)
    return found
