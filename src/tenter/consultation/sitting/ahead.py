"""Which pairs are likely to come after the one that is held, so that hands can reach for them."""

import numpy as np

from tenter.consultation.reading.evidence import Reader
from tenter.consultation.reading.phases import DONE, next_phase
from tenter.consultation.reading.plan import HeldSoFar, NothingToPropose, Planner, Proposal
from tenter.consultation.reading.reading import Reading
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.words.answers import Answer
from tenter.inference.posterior import Posterior

_CLEARLY = 2  # the middle one of the three strengths of an answer


def likely_next(sitting: Reading, pair: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    """Return the pairs that would come next if either cloth of a pair were clearly better: one or two, or none.

    They come in the order of their ids, so that they do not say which answer leads to which. The answer is weighed on
    the coarse lattice alone. Raises `UnknownName` for a cloth that the kit lacks.
    """
    planner = Planner(sitting.bench)
    answers = (PairJudgement(*pair, side, strength=_CLEARLY) for side in (Answer.LEFT, Answer.RIGHT))
    found = [_after(sitting, answer, planner) for answer in answers]
    pairs = {frozenset((next_one.left, next_one.right)) for next_one in found if next_one}
    return tuple(sorted((min(two), max(two)) for two in pairs))


def _after(sitting: Reading, answer: PairJudgement, planner: Planner) -> Proposal | None:
    """Return what would be proposed after an answer that nobody has given."""
    frame, before = sitting.planning_frame, sitting.planning_posterior
    frame.look_up({sitting.kit.row(cloth) for cloth in answer.cloths})
    weighed = before.log_weights + Reader(sitting.bench, frame).log_likelihood(answer)
    posterior = Posterior.of_log_weights(before.lattice, weighed)
    held = sitting.held
    supposed = HeldSoFar((*held.entries, Entry(len(sitting.entries) + 1, answer)), held.missing)
    phase = sitting.phase
    if phase != DONE:
        phase, _ = next_phase(sitting.method, phase, sitting.phase_count + 1, frame, posterior)
    rng = np.random.default_rng([sitting.seed, len(supposed.entries)])
    try:
        return planner.proposal(frame, posterior, phase, supposed, rng)
    except NothingToPropose:
        return None
