"""The lay-out: which cloths to pull from the rack before the client sits."""

from collections.abc import Iterator

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.consultation.conventions.method_parts import Decides
from tenter.consultation.laid_out.bench import Frame
from tenter.consultation.reading.phases import classes
from tenter.consultation.reading.plan import HeldSoFar, Planner
from tenter.consultation.reading.reading import Reading
from tenter.inference.posterior import Posterior

_PAIRS_A_PHASE = 5  # pairs laid out at the most for one phase


def lay_out(sitting: Reading, count: int = 36) -> tuple[str, ...]:
    """Return up to `count` cloths, in the order in which they are likely to be wanted.

    Phase by phase the best pairs for somebody unknown, each cloth in one pair; for what lies inside a season, the best
    pairs of each season in turn. The sitting's own plan may still ask for another cloth.
    """
    planner, frame = Planner(sitting.bench), sitting.planning_frame
    chosen: dict[str, None] = {}
    for phase in sitting.method.phases:
        for membership in _questions(sitting, frame, phase.decides):
            chosen |= dict.fromkeys(_best_pairs(planner, frame, membership, sitting.held, set(chosen)))
    return tuple(chosen)[:count]


def _questions(sitting: Reading, frame: Frame, decides: Decides) -> Iterator[FloatArray]:
    if decides is not Decides.CATEGORY:
        yield classes(frame, decides, Posterior.of(frame.lattice))
        return
    for season in sitting.method.seasons:
        yield frame.categories[[r.season == season for r in sitting.method.regions]]


def _best_pairs(planner: Planner, frame: Frame, membership: FloatArray, held: HeldSoFar, taken: set[str]) -> list[str]:
    pairs = planner.candidate_pairs(held)
    if not len(pairs):
        return []
    ids = planner.bench.kit.ids
    information = planner.information(frame, Posterior.of(frame.lattice), membership, pairs)
    chosen: list[str] = []
    for place in np.argsort(-steady(planner.preferred(information, pairs)), kind="stable"):
        pair = [ids[row] for row in pairs[place]]
        if not taken & set(pair) and not set(chosen) & set(pair):
            chosen += pair
        if len(chosen) >= 2 * _PAIRS_A_PHASE:
            break
    return chosen
