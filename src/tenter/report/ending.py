"""Whether a sitting is finished, in words: finished, finished between two, or what it still owes and how long."""

from tenter.consultation.ending import Ending, Owed
from tenter.consultation.method import Method
from tenter.consultation.odds_words import ENOUGH
from tenter.consultation.verdict import Verdict
from tenter.report.wording import listed, percent


def ending_words(method: Method, verdict: Verdict) -> str:
    """Return a sentence or two on how the sitting stands."""
    found = verdict.reached
    if found.ending is Ending.FINISHED:
        return (
            "This sitting is finished: each axis was tried twice or more on different cloths, and a cloth of a "
            "neighbour was held."
        )
    if found.ending is Ending.BETWEEN:
        return (
            f"This sitting is finished, and the answer is a border: the client lies between {verdict.category} and "
            f"{verdict.runner_up}. More of these cloths would hardly move that. The palette holds colours of both."
        )
    return f"Not finished: {_owed(method, verdict)}. {_time(method, verdict)}"


def _owed(method: Method, verdict: Verdict) -> str:
    axes = [str(owed) for owed in verdict.reached.owed if owed not in (Owed.NEIGHBOUR, Owed.ODDS)]
    told = []
    if axes:
        told.append(f"{listed(axes)} {'was' if len(axes) == 1 else 'were'} not yet tried twice on different cloths")
    if Owed.NEIGHBOUR in verdict.reached.owed:
        beside = (verdict.runner_up, method.region(verdict.category).trait_neighbour)
        names = listed([n for n in dict.fromkeys(beside) if n], "or")
        told.append(f"no cloth of {names} was held")
    if Owed.ODDS in verdict.reached.owed:
        told.append(f"the odds are {percent(verdict.probability)}, not yet {percent(ENOUGH)}")
    return "; ".join(told)


def _time(method: Method, verdict: Verdict) -> str:
    if verdict.settling_pair is None:
        return "No pair of this kit is left to hold."
    pairs, minutes = verdict.reached.pairs, round(verdict.reached.pairs * method.planning.pair_minutes)
    time = f"about {minutes} minute{'' if minutes == 1 else 's'}"
    if Owed.ODDS in verdict.reached.owed:
        return f"Half of simulated sittings were over {pairs} pairs later, in {time}."
    return f"That takes {'one more pair' if pairs == 1 else f'{pairs} more pairs'}, {time}."
