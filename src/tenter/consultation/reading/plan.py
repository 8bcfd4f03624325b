"""Which comparison next: phases in the method's order, and inside a phase the most informative pair or fan."""

from collections import Counter
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from tenter.arrays import BoolArray, FloatArray, IntArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.conventions.method_parts import Decides
from tenter.consultation.laid_out.bench import MIDDLE_CUTS, Bench, Frame
from tenter.consultation.laid_out.pair_quality import CLEAN_SHARE, FEW_PAIRS
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.reading.phases import classes, deciding
from tenter.consultation.record.history import Entry
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.record.no_evidence import VoidEntry
from tenter.errors import TenterError
from tenter.inference.planning import (
    ClassMoments,
    Representatives,
    exact_pair_information,
    expected_shift,
    pair_information,
    pair_signal,
    representatives,
)
from tenter.inference.posterior import Posterior
from tenter.language import _

_REPRESENTATIVES = 2000  # hypotheses that stand for all of them, so that a proposal comes at once
_SIEVED = 1200  # pairs, best by their signal alone, whose information is worked out by the quick figure
_MORE = 1.25  # times as much is what a pair has to promise for each thing that it differs in besides the one it tests
_LOOKED_AT_CLOSELY = 48  # pairs, best by the quick figure, whose information is then worked out in full


class NothingToPropose(TenterError):
    """No pair is left that the reuse limits allow."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "no pair is left: every pair has been seen, or has a cloth that is missing or was held too often; "
                "choose a pair yourself, or read the verdict"
            )
        )


def _is_plain(pair: frozenset[tuple[str, ...]]) -> bool:
    return all(len(side) == 1 for side in pair)


@dataclass(frozen=True, slots=True)
class HeldSoFar:
    """What has been on the bench so far: entries, void ones too, and the cloths that cannot be found."""

    entries: tuple[Entry, ...]
    missing: frozenset[str] = frozenset()

    @property
    def passed_over(self) -> set[frozenset[tuple[str, ...]]]:
        """The pairs instead of which another was asked for."""
        judgements = (e.judgement for e in self.entries)
        voids = (j for j in judgements if isinstance(j, VoidEntry) and j.note == VoidEntry.PASSED_OVER)
        return {frozenset((cloth,) for cloth in void.held) for void in voids if len(void.held) == 2}


@dataclass(frozen=True, slots=True)
class Proposal:
    """Two cloths to hold next, by id, and the expected information in nats of their comparison."""

    left: str
    right: str
    information: float


def exchanged(left: str, right: str, held: HeldSoFar) -> tuple[str, str]:
    """Return two cloths the other way round than they were last held, which they must have been."""
    last = next(
        e.judgement
        for e in reversed(held.entries)
        if isinstance(e.judgement, PairJudgement) and set(e.judgement.cloths) == {left, right}
    )
    return last.sides[1][0], last.sides[0][0]


class _Reckoned(NamedTuple):
    """The stand-ins of a posterior for the classes of a membership."""

    frame: Frame
    posterior: Posterior
    membership: FloatArray
    stand_ins: tuple[Representatives, FloatArray]


@dataclass(frozen=True, eq=False)
class Planner:
    """Chooses among the cloths of a bench. Made for one plan: it keeps the stand-ins that it reckoned last."""

    bench: Bench
    _reckoned: list[_Reckoned] = field(default_factory=list, init=False, repr=False)

    def free(self, held: HeldSoFar) -> BoolArray:
        """Tell which of n cloths may be proposed, shape (n,): no metals, none missing, unmeasured or held too often."""
        uses = Counter(c for e in held.entries for c in e.judgement.cloths)
        most = self.bench.method.planning.most_uses
        here = [uses[i] < most and i not in held.missing for i in self.bench.kit.ids]
        return np.array(here) & ~self.bench.metals & ~self.bench.spreads.any(axis=1)

    def candidate_pairs(self, held: HeldSoFar) -> IntArray:
        """Return the pairs (p, 2), as rows of the kit, that may be proposed.

        They are free cloths not seen together yet, of one hue family. Where few of one hue are left, as soon happens
        with a small kit, those of two hues come after them.
        """
        first, second = np.triu_indices(len(self.bench.kit), 1)
        free = self.free(held)
        left = free[first] & free[second] & self._fresh(held)[first, second]
        same = self.bench.families[first] == self.bench.families[second]
        pairs: IntArray = np.stack([first, second], axis=1)
        alike = pairs[left & same]
        return alike if len(alike) >= FEW_PAIRS else np.concatenate([alike, pairs[left & ~same]])

    def _fresh(self, held: HeldSoFar) -> BoolArray:
        """Tell of every two cloths (n, n) whether they have not been seen together, nor been passed over."""
        seen = {e.judgement.pair for e in held.entries if isinstance(e.judgement, PairJudgement)} | held.passed_over
        fresh = np.ones((len(self.bench.kit),) * 2, dtype=bool)
        for pair in filter(_is_plain, seen):
            rows = [self.bench.kit.row(side[0]) for side in pair]
            fresh[np.ix_(rows, rows)] = False
        return fresh

    def stand_ins(
        self, frame: Frame, posterior: Posterior, membership: FloatArray
    ) -> tuple[Representatives, FloatArray]:
        """Return what stands in for a posterior, and each cloth's utility to it; kept for who asks the same.

        membership (k, n): of the ideal points in the classes to decide between. The utilities are (c, r) for c cloths
        and r stand-ins.
        """
        for last in self._reckoned:
            if last.frame is frame and last.posterior is posterior and np.array_equal(last.membership, membership):
                return last.stand_ins
        found = self._stand_ins(frame, posterior, membership)
        self._reckoned[:] = [_Reckoned(frame, posterior, membership, found)]
        return found

    def _stand_ins(
        self, frame: Frame, posterior: Posterior, membership: FloatArray
    ) -> tuple[Representatives, FloatArray]:
        stand_ins = representatives(posterior, membership, _REPRESENTATIVES)
        coordinates = self.bench.coordinates
        utility = np.empty((len(coordinates), stand_ins.shapes.size))
        for h, shape in enumerate(frame.lattice.shapes):
            of_shape = np.flatnonzero(stand_ins.shapes == h)
            utility[:, of_shape] = shape.utility(coordinates, frame.lattice.ideals[stand_ins.ideals[of_shape]])
        return stand_ins, utility

    def proposal(
        self, frame: Frame, posterior: Posterior, phase: str, held: HeldSoFar, rng: np.random.Generator
    ) -> Proposal:
        """Return the most informative pair, left and right at random; now and then an earlier one with sides exchanged.

        Raises `NothingToPropose` when the limits leave no pair.
        """
        membership = classes(frame, deciding(self.bench.method, phase), posterior)
        again = self.repeat_due(held)
        if len(again):
            best = self.best_pair(frame, posterior, membership, again)
            return Proposal(*exchanged(best.left, best.right, held), best.information)
        pairs = self.candidate_pairs(held)
        if not len(pairs):
            raise NothingToPropose
        if deciding(self.bench.method, phase) is Decides.CATEGORY:
            pairs = self.of_one_hue(pairs)
        if not held.entries and deciding(self.bench.method, phase) is Decides.UNDERTONE:
            pairs = self.opening_pairs(pairs)
        best = self.best_pair(frame, posterior, membership, pairs)
        return best if rng.random() < 0.5 else Proposal(best.right, best.left, best.information)

    def opening_pairs(self, pairs: IntArray) -> IntArray:
        """Return those of pairs (p, 2) that are light and differ in undertone alone, (q, 2); all, where none does.

        A light cloth throws more light on the face, so that the first reaction is one that can be seen.
        """
        one, other = self.bench.coordinates[pairs[:, 0]], self.bench.coordinates[pairs[:, 1]]
        squares = (one - other) ** 2
        matched = steady(squares[:, Axis.UNDERTONE.column] - CLEAN_SHARE * squares.sum(axis=1)) >= 0
        light = np.minimum(one, other)[:, Axis.DEPTH.column] > MIDDLE_CUTS[-1]
        opening = pairs[matched & light & squares.any(axis=1)]
        return opening if self.bench.method.planning.opens_light and len(opening) else pairs

    def of_one_hue(self, pairs: IntArray) -> IntArray:
        """Return those of pairs (p, 2) that share a hue family, (q, 2); all, where none does.

        Siblings differ by little, so that between them a liking for a hue would decide. Common practice, no source.
        """
        alike = pairs[self.bench.families[pairs[:, 0]] == self.bench.families[pairs[:, 1]]]
        return alike if len(alike) else pairs

    def repeat_due(self, held: HeldSoFar) -> IntArray:
        """Return the earlier pairs (p, 2) of which one is due to be held again, unannounced; empty when none is.

        A hidden repeat measures the analyst's noise directly. It comes when the sitting is long enough for the answer
        to have been forgotten.
        """
        planning = self.bench.method.planning
        judged = [e.judgement for e in held.entries if isinstance(e.judgement, PairJudgement)]
        shown = Counter(j.pair for j in judged)
        repeats = sum(n - 1 for n in shown.values())
        due = repeats < planning.hidden_repeats and len(judged) >= planning.repeat_from * (repeats + 1)
        if not due:
            return np.zeros((0, 2), dtype=np.intp)
        free = self.free(held)
        told = (j.pair for j in judged[: -planning.repeat_gap] if shown[j.pair] == 1 and _is_plain(j.pair))
        old = [pair for pair in told if pair not in held.passed_over]
        rows = [sorted(self.bench.kit.row(side[0]) for side in pair) for pair in old]
        kept = [r for r in rows if free[r].all() and self.bench.families[r[0]] == self.bench.families[r[1]]]
        return np.array(kept, dtype=np.intp).reshape(-1, 2)

    def best_pair(self, frame: Frame, posterior: Posterior, membership: FloatArray, pairs: IntArray) -> Proposal:
        """Return the pair, of pairs (p, 2), that says most about the classes of a membership (k, n).

        One that differs in more than the thing it tests has to promise more, for each such thing.
        """
        information = self.information(frame, posterior, membership, pairs)
        best = int(np.argmax(steady(self.preferred(information, pairs))))
        first, second = pairs[best]
        return Proposal(self.bench.kit.ids[first], self.bench.kit.ids[second], float(information[best]))

    def expected_shift(
        self, frame: Frame, posterior: Posterior, membership: FloatArray, pair: tuple[str, str]
    ) -> float:
        """Return by how much the answer to a pair is expected to move a probability, up or down.

        It is that of the first class of a membership (k, n) of the ideal points.
        """
        stand_ins, utility = self.stand_ins(frame, posterior, membership)
        rows = np.array([[self.bench.kit.row(cloth) for cloth in pair]])
        noise, hidden = (table[rows[:, 0], rows[:, 1]] for table in self.bench.noise_table)
        return float(((1 - hidden) * expected_shift(utility, stand_ins, noise, rows, RESPONSES))[0])

    def preferred(self, information: FloatArray, pairs: IntArray) -> FloatArray:
        """Return what pairs (p, 2) are chosen by, shape (p,).

        It is their information (p,) in nats, less for each thing mixed into them. By how much less is ours.
        """
        worth: FloatArray = information / _MORE ** self.mixed(pairs)
        return worth

    def mixed(self, pairs: IntArray) -> IntArray:
        """Return how many things are mixed into each of pairs (p, 2), shape (p,).

        Another hue, or another axis than it differs most on: 0, 1 or 2.
        """
        one, other = pairs[:, 0], pairs[:, 1]
        squares = (self.bench.coordinates[one] - self.bench.coordinates[other]) ** 2
        unclean = steady(squares.max(axis=1) - CLEAN_SHARE * squares.sum(axis=1)) < 0
        mixed: IntArray = (self.bench.families[one] != self.bench.families[other]).astype(np.intp) + unclean
        return mixed

    def information(self, frame: Frame, posterior: Posterior, membership: FloatArray, pairs: IntArray) -> FloatArray:
        """Return the expected information in nats of each of pairs (p, 2) about some classes, shape (p,).

        membership (k, n): of the ideal points in the classes. Of all but the most promising pairs it is an estimate,
        ranked below those that were worked out in full.
        """
        stand_ins, utility = self.stand_ins(frame, posterior, membership)
        noise, hidden = (table[pairs[:, 0], pairs[:, 1]] for table in self.bench.noise_table)
        mean_noise = stand_ins.mean_sigma * noise
        moments = ClassMoments.of(utility, stand_ins.classes)
        information = np.zeros(len(pairs))
        chosen = np.arange(len(pairs))
        if len(pairs) > _SIEVED:
            information = (1 - hidden) * pair_signal(moments, mean_noise, pairs)
            chosen = _best(information, _SIEVED)
        quick = (1 - hidden[chosen]) * pair_information(moments, mean_noise[chosen], pairs[chosen], RESPONSES)
        information = _ranked_above(information, chosen, quick)
        best = chosen[_best(quick, _LOOKED_AT_CLOSELY)]
        close = (1 - hidden[best]) * exact_pair_information(utility, stand_ins, noise[best], pairs[best], RESPONSES)
        return _ranked_above(information, best, close)


def _best(values: FloatArray, count: int) -> IntArray:
    """Return the places of the greatest values, greatest first."""
    return np.argsort(-steady(values), kind="stable")[:count]


def _ranked_above(values: FloatArray, places: IntArray, better_known: FloatArray) -> FloatArray:
    """Return values with some of them better known, and the rest at most as great as the least of those."""
    capped: FloatArray = np.minimum(values, better_known.min())
    capped[places] = better_known
    return capped
