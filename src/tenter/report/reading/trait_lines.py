"""A trait as the studio's sheet and its page draw it: a bar on the axis, and the same in words and numbers."""

from dataclasses import dataclass

from tenter.consultation.findings.verdict import Trait
from tenter.consultation.words import terms as trade
from tenter.consultation.words.odds_words import Degree
from tenter.consultation.words.traits import trait_word
from tenter.language import _, local_signed
from tenter.report.words.wording import sentence

AXIS_REACH = 2.6  # bench units drawn to each side; an interval that goes further is drawn to the end


@dataclass(frozen=True, slots=True)
class TraitLine:
    """One trait: in words, in bench units, and on the drawn axis.

    at, low, high: shares of the drawn axis, 0 to 1 from its low end to its high end. spoken: all of it in words, for
    who hears the sheet.
    """

    axis: str
    text: str
    low_end: str
    high_end: str
    numbers: str
    note: str
    spoken: str
    at: float
    low: float
    high: float

    @property
    def width(self) -> float:
        """The share of the drawn axis that the interval takes."""
        return self.high - self.low


def trait_line(trait: Trait) -> TraitLine:
    """Return a trait as it is drawn and spoken of."""
    low, high = trait.interval
    axis = sentence(str(trade.axis(trait.axis)))
    text = str(trade.degree_sentence(trait.degree)) if trait.degree is Degree.MIDDLE else str(trait)
    ends = [str(trade.trait_sentence(trait_word(trait.axis, sign))) for sign in (-1, 1)]
    numbers = placed_at(trait)
    spoken = _(
        "{axis}, from {low} to {high}: {text}, {numbers}",
        axis=axis,
        low=ends[0],
        high=ends[1],
        text=text,
        numbers=numbers,
    )
    return TraitLine(
        axis=axis,
        text=text,
        low_end=ends[0],
        high_end=ends[1],
        numbers=numbers,
        note=_middle(low, high),
        spoken=spoken,
        at=axis_share(trait.mean),
        low=axis_share(low),
        high=axis_share(high),
    )


def placed_at(trait: Trait) -> str:
    """Return where a client lies on an axis, and between what, in bench units."""
    low, high = trait.interval
    return _("{mean} ({low} to {high})", mean=local_signed(trait.mean), low=local_signed(low), high=local_signed(high))


def _middle(low: float, high: float) -> str:
    """Say of an interval as it is printed, to one decimal, whether the middle is within it or at its end."""
    if round(low, 1) < 0 < round(high, 1):
        return _("the interval crosses the middle")
    return _("the interval reaches the middle") if 0 in (round(low, 1), round(high, 1)) else ""


def axis_share(position: float) -> float:
    """Return where a position in bench units lies on the drawn axis, 0 to 1."""
    return min(1.0, max(0.0, (position + AXIS_REACH) / (2 * AXIS_REACH)))
