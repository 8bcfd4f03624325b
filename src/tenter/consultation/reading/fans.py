"""Fans: three or more cloths of one hue that step along one axis, ranked at once."""

import itertools
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.conventions.method_parts import Decides
from tenter.consultation.laid_out.bench import Frame
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.reading.phases import classes, deciding
from tenter.consultation.reading.plan import HeldSoFar, Planner
from tenter.inference.likelihood import log_ranking
from tenter.inference.planning import answer_information
from tenter.inference.posterior import Posterior

_AXES = {Decides.UNDERTONE: Axis.UNDERTONE, Decides.DEPTH: Axis.DEPTH, Decides.SEASON: Axis.CLARITY}
_MOST_TRIED = 60  # triads whose information is reckoned, widest first, so that a fan comes at once
_LEAST_STEP, _MOST_APART = 0.5, 0.8  # bench units: along the axis, and on the others


@dataclass(frozen=True, slots=True)
class Fan:
    """A fan and its expected information in nats about what the phase decides."""

    ids: tuple[str, ...]
    information: float


def best_fan(planner: Planner, frame: Frame, posterior: Posterior, phase: str, held: HeldSoFar) -> Fan | None:
    """Return the most informative fan of three steps along the phase's axis, or None where the kit has none."""
    decides = deciding(planner.bench.method, phase)
    triads = _triads(planner, _AXES.get(decides), held)
    if not triads:
        return None
    stand_ins, utility = planner.stand_ins(frame, posterior, classes(frame, decides, posterior))
    sigma = np.array([stand_ins.mean_sigma])
    side_by_side = utility[np.array(triads).T].reshape(3, -1)  # one row a step: a call costs more than its sums
    likelihoods = _orders(side_by_side, sigma).reshape(6, len(triads), -1).swapaxes(0, 1)
    information = answer_information(likelihoods, stand_ins.classes)
    best = int(np.argmax(steady(information)))
    return Fan(tuple(planner.bench.kit.ids[row] for row in triads[best]), float(information[best]))


def _orders(steps: FloatArray, sigma: FloatArray) -> FloatArray:
    """Return the probability of each order of three steps of utility (3, m), shape (6, m)."""
    orders = itertools.permutations(range(3))
    return np.stack([np.exp(log_ranking(steps[:, None, :], [[i] for i in o], sigma, RESPONSES))[0, 0] for o in orders])


def _triads(planner: Planner, axis: Axis | None, held: HeldSoFar) -> list[tuple[int, int, int]]:
    """Return fans of one family that step along one axis and stay close on the others, widest first."""
    if axis is None:
        return []
    bench, free = planner.bench, planner.free(held)
    seen = {frozenset(e.judgement.cloths) for e in held.entries}
    scored = []
    for family in np.unique(bench.families):
        rows = np.flatnonzero((bench.families == family) & free)
        rows = rows[np.argsort(bench.coordinates[rows, axis.column], kind="stable")]
        if len(rows) < 3:
            continue
        triads = np.array(list(itertools.combinations(rows, 3)))
        x = bench.coordinates[triads]
        spread = steady(np.ptp(x, axis=1))
        apart = np.delete(spread, axis.column, axis=1).max(axis=1)
        good = (steady(np.diff(x[:, :, axis.column], axis=1).min(axis=1)) >= _LEAST_STEP) & (apart <= _MOST_APART)
        score = steady(spread[:, axis.column] - 2 * apart)
        scored += [(float(score[i]), tuple(int(r) for r in triads[i])) for i in np.flatnonzero(good)]
    scored.sort(key=lambda s: (-s[0], s[1]))
    fresh = [t for _, t in scored if frozenset(bench.kit.ids[r] for r in t) not in seen]
    return [(a, b, c) for a, b, c in fresh[:_MOST_TRIED]]
