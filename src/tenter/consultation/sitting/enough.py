"""When the answers to come would hardly change the result: one rule, its threshold, and the change that it goes by."""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import steady
from tenter.consultation.findings.ending import owes_pairs
from tenter.consultation.reading.phases import DONE
from tenter.consultation.reading.plan import Planner
from tenter.consultation.reading.reading import Reading

# Of the probability of the likeliest category, a minute: ours. Simulated sittings that came below it kept their result.
HARDLY_A_MINUTE = 0.02


def change_a_minute(sitting: Reading, pair: tuple[str, str]) -> float:
    """Return by how much the answer to a pair is expected to move the likeliest category's probability, a minute.

    Up or down, on the coarse lattice; a pair takes the minutes that the method says.
    """
    frame, posterior = sitting.planning_frame, sitting.planning_posterior
    own = frame.categories[[int(np.argmax(steady(posterior.masses(frame.categories))))]]
    shift = Planner(sitting.bench).expected_shift(frame, posterior, np.concatenate([own, 1 - own]), pair)
    return shift / sitting.method.planning.pair_minutes


def hardly_changes(sitting: Reading, cloths: Sequence[str]) -> bool:
    """Whether the answer to the cloths held next would hardly change the result now; they must be a pair.

    Never before the phases are over, nor while a pair is owed: a half-face view with its sides exchanged, an axis by a
    second route, or a neighbour's cloth.
    """
    if sitting.phase != DONE or sitting.exchanges_owed or len(cloths) != 2:
        return False
    odds = sitting.planning_posterior.masses(sitting.planning_frame.categories)
    if owes_pairs(sitting, dict(zip(sitting.method.categories, map(float, odds), strict=True))):
        return False
    return bool(steady(change_a_minute(sitting, (cloths[0], cloths[1])) - HARDLY_A_MINUTE) < 0)
