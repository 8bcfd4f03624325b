"""How well a sitting hangs together: surprise, misfit, position bias, fatigue, and what one hue does.

Everything is read off leave-one-out predictions: what each answer could have been, given all the others.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.special import ndtr

from tenter.arrays import FloatArray, steady
from tenter.consultation.findings.changed_face import FaceChange, change_of_face
from tenter.consultation.findings.hue_dependence import HueOffset, hue_offsets
from tenter.consultation.reading.reading import ROUGHLY, Reading
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.words.answers import Answer

MISFIT = 0.02  # a sitting as unlike its own model as this, or more, says so on its verdict
DOUBTED = 2.58  # standard errors from none at which a tendency lowers the odds word: one time in a hundred by chance
CHANGED = 0.6  # log Bayes factor of a face that changed: by chance in at most one sitting in twenty (measured)
_TREND_ENTRIES = 10  # fewer say nothing about fatigue


@dataclass(frozen=True, slots=True)
class Tendency:
    """A tendency, and whether it is notable.

    size: in the unit of what it is a tendency of. z: standard deviations of chance from none.
    """

    size: float
    z: float

    @property
    def notable(self) -> bool:
        """Whether it is more than two standard errors from none."""
        return abs(self.z) > 2


@dataclass(frozen=True, slots=True)
class Diagnostics:
    """What the answers say about how they were given.

    `surprise` is, for each entry, the probability of its outcome or any rarer one. `misfit` is the probability that a
    sitting as the model has it would be at least as surprising as a whole. `position_bias` is the share of wins that
    the left side has beyond what the cloths explain; `fatigue` the rise in surprise, in nats, from the first half to
    the second. `change` is what the answers say of a face that changed while they were given.
    """

    surprise: dict[int, float]
    misfit: float
    position_bias: Tendency | None
    fatigue: Tendency | None
    hue_offsets: tuple[HueOffset, ...]
    change: FaceChange | None = None

    @property
    def is_misfit(self) -> bool:
        """Whether the sitting as a whole fits its model so badly that its verdict must say so."""
        return self.misfit < MISFIT


class Doubt(StrEnum):
    """Why the odds of a sitting deserve less trust than they state."""

    MISFIT = "misfit"
    POSITION = "position_bias"
    FATIGUE = "fatigue"
    CHANGE = "changed_face"


def doubts(found: Diagnostics) -> tuple[Doubt, ...]:
    """Return what in the answers speaks against taking the odds at their word.

    Each comes by chance one time in a hundred, a changed face one in twenty (measured on simulated sittings).
    """
    told = [Doubt.MISFIT] if found.is_misfit else []
    if found.position_bias is not None and abs(found.position_bias.z) > DOUBTED:
        told.append(Doubt.POSITION)
    if found.fatigue is not None and found.fatigue.z > DOUBTED:
        told.append(Doubt.FATIGUE)
    if found.change is not None and found.change.log_factor > CHANGED:
        told.append(Doubt.CHANGE)
    return tuple(told)


def predictions(sitting: Reading) -> dict[int, FloatArray]:
    """Return, by entry number, the chances (outcomes,) of its outcomes given all other entries.

    The outcome that came is the first.
    """
    leave_out = sitting.without(ROUGHLY)
    return {e.number: leave_out.outcome_chances(e) for e in sitting.evidence}


def surprises(predicted: dict[int, FloatArray]) -> dict[int, float]:
    """Return, by entry number, the probability of its outcome or any rarer one, from its chances (outcomes,)."""
    return {n: float(p[p <= p[0] + 1e-12].sum()) for n, p in predicted.items()}


def misfit(predicted: Sequence[FloatArray]) -> float:
    """Return the probability of outcomes at least as surprising together, by a normal sum of their information.

    predicted: the chances (outcomes,) of each entry, what came first. 1 where there is no entry.
    """
    if not predicted:
        return 1.0
    excess = sum(float(-np.log(p[0]) + p @ np.log(p)) for p in predicted)
    variance = sum(float(p @ np.log(p) ** 2 - (p @ np.log(p)) ** 2) for p in predicted)
    return float(ndtr(-excess / np.sqrt(variance))) if steady(variance) > 0 else 1.0


def diagnostics(sitting: Reading, predicted: dict[int, FloatArray] | None = None) -> Diagnostics:
    """Return the diagnostics of a sitting.

    predicted: what `predictions` gave, (outcomes,) an entry, where that was worked out already.
    """
    predicted = predictions(sitting) if predicted is None else predicted
    return Diagnostics(
        surprise=surprises(predicted),
        misfit=misfit(list(predicted.values())),
        position_bias=_position_bias(sitting, predicted),
        fatigue=_fatigue(list(predicted.values())),
        hue_offsets=hue_offsets(sitting),
        change=change_of_face(sitting),
    )


def _position_bias(sitting: Reading, predicted: dict[int, FloatArray]) -> Tendency | None:
    """Left wins beyond the predicted, over the pairs: outcomes come as (what came, then the others in order)."""
    came, expected, variance = 0.0, 0.0, 0.0
    pairs = {e.number: e.judgement for e in sitting.evidence if isinstance(e.judgement, PairJudgement)}
    for number, judgement in pairs.items():
        left, right = _left_right(judgement.answer, predicted[number])
        came += {Answer.LEFT: 1.0, Answer.RIGHT: -1.0}.get(judgement.answer, 0.0)
        expected += left - right
        variance += left + right - (left - right) ** 2
    if len(pairs) < 4 or variance <= 0:
        return None
    return Tendency((came - expected) / len(pairs), (came - expected) / float(np.sqrt(variance)))


def _left_right(answer: Answer, chances: FloatArray) -> tuple[float, float]:
    first, second, third = (float(c) for c in chances)
    if answer is Answer.LEFT:  # left, then right, equal
        return first, second
    if answer is Answer.RIGHT:  # right, then equal, left
        return third, first
    return third, second  # equal, then right, left


def _fatigue(predicted: Sequence[FloatArray]) -> Tendency | None:
    if len(predicted) < _TREND_ENTRIES:
        return None
    excess = np.array([float(-np.log(p[0]) + p @ np.log(p)) for p in predicted])
    half = len(excess) // 2
    early, late = excess[:half], excess[half:]
    error = np.sqrt(early.var(ddof=1) / early.size + late.var(ddof=1) / late.size)
    rise = float(late.mean() - early.mean())
    return Tendency(rise, rise / float(error)) if steady(float(error)) > 0 else None
