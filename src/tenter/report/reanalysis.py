"""An earlier sitting against a later one in plain words: a page for the studio, and one sentence for the client."""

from dataclasses import dataclass

from tenter.consultation.axes import Axis
from tenter.consultation.odds_words import Degree, degree
from tenter.consultation.reanalysis import AxisShift, Cause, Change, Reanalysis, Reread, Told
from tenter.consultation.traits import trait_word
from tenter.numerals import how_many, listed, number
from tenter.report.wording import long_date, percent, sentence

HEADINGS = {
    Change.SHOWN: "The two sittings differ by more than chance",
    Change.NONE_SHOWN: "No change shown",
    Change.CANNOT_TELL: "The answers cannot tell",
}
# ./run bench resits: simulated clients, 20 pairs in each sitting.
HOW_OFTEN = (
    "Tried on simulated clients, 20 pairs a sitting: of those who had not changed, at most 5 % were said to differ; of "
    "those who had moved by one unit, a quarter to a half were found. So no change shown does not prove that there is "
    "none."
)
_CAUSES = {
    Cause.PERSON: "The client",
    Cause.KIT: "The cloths",
    Cause.LIGHT: "The light",
    Cause.METHOD: "The method",
    Cause.ANALYST: "The consultant",
}
_WHY = {
    (Cause.PERSON, Told.EXCLUDED): "excluded as far as a trait goes: the answers hold any move below 0.7 units.",
    (Cause.PERSON, Told.REMAINS): "the only cause on this list that nothing excludes. That is no proof of it.",
    (Cause.PERSON, Told.CANNOT_TELL): "cannot tell.",
    (Cause.KIT, Told.EXCLUDED): "excluded: each sitting was read with the colours measured about its own day.",
    (Cause.KIT, Told.DIFFERED): "may be the cause: the two sittings share no cloth.",
    (Cause.KIT, Told.CANNOT_TELL): "cannot tell: cloths fade, and their colours were not measured about both days.",
    (Cause.LIGHT, Told.EXCLUDED): "excluded as far as it was measured: the lamp was alike on both days.",
    (Cause.LIGHT, Told.DIFFERED): "may be the cause: the lamp measured otherwise. Nothing here corrects for that.",
    (Cause.LIGHT, Told.CANNOT_TELL): "cannot tell: it was not measured on both days.",
    (Cause.METHOD, Told.EXCLUDED): "excluded: both sittings were read again under the same method.",
    (Cause.ANALYST, Told.EXCLUDED): "another pair of eyes is excluded: the same consultant judged both. Whether that "
    "consultant judges as before, the answers cannot tell.",
    (Cause.ANALYST, Told.DIFFERED): "may be the cause: two consultants judged. A blind second reading would tell.",
    (Cause.ANALYST, Told.CANNOT_TELL): "cannot tell: nobody wrote down who judged both.",
}
_THE_AXES = {Axis.UNDERTONE: "undertone", Axis.DEPTH: "depth", Axis.CLARITY: "clarity"}


@dataclass(frozen=True, slots=True)
class CauseLine:
    """A cause, and what is known of it."""

    cause: str
    text: str
    excluded: bool


@dataclass(frozen=True, slots=True)
class ReanalysisPage:
    """What the studio's page says of two sittings, and the one sentence for the client."""

    title: str
    heading: str
    results: tuple[str, ...]
    shifts: tuple[str, ...]
    other_category: str
    causes: tuple[CauseLine, ...]
    notes: tuple[str, ...]
    for_client: str

    def lines(self) -> tuple[str, ...]:
        """The whole page as lines of text."""
        causes = (f"{line.cause}: {line.text}" for line in self.causes)
        blocks = (self.results, (*self.shifts, self.other_category), tuple(causes), self.notes)
        told = [self.title, self.heading]
        for block in blocks:
            told += ["", *block]
        return (*told, "", f"For the client: {self.for_client}")


def reanalysis_page(client: str, found: Reanalysis) -> ReanalysisPage:
    """Return what is said of two sittings of a client."""
    return ReanalysisPage(
        title=f"{client}: two sittings compared",
        heading=HEADINGS[found.change],
        results=tuple(_result(when, read, found.method) for when, read in _both(found)),
        shifts=tuple(_shift(shift) for shift in found.shifts),
        other_category=f"Probability that the two sittings mean different categories: {percent(found.other_category)}.",
        causes=tuple(CauseLine(_CAUSES[c.cause], _WHY[c.cause, c.told], c.told is Told.EXCLUDED) for c in found.causes),
        notes=(
            f"Both sittings were read again under {found.method}. The three ranges hold together at 95 %.",
            HOW_OFTEN,
        ),
        for_client=_for_client(found),
    )


def _both(found: Reanalysis) -> tuple[tuple[str, Reread], tuple[str, Reread]]:
    return ("Earlier", found.earlier), ("Later", found.later)


def _result(when: str, read: Reread, method: str) -> str:
    day = f", {long_date(read.date)}" if read.date else ""
    under = ""
    if read.own_method != method:
        same = "the same" if read.under_own == read.category else read.under_own
        under = f" Under its own method, {read.own_method}: {same}."
    return (
        f"{when}{day}: {read.category}, {percent(read.probability)}, from "
        f"{how_many(read.comparisons, 'answer')}.{under}"
    )


def _shift(shift: AxisShift) -> str:
    side = "no side" if degree(shift.mean) is Degree.MIDDLE else f"towards {trait_word(shift.axis, shift.mean)}"
    return (
        f"{sentence(_THE_AXES[shift.axis])}: {number(shift.mean, 1)} units, {side} "
        f"(from {number(shift.low, 1)} to {number(shift.high, 1)})."
    )


def _for_client(found: Reanalysis) -> str:
    since = f" of {long_date(found.earlier.date)}" if found.earlier.date else " from last time"
    one, other = found.earlier.category, found.later.category
    if found.change is Change.CANNOT_TELL:
        return "Photographs alone cannot tell whether anything has changed; your colours stay as they were read."
    if found.change is Change.NONE_SHOWN:
        if one == other:
            return f"Your new answers agree with those{since}: {other}, and no change is shown."
        return (
            f"Your new answers name {other} and those{since} named {one}, but they do not show that anything about you "
            "has changed."
        )
    towards = trait_word(found.furthest.axis, found.furthest.mean)
    causes = [_MAYBE[c.cause] for c in found.causes if c.told is not Told.EXCLUDED]
    return (
        f"Your new answers are more on the {towards} side than those{since}; that may come from "
        f"{listed(causes, 'or')}, and the answers alone cannot say which."
        if len(causes) > 1
        else f"Your new answers are more on the {towards} side than those{since}, and nothing but a change in you was "
        "left as a cause among those that were checked."
    )


_MAYBE = {
    Cause.PERSON: "a change in you",
    Cause.KIT: "the cloths",
    Cause.LIGHT: "the light",
    Cause.METHOD: "the method",
    Cause.ANALYST: "the eye that judged",
}
