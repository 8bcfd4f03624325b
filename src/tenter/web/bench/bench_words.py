"""Entries in words for the bench: what was said of which cloths, and nothing of what follows from it."""

from collections.abc import Iterable
from functools import reduce, singledispatch

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, gettext_noop, pgettext_lazy

from tenter import Sitting as LiveSitting
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.palette.seen import ALONE
from tenter.consultation.record.history import Entry, MissingCloth, Recorded, Undone, Voided
from tenter.consultation.record.judgements import DrapeJudgement, FanJudgement, Judgement, PairJudgement
from tenter.consultation.record.no_evidence import ConsultantVerdict, Preference, Showing, VoidEntry
from tenter.consultation.words import terms
from tenter.consultation.words.answers import Answer, Brought, Source, View, Worth
from tenter.language import in_a_row
from tenter.report.words.terms import season
from tenter.web.store import store

STRENGTHS = {
    1: pgettext_lazy("how much better", "a little"),
    2: pgettext_lazy("how much better", "clearly"),
    3: pgettext_lazy("how much better", "strongly"),
}
WORTHS = {
    Worth.BEST: pgettext_lazy("a cloth shown", "best"),
    Worth.YES: pgettext_lazy("a cloth shown", "yes"),
    Worth.AWAY: pgettext_lazy("a cloth shown", "away from the face"),
    Worth.NO: pgettext_lazy("a cloth shown", "no"),
}
BROUGHT = {
    Brought.GARMENT: gettext_lazy("garment"),
    Brought.LIPSTICK: gettext_lazy("lipstick"),
    Brought.FRAMES: gettext_lazy("frames"),
    Brought.HAIR: gettext_lazy("hair"),
}
# Why an entry is made void. Kept as they are in English, and said in the language of whoever reads them.
REASONS = (
    gettext_noop("wrong cloth was lifted"),
    gettext_noop("the light changed"),
    gettext_noop("the client moved or spoke"),
    gettext_noop("the key was wrong"),
)
# With those that the program writes itself: `VoidEntry.PASSED_OVER`, and a result left to the odds again.
_KNOWN_REASONS = {*REASONS, store.LEFT_TO_ODDS, gettext_noop("another pair was asked for")}
_EQUAL = {
    Answer.NOTHING_SEEN: gettext_lazy("%(left)s and %(right)s: nothing seen"),
    Answer.BOTH_GOOD: gettext_lazy("%(left)s and %(right)s: both good"),
    Answer.BOTH_WRONG: gettext_lazy("%(left)s and %(right)s: both wrong"),
}
_WHO = {
    Source.CLIENT: gettext_lazy("%(entry)s (the client's answer)"),
    Source.THIRD: gettext_lazy("%(entry)s (a third person's answer)"),
}


def last_words(live: LiveSitting) -> str:
    """Return what happened last in a sitting, or nothing."""
    event = live.events[-1] if live.events else None
    if isinstance(event, Recorded):
        return entry_words(live.kit, live.entries[-1])
    if isinstance(event, Voided):
        return _("entry %(number)s is void: %(reason)s") % {"number": event.number, "reason": _kept(event.reason)}
    if isinstance(event, MissingCloth):
        return _("%(cloth)s is missing and will not be proposed") % {"cloth": event.drape}
    return _undone_words(live, event) if isinstance(event, Undone) else ""


def _undone_words(live: LiveSitting, event: Undone) -> str:
    was = live.events[event.index]
    if isinstance(was, Recorded):
        said = {"number": was.number, "what": _said(was.judgement, live.kit)}
        return _("entry %(number)s is taken back: %(what)s") % said
    if isinstance(was, Voided):
        return _("entry %(number)s is no longer void") % {"number": was.number}
    return _("%(cloth)s is no longer missing") % {"cloth": getattr(was, "drape", "")}


def _kept(note: str) -> str:
    """Return a reason as it is read: one of the list in the language, one of their own as it was written."""
    return _(note) if note in _KNOWN_REASONS else note


def entry_words(kit: Kit, entry: Entry) -> str:
    """Return an entry's number and answer in words."""
    judgement = entry.judgement
    told = _("entry %(number)s, %(what)s") % {"number": entry.number, "what": _said(judgement, kit)}
    if judgement.view is View.SPLIT:
        told = _("%(entry)s, half-face view") % {"entry": told}
    remarks = [
        *(_remark(said.drape, terms.flag(said.flag)) for said in judgement.flags),
        *(_remark(seen.drape, terms.seen_sign(seen.sign)) for seen in judgement.signs),
    ]
    if remarks:
        told = _("%(entry)s; %(remarks)s") % {"entry": told, "remarks": in_a_row(remarks)}
    who = _WHO.get(judgement.source)
    return str(who) % {"entry": told} if who else told


def _remark(cloth: str, word: object) -> str:
    return _("%(cloth)s %(remark)s") % {"cloth": cloth, "remark": word}


def _named(kit: Kit, cloths: Iterable[str]) -> str:
    return str(terms.cloths_worn_together([f"{cloth} {kit[cloth].name}" for cloth in cloths]))


@singledispatch
def _said(judgement: Judgement, kit: Kit) -> str:
    return in_a_row([_named(kit, (cloth,)) for cloth in judgement.cloths]) or _("noted")


@_said.register
def _pair_said(judgement: PairJudgement, kit: Kit) -> str:
    left, right = (_named(kit, side) for side in judgement.sides)
    if judgement.answer.is_equal:
        return str(_EQUAL[judgement.answer]) % {"left": left, "right": right}
    better, worse = (left, right) if judgement.answer is Answer.LEFT else (right, left)
    said = {"better": better, "how_much": STRENGTHS[judgement.strength], "worse": worse}
    return _("%(better)s %(how_much)s better than %(worse)s") % said


@_said.register
def _fan_said(judgement: FanJudgement, kit: Kit) -> str:
    ranks = [reduce(_level, (_named(kit, side) for side in rank)) for rank in judgement.ranks]
    return _("best first: %(order)s") % {"order": reduce(_then, ranks)}


def _level(one: str, other: str) -> str:
    return _("%(one)s level with %(other)s") % {"one": one, "other": other}


def _then(before: str, after: str) -> str:
    return _("%(before)s, then %(after)s") % {"before": before, "after": after}


@_said.register
def _single_said(judgement: DrapeJudgement, kit: Kit) -> str:
    said = {"cloth": _named(kit, judgement.cloths), "answer": ALONE[judgement.suits]}
    return _("%(cloth)s on its own: %(answer)s") % said


@_said.register
def _preference_said(judgement: Preference, kit: Kit) -> str:
    return _("%(cloth)s is liked, but this is not evidence") % {"cloth": _named(kit, judgement.cloths[:1])}


@_said.register
def _showing_said(judgement: Showing, kit: Kit) -> str:
    what = judgement.name if judgement.brought else _named(kit, judgement.cloths)
    return _("%(thing)s shown: %(answer)s") % {"thing": what, "answer": WORTHS[judgement.worth]}


@_said.register
def _verdict_said(judgement: ConsultantVerdict, kit: Kit) -> str:  # noqa: ARG001
    return _("%(category)s named as the result, but this is not evidence") % {"category": season(judgement.category)}


@_said.register
def _void_said(judgement: VoidEntry, kit: Kit) -> str:
    cloths = str(terms.one_and_another([_named(kit, (cloth,)) for cloth in judgement.held]))
    reason = _kept(judgement.note) or _("void")
    return _("%(cloths)s not judged: %(reason)s") % {"cloths": cloths, "reason": reason}
