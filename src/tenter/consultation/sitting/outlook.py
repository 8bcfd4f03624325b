"""What comes next on the bench, what it is worth, and whether to go on."""

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from tenter.consultation.findings.ending import Ending, owes_axes, reached
from tenter.consultation.findings.verdict import stated
from tenter.consultation.reading.fans import best_fan
from tenter.consultation.reading.phases import DONE
from tenter.consultation.reading.plan import NothingToPropose, Planner
from tenter.consultation.reading.reading import Reading
from tenter.consultation.sitting.enough import hardly_changes

_WORTH_ASKING = 0.75  # of the two likeliest categories together: below it no sitting is finished
_PAUSE_MINUTES = 5.0  # between two entries: in so long a pause the eye has rested; by judgement, no study is known


class HoldingAdvice(StrEnum):
    """Whether to hold more cloths."""

    GO_ON = "go on"
    FINISHED = "enough: the sitting is finished, and the verdict can be read"
    ENOUGH = "enough: what is left to hold would hardly move the verdict"
    REST = "rest: look at plain grey for a minute before the next pair"
    NOTHING_LEFT = "nothing left to hold"


@dataclass(frozen=True, slots=True)
class Outlook:
    """The next entry worth most for its minutes: cloths, expected information in nats, and minutes.

    `pair` is the pair to hold, left and right, where the cloths are a fan that is not wanted. No cloths: none is left.
    """

    cloths: tuple[str, ...] = ()
    information: float = 0.0
    minutes: float = 0.0
    pair: tuple[str, ...] = ()

    @property
    def is_fan(self) -> bool:
        """Whether the cloths are to be ranked at once."""
        return len(self.cloths) > 2


def outlook(sitting: Reading, minutes_left: float | None = None) -> Outlook:
    """Return what to hold next, a pair or a fan, by expected information a minute.

    minutes_left: for how many minutes the client still sits, None for as long as it takes.
    """
    planning = sitting.method.planning
    planner = Planner(sitting.bench)  # one for the pair and the fan, which both ask it for the same stand-ins
    pair = _pair(sitting, planner)
    if pair is None:
        return Outlook()
    best = pair
    if sitting.phase != DONE:
        fan = best_fan(planner, sitting.planning_frame, sitting.planning_posterior, sitting.phase, sitting.held)
        if fan and fan.information / planning.fan_minutes > pair.information / pair.minutes:
            best = Outlook(fan.ids, fan.information, planning.fan_minutes, pair.cloths)
    if minutes_left is not None and best.minutes > minutes_left >= pair.minutes:
        return pair
    return best


def whether_to_go_on(sitting: Reading, coming: Outlook, minutes_left: float | None = None) -> HoldingAdvice:
    """Return whether to hold what comes next. It may cost the exact odds, which the outlook itself does without.

    minutes_left: for how many minutes the client still sits, None for as long as it takes.
    """
    if not coming.cloths:
        return HoldingAdvice.NOTHING_LEFT
    if minutes_left is not None and coming.minutes > minutes_left:
        return HoldingAdvice.ENOUGH
    if _is_over(sitting):
        return HoldingAdvice.FINISHED
    if hardly_changes(sitting, coming.cloths):
        return HoldingAdvice.ENOUGH
    return HoldingAdvice.REST if _is_tired(sitting) else HoldingAdvice.GO_ON


def _pair(sitting: Reading, planner: Planner) -> Outlook | None:
    try:
        pair = sitting.proposal(planner)
    except NothingToPropose:
        return None
    cloths = (pair.left, pair.right)
    return Outlook(cloths, pair.information, sitting.method.planning.pair_minutes, cloths)


def _is_over(sitting: Reading) -> bool:
    """Tell whether the sitting is finished; its exact odds are asked for only where they can decide that it is."""
    if owes_axes(sitting):
        return False
    coarse = np.sort(sitting.planning_posterior.masses(sitting.planning_frame.categories))[-2:]
    if coarse.sum() < _WORTH_ASKING:
        return False
    return reached(sitting, stated(sitting)).ending is not Ending.UNFINISHED


def _is_tired(sitting: Reading) -> bool:
    """Tell whether the eye has just worked as long as the method lets it, since the sitting began or since a pause."""
    minutes = [e.judgement.minute for e in sitting.held.entries if e.judgement.minute is not None]
    pauses = [after for before, after in pairwise(minutes) if after - before >= _PAUSE_MINUTES]
    begun = pauses[-1] if pauses else 0.0
    worked = [max(minute - begun, 0.0) for minute in (0.0, *minutes)]
    rest = sitting.method.planning.rest_after_minutes
    return len(worked) > 1 and worked[-1] // rest > worked[-2] // rest
