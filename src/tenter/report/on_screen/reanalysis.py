"""An earlier sitting against a later one in plain words: a page for the studio, and one sentence for the client."""

from dataclasses import dataclass

from tenter.consultation.compared.reanalysis import (
    AxisShift,
    CauseKnown,
    ChairLight,
    ChangeCause,
    Reanalysis,
    Reread,
    ShownChange,
)
from tenter.consultation.words import terms as trade
from tenter.consultation.words.odds_words import Degree, degree
from tenter.consultation.words.traits import trait_word
from tenter.language import N_, _, local_number, long_date, ngettext, one_of
from tenter.report.words import terms
from tenter.report.words.wording import printed_percent, sentence

HEADINGS = {
    ShownChange.SHOWN: N_("The two sittings differ by more than chance"),
    ShownChange.NONE_SHOWN: N_("No change shown"),
    ShownChange.CANNOT_TELL: N_("The answers cannot tell"),
}
# ./run bench resits: simulated clients, 20 pairs in each sitting.
HOW_OFTEN = N_(
    "Tried on simulated clients, 20 pairs a sitting: of those who had not changed, at most 5 % were said to differ; of "
    "those who had moved by one unit, a quarter to a half were found. So a change that is not shown may still be there."
)
_CAUSES = {
    ChangeCause.PERSON: N_("The client"),
    ChangeCause.KIT: N_("The cloths"),
    ChangeCause.LIGHT: N_("The light"),
    ChangeCause.METHOD: N_("The method"),
    ChangeCause.ANALYST: N_("The consultant"),
}
_WHY = {
    (ChangeCause.PERSON, CauseKnown.EXCLUDED): N_(
        "excluded as far as a trait goes: the answers hold any move below 0.7 units."
    ),
    (ChangeCause.PERSON, CauseKnown.REMAINS): N_(
        "the only cause on this list that is not excluded. That doesn’t prove it."
    ),
    (ChangeCause.PERSON, CauseKnown.CANNOT_TELL): N_("cannot tell."),
    (ChangeCause.KIT, CauseKnown.EXCLUDED): N_(
        "excluded: each sitting was read with the cloths’ colours as measured near its own day."
    ),
    (ChangeCause.KIT, CauseKnown.DIFFERED): N_("may be the cause: the two sittings share no cloth."),
    (ChangeCause.KIT, CauseKnown.CANNOT_TELL): N_(
        "not known: cloths fade, and their colours were not measured near both days."
    ),
    (ChangeCause.LIGHT, CauseKnown.EXCLUDED): N_("excluded as far as it was measured: {then}, and later {now}."),
    (ChangeCause.LIGHT, CauseKnown.DIFFERED): N_(
        "may be the cause: {then}, and later {now}. Nothing here corrects for that."
    ),
    (ChangeCause.LIGHT, CauseKnown.CANNOT_TELL): N_(
        "not known: it was not measured on both days, or a sitting went on in another light."
    ),
    (ChangeCause.METHOD, CauseKnown.EXCLUDED): N_("excluded: both sittings were read again under the same method."),
    (ChangeCause.ANALYST, CauseKnown.EXCLUDED): N_(
        "another consultant is excluded: the same one judged both. The answers cannot show whether that consultant "
        "still judges as before."
    ),
    (ChangeCause.ANALYST, CauseKnown.DIFFERED): N_(
        "may be the cause: two consultants judged. A blind second reading would show it."
    ),
    (ChangeCause.ANALYST, CauseKnown.CANNOT_TELL): N_("not known: nobody noted who judged both."),
}
_MAYBE = {
    ChangeCause.PERSON: N_("a change in you"),
    ChangeCause.KIT: N_("the cloths"),
    ChangeCause.LIGHT: N_("the light"),
    ChangeCause.METHOD: N_("the method"),
    ChangeCause.ANALYST: N_("the eye that judged"),
}


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
        causes = (_("{cause}: {told}", cause=line.cause, told=line.text) for line in self.causes)
        blocks = (self.results, (*self.shifts, self.other_category), tuple(causes), self.notes)
        told = [self.title, self.heading]
        for block in blocks:
            told += ["", *block]
        return (*told, "", _("For the client: {told}", told=self.for_client))


def reanalysis_page(client: str, found: Reanalysis) -> ReanalysisPage:
    """Return what is said of two sittings of a client."""
    lights = {name: _light(one) for name, one in zip(("then", "now"), found.lights, strict=True)}
    both = ((N_("Earlier"), found.earlier), (N_("Later"), found.later))
    return ReanalysisPage(
        title=_("{name}: two sittings compared", name=client),
        heading=_(HEADINGS[found.change]),
        results=tuple(_result(_(when), read, found.method) for when, read in both),
        shifts=tuple(_shift(shift) for shift in found.shifts),
        other_category=_(
            "Probability that the two sittings mean different categories: {percent}.",
            percent=printed_percent(found.other_category),
        ),
        causes=tuple(
            CauseLine(_(_CAUSES[c.cause]), _(_WHY[c.cause, c.told], **lights), c.told is CauseKnown.EXCLUDED)
            for c in found.causes
        ),
        notes=(
            _(
                "Both sittings were read again under {method}. The three ranges hold together at 95 %.",
                method=found.method,
            ),
            _(HOW_OFTEN),
        ),
        for_client=_for_client(found),
    )


def _light(light: ChairLight | None) -> str:
    """Return what was measured of a light, in units alone."""
    if light is None:
        return ""
    parts = [f"{local_number(light.cct_kelvin, 0)} K"]
    parts += [f"Duv {local_number(light.duv, 4)}"] if light.duv is not None else []
    parts += [f"Ra {local_number(light.ra, 0)}"] if light.ra is not None else []
    parts += [f"{local_number(light.lux, 0)} lx"] if light.lux is not None else []
    return ", ".join(parts)


def _result(when: str, read: Reread, method: str) -> str:
    values = {
        "when": _("{when}, {date}", when=when, date=long_date(read.date)) if read.date else when,
        "category": terms.season(read.category),
        "percent": printed_percent(read.probability),
    }
    told = ngettext(
        "{when}: {category}, {percent}, from {count} answer.",
        "{when}: {category}, {percent}, from {count} answers.",
        read.comparisons,
        **values,
    )
    if read.own_method == method:
        return told
    same = _("the same") if read.under_own == read.category else terms.season(read.under_own)
    own = _("Under its own method, {method}: {category}.", method=read.own_method, category=same)
    return f"{told} {own}"


def _shift(shift: AxisShift) -> str:
    values = {
        "axis": sentence(str(trade.axis(shift.axis))),
        "mean": local_number(shift.mean, 1),
        "low": local_number(shift.low, 1),
        "high": local_number(shift.high, 1),
    }
    if degree(shift.mean) is Degree.MIDDLE:
        return _("{axis}: {mean} units, no side (from {low} to {high}).", **values)
    towards = trade.trait_sentence(trait_word(shift.axis, shift.mean))
    return _("{axis}: {mean} units, towards {trait} (from {low} to {high}).", trait=towards, **values)


def _for_client(found: Reanalysis) -> str:
    if found.change is ShownChange.CANNOT_TELL:
        return _("Photographs alone cannot tell whether anything has changed; your colours stay as they were read.")
    day = found.earlier.date
    those = _("those of {date}", date=long_date(day)) if day else _("those from last time")
    return _of_no_change(found, those) if found.change is ShownChange.NONE_SHOWN else _of_a_change(found, those)


def _of_no_change(found: Reanalysis, those: str) -> str:
    one, other = (terms.season(read.category) for read in (found.earlier, found.later))
    if one == other:
        return _(
            "Your new answers agree with {those}: {category}, and no change is shown.", those=those, category=other
        )
    return _(
        "Your new answers name {category} and {those} named {earlier}, but they do not show that anything about you "
        "has changed.",
        category=other,
        those=those,
        earlier=one,
    )


def _of_a_change(found: Reanalysis, those: str) -> str:
    values = {"trait": trade.trait_sentence(trait_word(found.furthest.axis, found.furthest.mean)), "those": those}
    causes = [_(_MAYBE[c.cause]) for c in found.causes if c.told is not CauseKnown.EXCLUDED]
    if len(causes) > 1:
        return _(
            "Your new answers are more on the {trait} side than {those}; that may come from {causes}, and the answers "
            "alone cannot say which.",
            causes=one_of(causes),
            **values,
        )
    return _(
        "Your new answers are more on the {trait} side than {those}, and nothing but a change in you was left as a "
        "cause among those that were checked.",
        **values,
    )
