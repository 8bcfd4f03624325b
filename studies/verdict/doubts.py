"""How often a sitting is doubted that should be, and one that should not: part `doubts` of ./run bench verdict.

Analysts as the model has them, one who lapses in 15 % of the answers, one drawn to the left side, one who answers with
the left side whatever hangs there, and one whose second half is a guess. Read after so many comparisons.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from studies.clients.simulation import Judge, World
from studies.clients.targets import Target, at_least, at_most
from studies.clients.trials import Setting, client_judge
from tenter import Answer, PairJudgement, PhaseMissing, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.findings.changed_face import log_factors, running_evidence
from tenter.consultation.findings.diagnostics import Doubt

COMPARISONS = 20
_MOVED = 1.0  # bench units along one axis after half of the comparisons


class Habit(StrEnum):
    """How an analyst answers."""

    AS_MODELLED = "as modelled"
    LAPSES = "lapses 15 %"
    DRAWN_LEFT = "position bias"
    ALWAYS_LEFT = "always left"
    TIRED = "second half guessed"
    CHANGED = "face moved by 1"


_WORLDS = {Habit.LAPSES: World.LAPSES, Habit.DRAWN_LEFT: World.POSITION_BIAS}


@dataclass(frozen=True)
class Doubted:
    """What was doubted in one sitting, and whether its verdict was right and stated at 90 % or more."""

    habit: Habit
    doubts: tuple[Doubt, ...]
    right: bool
    firm: bool
    told_where: float  # the log Bayes factor of a change half-way along the axis along which one came, if any did


def doubted(habit: Habit, index: int, seed: int) -> Doubted | None:
    """Return what is doubted of one sitting; None where it came to no verdict."""
    judge = client_judge(Setting("doubts", "demo", _WORLDS.get(habit, World.AS_MODELLED)), index, seed)
    sitting = Sitting(judge.bench.kit, judge.bench.method, seed=seed + index)
    rng = np.random.default_rng([seed, index, 7])
    axis = list(Axis)[index % len(Axis)]
    moved = judge.theta + np.eye(len(Axis))[axis.column] * _MOVED * rng.choice([-1, 1])
    later = replace(judge, theta=moved) if habit is Habit.CHANGED else judge
    for n in range(COMPARISONS):
        left, right = sitting.propose()
        guessed = habit is Habit.ALWAYS_LEFT or (habit is Habit.TIRED and n >= COMPARISONS // 2)
        answer = Answer.LEFT if habit is Habit.ALWAYS_LEFT or rng.random() < 0.5 else Answer.RIGHT
        sitting.record(PairJudgement(left, right, answer) if guessed else _seen(n, judge, later).judge(left, right))
    try:
        verdict = sitting.verdict()
    except PhaseMissing:
        return None
    right_one = sitting.method.category_at(judge.theta) == verdict.category
    told = known_change(sitting, axis)
    return Doubted(habit, verdict.doubts, right_one, verdict.probability >= 0.9, told)


def _seen(n: int, judge: Judge, later: Judge) -> Judge:
    return judge if n < COMPARISONS // 2 else later


def known_change(sitting: Sitting, axis: Axis) -> float:
    """Return the log Bayes factor of a change half-way along one axis, as one who knows both would ask for it."""
    half = len(sitting.evidence) // 2
    early, whole = running_evidence(sitting, sitting.evidence, (half, len(sitting.evidence)))
    return log_factors(sitting, sitting.planning_evidence.log_prior, early, whole - early)[axis]


def doubts_table(found: Sequence[Doubted]) -> list[str]:
    """Return how often each habit is doubted, and for what."""
    lines = [f"\nDOUBTS after {COMPARISONS} comparisons with the demo kit: how many sittings are doubted, and for what"]
    for habit in Habit:
        some = [one for one in found if one.habit is habit]
        told = "   ".join(f"{doubt} {_share(some, doubt):4.0%}" for doubt in Doubt)
        any_of = float(np.mean([bool(one.doubts) for one in some])) if some else float("nan")
        firm = [one for one in some if one.firm]
        right, missed = sum(one.right for one in firm), sum(not (one.right or one.doubts) for one in firm)
        lines.append(
            f"  {habit:20s} n {len(some):3d}   any {any_of:4.0%}   {told}   stated at 90 % {len(firm):3d}, "
            f"right {right:3d}, wrong and not doubted {missed:2d}"
        )
    told = {h: np.array([o.told_where for o in found if o.habit is h]) for h in (Habit.AS_MODELLED, Habit.CHANGED)}
    if all(values.size for values in told.values()):
        limit = float(np.quantile(told[Habit.AS_MODELLED], 0.95))
        share = float(np.mean(told[Habit.CHANGED] > limit))
        lines.append(f"  one who knows axis and moment finds {share:.0%} of the moved faces at 5 % false alarms")
    return lines


def doubts_targets(found: Sequence[Doubted]) -> list[Target]:
    """Return what is wanted: few false alarms, and an analyst who answers with the side found out."""
    plain = [one for one in found if one.habit is Habit.AS_MODELLED]
    left = [one for one in found if one.habit is Habit.ALWAYS_LEFT]
    moved = [one for one in found if one.habit is Habit.CHANGED]
    any_of = 100 * float(np.mean([bool(one.doubts) for one in plain]))
    return [
        at_most("sittings as modelled that are doubted", any_of, 10, "%"),
        at_most("sittings as modelled called changed", 100 * _share(plain, Doubt.CHANGE), 5, "%"),
        at_least("faces moved by 1 bench unit, found", 100 * _share(moved, Doubt.CHANGE), 50, "%"),
        at_least("an analyst who always says left, doubted", 100 * _share(left, Doubt.POSITION), 90, "%"),
    ]


def _share(some: Sequence[Doubted], doubt: Doubt) -> float:
    return float(np.mean([doubt in one.doubts for one in some])) if some else float("nan")
