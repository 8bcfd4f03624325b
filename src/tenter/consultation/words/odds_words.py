"""Words for how sure a verdict is and how marked a trait is."""

from enum import StrEnum
from math import ceil, floor

from tenter.arrays import steady
from tenter.language import local_number


class OddsWord(StrEnum):
    """How sure a verdict is, from its probability."""

    OPEN = "open"
    LEANING = "leaning"
    LIKELY = "likely"
    FIRM = "firm"
    SETTLED = "settled"


class Degree(StrEnum):
    """How far an ideal lies from the middle of an axis."""

    MIDDLE = "middle"
    SLIGHT = "slight"
    MARKED = "marked"
    STRONG = "strong"


# Where a sitting may end. Measured on simulated sittings (docs/studies/verdict-study.md): stopped at the first moment
# when it held, right in 95 %.
ENOUGH = 0.95
_ODDS_FROM = ((0.98, OddsWord.SETTLED), (0.90, OddsWord.FIRM), (0.75, OddsWord.LIKELY), (0.60, OddsWord.LEANING))
_FROM_PERCENT = {round(100 * bound) for bound in (ENOUGH, *(bound for bound, _ in _ODDS_FROM[1:]))}
_ABOVE_PERCENT = round(100 * _ODDS_FROM[0][0])
# The likeliest is on an edge with another while it is less than so many times as likely. Ours.
EDGE = 2.0
# Bench units from the middle. Common practice, no source.
_DEGREE_FROM = ((1.3, Degree.STRONG), (0.7, Degree.MARKED), (0.25, Degree.SLIGHT))


def odds_word(probability: float) -> OddsWord:
    """Return the word for a probability: open below 60 %, leaning to 75, likely to 90, firm to 98, settled above.

    The words are ours; common practice, no source.
    """
    if probability > _ODDS_FROM[0][0]:
        return OddsWord.SETTLED
    return next((word for bound, word in _ODDS_FROM[1:] if probability >= bound), OddsWord.OPEN)


def one_lower(word: OddsWord) -> OddsWord:
    """Return the word below: what is said where a sitting gives reason to trust its odds less."""
    words = list(OddsWord)
    return words[max(0, words.index(word) - 1)]


def is_edge(likeliest: float, other: float) -> bool:
    """Whether the likeliest probability is less than `EDGE` times the other one."""
    return bool(steady(likeliest - EDGE * other) < 0)


def degree(position: float) -> Degree:
    """Return the degree of a position on an axis, in bench units. The borders are ours."""
    return next((word for bound, word in _DEGREE_FROM if abs(position) >= bound), Degree.MIDDLE)


def percent(probability: float) -> str:
    """Return a probability in whole percent, and never as certain or impossible.

    It gets a decimal where it would round to the other side of a limit: 74.9 % is not yet *likely from 75 %*.
    """
    whole = round(100 * probability)
    if whole > 99:
        return "> 99 %"
    if whole < 1:
        return "< 1 %"
    beyond = steady(probability - whole / 100)
    if whole in _FROM_PERCENT and beyond < 0:
        return f"{local_number(floor(1000 * probability) / 10, 1)} %"
    if whole == _ABOVE_PERCENT and beyond > 0:
        return f"{local_number(ceil(1000 * probability) / 10, 1)} %"
    return f"{whole} %"
