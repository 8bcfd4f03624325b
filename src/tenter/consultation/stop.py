"""Whether to stop, in words: what is owed, how long it takes, and how far one more answer would move the odds."""

from dataclasses import dataclass

from tenter.consultation.ending import Ending, Owed, Reached
from tenter.consultation.odds_words import ENOUGH, percent
from tenter.numerals import how_many, listed


@dataclass(frozen=True, slots=True)
class NotFinished:
    """What a sitting still owes, and about how many minutes that takes."""

    owed: tuple[Owed, ...]
    minutes: float


@dataclass(frozen=True, slots=True)
class Stop:
    """Whether to stop, and why.

    `expected_change` is by how much the probability of the named category is expected to move, up or down, with the
    answer to the pair that would settle most; None where no pair is left.
    """

    advised: bool
    why: str
    expected_change: float | None


@dataclass(frozen=True, slots=True)
class Standing:
    """What a sitting has come to, as far as stopping goes. `beside`: the runner-up, and the trait neighbour if any."""

    reached: Reached
    category: str
    beside: tuple[str, ...]
    probability: float
    pair_left: bool


def stop_words(at: Standing) -> str:
    """Return a sentence or two on how the sitting stands."""
    if at.reached.ending is Ending.FINISHED:
        return (
            "This sitting is finished: each axis was tried twice or more on different cloths, and a cloth of a "
            "neighbour was held."
        )
    if at.reached.ending is Ending.BETWEEN:
        return (
            f"This sitting is finished, and the answer is a border: the client lies between {at.category} and "
            f"{at.beside[0]}. More of these cloths would hardly move that. The palette holds colours of both."
        )
    return f"Not finished: {_owed(at)}. {_time(at)}"


def _owed(at: Standing) -> str:
    axes = [str(owed) for owed in at.reached.owed if owed not in (Owed.NEIGHBOUR, Owed.ODDS)]
    told = []
    if axes:
        told.append(f"{listed(axes)} {'was' if len(axes) == 1 else 'were'} not yet tried twice on different cloths")
    if Owed.NEIGHBOUR in at.reached.owed:
        told.append(f"no cloth of {listed(at.beside, 'or')} was held")
    if Owed.ODDS in at.reached.owed:
        told.append(f"the odds are {percent(at.probability)}, not yet {percent(ENOUGH)}")
    return "; ".join(told)


def _time(at: Standing) -> str:
    if not at.pair_left:
        return "No pair of this kit is left to hold."
    pairs, minutes = at.reached.pairs, round(at.reached.minutes)
    time = f"about {how_many(minutes, 'minute')}"
    if Owed.ODDS in at.reached.owed:
        return f"Half of simulated sittings were over {how_many(pairs, 'pair')} later, in {time}."
    return f"That takes {'one more pair' if pairs == 1 else f'{pairs} more pairs'}, {time}."
