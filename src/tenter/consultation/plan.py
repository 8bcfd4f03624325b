"""Which comparison next: phases in the method's order, and inside a phase the most informative pair or fan."""

import itertools
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, IntArray
from tenter.consultation.axes import Axis
from tenter.consultation.bench import Bench, Frame
from tenter.consultation.evidence import RESPONSES
from tenter.consultation.history import Entry
from tenter.consultation.judgements import PairJudgement
from tenter.consultation.method import Decides, Method, Phase
from tenter.errors import TenterError
from tenter.inference.likelihood import log_ranking
from tenter.inference.planning import (
    Representatives,
    answer_information,
    exact_pair_information,
    pair_information,
    representatives,
)
from tenter.inference.posterior import Posterior

DONE = "done"
_REPRESENTATIVES = 1500
_LOOKED_AT_CLOSELY = 60  # pairs, best by the quick figure, whose information is then worked out in full
_MOST_USES = 3  # of one cloth in a sitting: a cloth seen too often is judged from memory
_FAN_AXES = {Decides.UNDERTONE: Axis.UNDERTONE, Decides.DEPTH: Axis.DEPTH, Decides.SEASON: Axis.CLARITY}
_FANS_TRIED = 60


class NothingToPropose(TenterError):
    """No pair is left that the reuse limits allow."""

    def __init__(self) -> None:
        super().__init__(
            f"no pair is left: every same-hue pair has been seen, or uses a cloth held {_MOST_USES} times already; "
            "choose a pair yourself, or read the verdict"
        )


def classes(frame: Frame, decides: Decides, posterior: Posterior) -> FloatArray:
    """Return membership (k, n) in the classes that a phase decides between."""
    if decides is Decides.UNDERTONE:
        return frame.sides
    if decides is Decides.DEPTH:
        return frame.depths
    if decides is Decides.SEASON:
        return frame.seasons
    if decides is Decides.CATEGORY:
        season = frame.method.seasons[int(np.argmax(posterior.masses(frame.seasons)))]
        return frame.categories[[r.season == season for r in frame.method.regions]]
    return frame.categories


def is_settled(phase: Phase, count: int, frame: Frame, posterior: Posterior) -> bool:
    """Tell whether a phase is over after `count` entries in it."""
    if count >= phase.most:
        return True
    return (
        count >= phase.least and float(posterior.masses(classes(frame, phase.decides, posterior)).max()) >= phase.enough
    )


def next_phase(method: Method, current: str, count: int, frame: Frame, posterior: Posterior) -> tuple[str, int]:
    """Return the phase after an entry, and how many entries it has had; "done" after the last."""
    ids = [p.id for p in method.phases]
    while current != DONE:
        place = ids.index(current)
        if not is_settled(method.phases[place], count, frame, posterior):
            break
        current, count = (ids[place + 1], 0) if place + 1 < len(ids) else (DONE, 0)
    return current, count


def _deciding(method: Method, phase: str) -> Decides:
    return next((p.decides for p in method.phases if p.id == phase), Decides.NEIGHBOUR)


def _is_plain(pair: frozenset[tuple[str, ...]]) -> bool:
    return all(len(side) == 1 for side in pair)


@dataclass(frozen=True, eq=False)
class Planner:
    """Chooses among the cloths of a bench."""

    bench: Bench

    def candidate_pairs(self, entries: Sequence[Entry]) -> IntArray:
        """Return the pairs (p, 2) that may be proposed: one hue family, not seen together, no cloth held too often."""
        uses = Counter(c for e in entries for c in e.judgement.cloths)
        free = np.array([uses[i] < _MOST_USES for i in self.bench.kit.ids]) & ~self.bench.metals
        first, second = np.triu_indices(len(self.bench.kit), 1)
        same = self.bench.families[first] == self.bench.families[second]
        if same.any():
            first, second = first[same], second[same]
        allowed = free[first] & free[second]
        pairs = np.stack([first[allowed], second[allowed]], axis=1)
        seen = {e.judgement.pair for e in entries if isinstance(e.judgement, PairJudgement)}
        if not seen:
            return pairs
        taken = {tuple(sorted(self.bench.kit.row(side[0]) for side in pair)) for pair in seen if _is_plain(pair)}
        fresh = np.ones(len(pairs), dtype=bool)
        for a, b in taken:
            fresh &= (pairs[:, 0] != a) | (pairs[:, 1] != b)
        left: IntArray = pairs[fresh]
        return left

    def _stand_ins(
        self, frame: Frame, posterior: Posterior, membership: FloatArray
    ) -> tuple[Representatives, FloatArray]:
        stand_ins = representatives(posterior, membership, _REPRESENTATIVES)
        coordinates = self.bench.coordinates
        utility = np.empty((len(coordinates), _REPRESENTATIVES))
        for h, shape in enumerate(frame.lattice.shapes):
            of_shape = stand_ins.shapes == h
            utility[:, of_shape] = shape.utility(coordinates, frame.lattice.ideals[stand_ins.ideals[of_shape]])
        return stand_ins, utility

    def pair(
        self, frame: Frame, posterior: Posterior, phase: str, entries: Sequence[Entry], rng: np.random.Generator
    ) -> tuple[str, str]:
        """Return the most informative pair, left and right at random; raises `NothingToPropose`."""
        pairs = self.candidate_pairs(entries)
        if not len(pairs):
            raise NothingToPropose
        membership = classes(frame, _deciding(self.bench.method, phase), posterior)
        best = self.best_pair(frame, posterior, membership, pairs)
        return best if rng.random() < 0.5 else best[::-1]

    def best_pair(self, frame: Frame, posterior: Posterior, membership: FloatArray, pairs: IntArray) -> tuple[str, str]:
        """Return the pair (of pairs, shape (p, 2)) that says most about the classes of a membership (k, n)."""
        first, second = pairs[int(np.argmax(self.information(frame, posterior, membership, pairs)))]
        return self.bench.kit.ids[first], self.bench.kit.ids[second]

    def information(self, frame: Frame, posterior: Posterior, membership: FloatArray, pairs: IntArray) -> FloatArray:
        """Return the expected information in nats of each pair about the classes of a membership (k, n)."""
        stand_ins, utility = self._stand_ins(frame, posterior, membership)
        noise, hidden = self.bench.pair_noise(pairs[:, 0], pairs[:, 1])
        mean_noise = float(stand_ins.sigmas.mean()) * noise
        rough = (1 - hidden) * pair_information(utility, stand_ins.classes, mean_noise, pairs, RESPONSES)
        best = np.argsort(-rough, kind="stable")[:_LOOKED_AT_CLOSELY]
        close = exact_pair_information(utility, stand_ins, noise[best], pairs[best], RESPONSES)
        information: FloatArray = np.minimum(rough, close.min())
        information[best] = (1 - hidden[best]) * close
        return information

    def fan(self, frame: Frame, posterior: Posterior, phase: str, entries: Sequence[Entry]) -> tuple[str, ...] | None:
        """Return the most informative fan of three steps along the phase's axis, or None where the kit has none."""
        decides = _deciding(self.bench.method, phase)
        triads = self._triads(_FAN_AXES.get(decides), entries)
        if not triads:
            return None
        stand_ins, utility = self._stand_ins(frame, posterior, classes(frame, decides, posterior))
        orders = list(itertools.permutations(range(3)))
        sigma = np.array([stand_ins.sigmas.mean()])
        likelihoods = np.stack(
            [
                np.stack(
                    [
                        np.exp(log_ranking(utility[list(t)][:, None, :], [[i] for i in o], sigma, RESPONSES))[0, 0]
                        for o in orders
                    ]
                )
                for t in triads
            ]
        )
        best = triads[int(np.argmax(answer_information(likelihoods, stand_ins.classes)))]
        return tuple(self.bench.kit.ids[row] for row in best)

    def _triads(self, axis: Axis | None, entries: Sequence[Entry]) -> list[tuple[int, int, int]]:
        """Return fans of one family that step along one axis and stay close on the others."""
        if axis is None:
            return []
        uses = Counter(c for e in entries for c in e.judgement.cloths)
        seen = {frozenset(e.judgement.cloths) for e in entries}
        x = self.bench.coordinates
        scored = []
        for family in np.unique(self.bench.families):
            rows = [
                int(r)
                for r in np.flatnonzero((self.bench.families == family) & ~self.bench.metals)
                if uses[self.bench.kit.ids[r]] < _MOST_USES
            ]
            rows.sort(key=lambda r: float(x[r, axis.column]))
            for triad in itertools.combinations(rows, 3):
                spread = np.ptp(x[list(triad)], axis=0)
                steps = np.diff(x[list(triad), axis.column])
                apart = np.delete(spread, axis.column).max()
                if steps.min() >= 0.5 and apart <= 0.8 and frozenset(self.bench.kit.ids[r] for r in triad) not in seen:
                    scored.append((float(spread[axis.column] - 2 * apart), triad))
        scored.sort(key=lambda s: (-s[0], s[1]))
        return [triad for _, triad in scored[:_FANS_TRIED]]
