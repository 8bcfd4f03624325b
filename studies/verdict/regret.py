"""How much information the proposed pair gives away against the best pair by exact calculation."""

from dataclasses import dataclass

import numpy as np

from studies.clients.trials import Setting, sitting_after
from tenter.arrays import FloatArray, IntArray
from tenter.consultation.laid_out.bench import Frame
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.reading.phases import classes, deciding
from tenter.consultation.reading.plan import Planner
from tenter.inference.likelihood import grade_probabilities
from tenter.inference.planning import answer_information
from tenter.inference.posterior import Posterior

CLOSE, AT_RANDOM = 300, 200
_LEFT_OUT = 1e-6  # of the posterior: hypotheses so light that no answer makes them count
_AFTER = (2, 5, 8, 11, 14, 17, 20, 26)
_CHUNK = 20


@dataclass(frozen=True, slots=True)
class Regret:
    """Information in nats of the proposed pair and of the best of the candidates looked at, as the plan prefers them.

    For each thing that a pair differs in besides what it tests, the plan takes its information for less.
    """

    phase: str
    after: int
    proposed: float
    best: float
    candidates: int

    @property
    def percent(self) -> float:
        return 100 * (1 - self.proposed / self.best) if self.best > 0 else 0.0


def regret(setting: Setting, index: int, seed: int) -> Regret:
    """Return the regret of one proposal, in a sitting of one of several lengths.

    Exact: every shape, style and ideal point of the planning lattice but a millionth of the mass, with the probability
    of all five grades and the share of showings that can show nothing, of the pairs that the plan may propose: the 300
    best by the planner's own figure, 200 of the rest at random, and the proposal.
    """
    after = _AFTER[index % len(_AFTER)]
    sitting = sitting_after(setting, index, seed, after)
    planner, held = Planner(sitting.bench), sitting.held
    frame, posterior = sitting.planning_frame, sitting.planning_posterior
    membership = classes(frame, deciding(sitting.method, sitting.phase), posterior)
    pairs = planner.repeat_due(held)
    pairs = pairs if len(pairs) else planner.candidate_pairs(held)
    quick = planner.information(frame, posterior, membership, pairs)
    order = np.argsort(-planner.preferred(quick, pairs), kind="stable")
    rest = np.random.default_rng([seed, index, 4]).permutation(order[CLOSE:])[:AT_RANDOM]
    looked_at = np.concatenate([order[:CLOSE], rest])
    chosen = tuple(sorted(sitting.kit.row(c) for c in sitting.propose()))
    exact = exact_information(planner, frame, posterior, membership, pairs[looked_at])
    exact = planner.preferred(exact, pairs[looked_at])
    place = next(i for i, p in enumerate(pairs[looked_at]) if tuple(sorted(p)) == chosen)
    return Regret(sitting.phase, after, float(exact[place]), float(exact.max()), len(looked_at))


def exact_information(
    planner: Planner, frame: Frame, posterior: Posterior, membership: FloatArray, pairs: IntArray
) -> FloatArray:
    """Return the expected information about the classes, in nats, of each pair, on the whole lattice."""
    weights = posterior.weights * membership.sum(axis=0)
    flat = weights.ravel() / weights.sum()
    order = np.argsort(-flat)
    kept = np.sort(order[: int(np.searchsorted(np.cumsum(flat[order]), 1 - _LEFT_OUT)) + 1])
    shapes, styles, ideals = np.unravel_index(kept, weights.shape)
    of_class = membership[:, ideals]
    mass = of_class / of_class.sum(axis=0) * flat[kept]
    lattice = frame.lattice
    noise, hidden = planner.bench.pair_noise(pairs[:, 0], pairs[:, 1])
    rows, local = np.unique(pairs, return_inverse=True)
    local = local.reshape(-1, 2)
    utility = np.empty((len(rows), len(kept)))
    for h, shape in enumerate(lattice.shapes):
        utility[:, shapes == h] = shape.utility(planner.bench.coordinates[rows], lattice.ideals[ideals[shapes == h]])
    found = []
    for start in range(0, len(pairs), _CHUNK):
        part = slice(start, start + _CHUNK)
        difference = utility[local[part, 0]] - utility[local[part, 1]]
        sigma = noise[part, None] * lattice.sigmas[styles]
        told = grade_probabilities(difference, sigma, RESPONSES, lattice.cut_scales[styles]).transpose(0, 2, 1)
        told = told * (1 - hidden[part, None, None])
        told[:, 2] += hidden[part, None]
        found.append(answer_information(told, mass))
    return np.concatenate(found)
