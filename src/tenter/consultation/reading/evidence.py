"""What a judgement says about the client's ideal: its log likelihood on a frame.

The numbers of this module are common practice, no source, unless named; simulation in docs/how-it-works/model.md tries
them.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import singledispatchmethod

import numpy as np

from tenter.arrays import FloatArray, IntArray, steady
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import METAL_NOISE, Bench, Frame
from tenter.consultation.record.judgements import (
    DrapeJudgement,
    FanJudgement,
    GarmentJudgement,
    Judgement,
    PairJudgement,
)
from tenter.consultation.words.answers import Answer, Relative, Suits
from tenter.consultation.words.flags import Flagged, Seen, Sign
from tenter.inference.likelihood import (
    Grade,
    Responses,
    UtilityLevel,
    log_direction,
    log_grade,
    log_level,
    log_ranking,
    log_side,
    side_probabilities,
    single_probabilities,
    winner_probabilities,
)
from tenter.inference.posterior import Active
from tenter.inference.utility import utilities

RESPONSES = Responses()
_FLAG_MARGIN, _FLAG_NOISE = 0.4, 0.9  # bench units
_SIGN_NOISE = 1.2  # signs are seen less surely than said flags

_LEVELS = {
    Answer.BOTH_GOOD: UtilityLevel.GOOD,
    Answer.BOTH_WRONG: UtilityLevel.WRONG,
    Answer.NOTHING_SEEN: UtilityLevel.UNSAID,
}
_SUITS = {Suits.WORKS: UtilityLevel.GOOD, Suits.TOLERABLE: UtilityLevel.UNSAID, Suits.FAILS: UtilityLevel.WRONG}
_GARMENT_STEP, _GARMENT_SPREAD = 0.8, 0.5  # bench units: by how much "brighter" is, and how wide any garment
_RELATIVE_AXES = {
    Relative.WARMER: (Axis.UNDERTONE, 1),
    Relative.COOLER: (Axis.UNDERTONE, -1),
    Relative.LIGHTER: (Axis.DEPTH, 1),
    Relative.DEEPER: (Axis.DEPTH, -1),
    Relative.BRIGHTER: (Axis.CLARITY, 1),
    Relative.SOFTER: (Axis.CLARITY, -1),
}
_TESTED_SHARE, _TESTED_DISTANCE = 0.4, 0.3  # from where on a comparison tests an axis


def grade_of(judgement: PairJudgement) -> Grade:
    """Return the grade of a pair, left against right."""
    if judgement.answer.is_equal:
        return Grade.EQUAL
    much = judgement.strength >= 2
    if judgement.answer is Answer.LEFT:
        return Grade.MUCH_BETTER if much else Grade.BETTER
    return Grade.MUCH_WORSE if much else Grade.WORSE


@dataclass(frozen=True, eq=False)
class Reader:
    """Reads judgements on one frame. The frame says where the cloths lie, the bench how well they are seen."""

    bench: Bench
    frame: Frame

    def log_likelihood(self, judgement: Judgement) -> FloatArray:
        """Return the natural log likelihood of a judgement with its flags and signs, broadcastable to (h, s, n).

        Our own model: utility falls with distance from the ideal, and the better cloth is seen through normal noise.
        Raises `TypeError` for a judgement that is no evidence.
        """
        readers = self._readers(judgement)
        if len(readers) == 1:
            return self._certain(judgement)
        told = [reader._certain(judgement) for reader in readers]
        average: FloatArray = np.logaddexp.reduce(told) - np.log(len(told))
        return average

    def _readers(self, judgement: Judgement) -> "list[Reader]":
        """Return readers on every colour that the unmeasured cloths may have: one reader when all are measured.

        Six points a cloth, at ±√3 spreads along each axis: the third-degree rule for a normal in three dimensions.
        """
        uncertain = [row for row in self._rows(judgement.cloths) if self.bench.spreads[row].any()]
        if not uncertain:
            return [self]
        steps = [s * np.sqrt(3) * axis for axis in np.eye(3) for s in (-1, 1)]
        readers = []
        for chosen in itertools.product(steps, repeat=len(uncertain)):
            coordinates = self.frame.coordinates.copy()
            for row, step in zip(uncertain, chosen, strict=True):
                coordinates[row] += step * self.bench.spreads[row]
            bench = replace(self.bench, coordinates=coordinates, spreads=np.zeros_like(coordinates))
            readers.append(Reader(bench, Frame(coordinates, bench.method, self.frame.lattice)))
        return readers

    def _certain(self, judgement: Judgement) -> FloatArray:
        total = self._answer(judgement)
        for flagged in judgement.flags:
            if flagged.flag in self.bench.method.flags:
                total = total + self._flag(flagged)
        for seen in judgement.signs:
            total = total + self._sign(seen)
        return total

    def outcomes(self, judgement: Judgement, active: Active) -> FloatArray:
        """Return the probability of each of k outcomes there could have been, the one that came first, shape (k, m).

        m: the active hypotheses. Outcomes are coarse: left, right or equal for a pair, which step wins for a fan, three
        levels for one cloth. Raises `TypeError` for a judgement that is no evidence.
        """
        told = [reader._outcomes(judgement, active) for reader in self._readers(judgement)]
        if len(told) == 1:
            return told[0]
        average: FloatArray = np.mean(told, axis=0)
        return average

    def _rows(self, cloths: Sequence[str]) -> IntArray:
        return np.array([self.bench.kit.row(c) for c in cloths])

    @singledispatchmethod
    def _answer(self, judgement: Judgement) -> FloatArray:
        raise TypeError(f"{type(judgement).__name__} is not evidence")

    @singledispatchmethod
    def _outcomes(self, judgement: Judgement, active: Active) -> FloatArray:
        raise TypeError(f"{type(judgement).__name__} is not evidence on {active}")

    def _utilities(self, judgement: PairJudgement) -> tuple[FloatArray, FloatArray]:
        left, right = (self.frame.utility(self._rows(side)) for side in judgement.sides)
        return left, right

    @_answer.register
    def _(self, judgement: PairJudgement) -> FloatArray:
        left, right = self._utilities(judgement)
        noise, hidden = comparison_noise(self.bench, judgement)
        lattice = self.frame.lattice
        log_p = log_grade(left - right, lattice.sigmas * noise, lattice.cut_scales, grade_of(judgement), RESPONSES)
        log_p += np.log(1 - hidden)
        if judgement.answer.is_equal:
            log_p += log_level((left + right) / 2, _LEVELS[judgement.answer], RESPONSES)[:, None, :]
        if judgement.answer is Answer.NOTHING_SEEN and hidden > 0:
            log_p = np.logaddexp(log_p, np.log(hidden))
        return log_p

    @_outcomes.register
    def _(self, judgement: PairJudgement, active: Active) -> FloatArray:
        left, right = self._utilities(judgement)
        noise, hidden = comparison_noise(self.bench, judgement)
        difference, sigma = active.spread(left - right), active.sigma * noise
        outcomes = (1 - hidden) * side_probabilities(difference, sigma, RESPONSES, active.cut_scale)
        outcomes[1] += hidden
        came = {Answer.LEFT: 2, Answer.RIGHT: 0}.get(judgement.answer, 1)
        return _first(outcomes, came)

    def _fan(self, judgement: FanJudgement) -> tuple[FloatArray, FloatArray]:
        steps = np.stack([self.frame.utility(self._rows(step)) for step in judgement.steps])
        rows = [self._rows(step) for step in judgement.steps]
        first, second = (np.array(side) for side in zip(*itertools.combinations([r[0] for r in rows], 2), strict=True))
        noise = float(self.bench.pair_noise(first, second)[0].mean())
        return steps, self.frame.lattice.sigmas * noise

    @_answer.register
    def _(self, judgement: FanJudgement) -> FloatArray:
        steps, sigma = self._fan(judgement)
        return log_ranking(steps, _places(judgement), sigma, RESPONSES)

    @_outcomes.register
    def _(self, judgement: FanJudgement, active: Active) -> FloatArray:
        # The step that won, against each of the others winning: whole orders multiply beyond what a surprise needs.
        steps, sigma = self._fan(judgement)
        noise = active.sigma * sigma[0] / self.frame.lattice.sigmas[0]
        return winner_probabilities(np.stack([active.spread(step) for step in steps]), noise, RESPONSES)

    @_answer.register
    def _(self, judgement: DrapeJudgement) -> FloatArray:
        utility = self.frame.utility(self._rows(judgement.cloths))
        sigma = self.frame.lattice.sigmas * self._single_noise(judgement)
        level = _SUITS[judgement.suits]
        return np.log(single_probabilities(utility[:, None, :], sigma[None, :, None], level, RESPONSES))

    @_outcomes.register
    def _(self, judgement: DrapeJudgement, active: Active) -> FloatArray:
        utility = active.spread(self.frame.utility(self._rows(judgement.cloths)))
        noise = active.sigma * self._single_noise(judgement)
        levels = np.stack([single_probabilities(utility, noise, level, RESPONSES) for level in UtilityLevel])
        return _first(levels, list(UtilityLevel).index(_SUITS[judgement.suits]))

    def _garment(self, judgement: GarmentJudgement) -> tuple[FloatArray, FloatArray]:
        """Return the utility of the garment for each colour it may have, (6, h, n), and of the cloth, (h, n)."""
        row = self.bench.kit.row(judgement.than)
        place, spread = self.frame.coordinates[row].copy(), np.full(3, _GARMENT_SPREAD)
        for word in judgement.relative:
            axis, sign = _RELATIVE_AXES[word]
            place[axis.column] += sign * _GARMENT_STEP
        points = np.array([place + s * np.sqrt(3) * spread * axis for axis in np.eye(3) for s in (-1, 1)])
        lattice = self.frame.lattice
        own = np.moveaxis(utilities(lattice.shapes, points, lattice.ideals), 1, 0)
        return own, self.frame.utility(np.array([row]))

    @_answer.register
    def _(self, judgement: GarmentJudgement) -> FloatArray:
        own, cloth = self._garment(judgement)
        lattice, grade = self.frame.lattice, Grade.BETTER if judgement.better else Grade.WORSE
        told = [log_grade(u - cloth, lattice.sigmas, lattice.cut_scales, grade, RESPONSES) for u in own]
        average: FloatArray = np.logaddexp.reduce(told) - np.log(len(told))
        return average

    @_outcomes.register
    def _(self, judgement: GarmentJudgement, active: Active) -> FloatArray:
        own, cloth = self._garment(judgement)
        told = [side_probabilities(active.spread(u - cloth), active.sigma, RESPONSES, active.cut_scale) for u in own]
        return _first(np.mean(told, axis=0), 2 if judgement.better else 0)

    def _single_noise(self, judgement: DrapeJudgement) -> float:
        return METAL_NOISE if self.bench.metals[self._rows(judgement.cloths)].any() else 1.0

    def _flag(self, flagged: Flagged) -> FloatArray:
        column = flagged.flag.axis.column
        offset = self._coordinate(flagged.drape, column) - self.frame.lattice.ideals[:, column]
        return log_direction(offset, flagged.flag.direction, _FLAG_MARGIN, _FLAG_NOISE, RESPONSES.lapse)

    def _coordinate(self, drape: str, column: int) -> float:
        return float(self.frame.coordinates[self.bench.kit.row(drape), column])

    def _sign(self, seen: Seen) -> FloatArray:
        """The documented links from a sign to a direction; every other sign is kept and says nothing."""
        undertone = self.frame.lattice.ideals[:, Axis.UNDERTONE.column]
        own_side = self._coordinate(seen.drape, Axis.UNDERTONE.column)
        metal = self.bench.kit[seen.drape].is_metal
        if seen.sign is Sign.OWN_TINT or (seen.sign is Sign.BLENDS and metal):
            return log_side(undertone, own_side, _SIGN_NOISE, RESPONSES.lapse)
        if seen.sign is Sign.APPLIED_TINT or (seen.sign is Sign.STANDS_APART and metal):
            return log_side(undertone, -own_side, _SIGN_NOISE, RESPONSES.lapse)
        if seen.sign in (Sign.CLOTH_FIRST, Sign.FACE_FIRST):
            column = Axis.CLARITY.column
            offset = self._coordinate(seen.drape, column) - self.frame.lattice.ideals[:, column]
            direction = 1 if seen.sign is Sign.CLOTH_FIRST else 0
            return log_direction(offset, direction, _FLAG_MARGIN, _SIGN_NOISE, RESPONSES.lapse)
        return np.zeros(1)


def _places(judgement: FanJudgement) -> list[list[int]]:
    counter = itertools.count()
    return [[next(counter) for _ in rank] for rank in judgement.ranks]


def differing_cloths(judgement: PairJudgement) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the cloths of each side that the other side lacks: what the comparison is about."""
    left, right = judgement.sides
    return tuple(c for c in left if c not in right) or left, tuple(c for c in right if c not in left) or right


def _first(outcomes: FloatArray, came: int) -> FloatArray:
    return np.concatenate([outcomes[came : came + 1], outcomes[:came], outcomes[came + 1 :]])


def comparison_noise(bench: Bench, judgement: PairJudgement) -> tuple[float, float]:
    """Return `Bench.pair_noise` of a judged pair, a factor and a share, combinations as the mean over their cloths."""
    return bench.side_noise(*differing_cloths(judgement))


def uses_metal(bench: Bench, judgement: Judgement) -> bool:
    """Tell whether what a judgement is about shines: metals confirm, cloths decide."""
    if isinstance(judgement, PairJudgement):
        left, right = differing_cloths(judgement)
        return any(bench.kit[c].is_metal for c in (*left, *right))
    return any(bench.kit[c].is_metal for c in judgement.cloths)


def axes_tested(bench: Bench, judgement: Judgement) -> frozenset[Axis]:
    """Return the axes that a judgement is about: those on which its cloths differ, and those its flags name."""
    named = {f.flag.axis for f in judgement.flags}
    if isinstance(judgement, PairJudgement):
        left, right = (
            bench.coordinates[[bench.kit.row(c) for c in s]].mean(axis=0) for s in differing_cloths(judgement)
        )
        named |= _axes_apart(np.abs(left - right))
    elif isinstance(judgement, GarmentJudgement):
        named |= {_RELATIVE_AXES[word][0] for word in judgement.relative}
    elif isinstance(judgement, FanJudgement):
        steps = [bench.coordinates[[bench.kit.row(c) for c in step]].mean(axis=0) for step in judgement.steps]
        named |= _axes_apart(np.ptp(np.array(steps), axis=0))
    return frozenset(named)


def _axes_apart(distance: FloatArray) -> set[Axis]:
    distance = steady(distance)
    share = steady(distance**2 / max(float(np.sum(distance**2)), 1e-12))
    tested = {a for a in Axis if share[a.column] >= _TESTED_SHARE and distance[a.column] >= _TESTED_DISTANCE}
    return tested or {list(Axis)[int(np.argmax(distance))]}
