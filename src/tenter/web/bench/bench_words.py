"""Entries in words for the bench: what was said of which cloths, and nothing of what follows from it."""

from functools import singledispatch

from tenter import Sitting as LiveSitting
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.record.history import Entry, MissingCloth, Recorded, Undone, Voided
from tenter.consultation.record.judgements import DrapeJudgement, FanJudgement, Judgement, PairJudgement
from tenter.consultation.record.no_evidence import ConsultantVerdict, Preference, Showing, VoidEntry
from tenter.consultation.words.answers import Answer, Source, View, Worth

STRENGTHS = {1: "a little", 2: "clearly", 3: "strongly"}
_EQUAL = {
    Answer.NOTHING_SEEN: "nothing seen",
    Answer.BOTH_GOOD: "both good",
    Answer.BOTH_WRONG: "both wrong",
}
WORTHS = {Worth.BEST: "best", Worth.YES: "yes", Worth.AWAY: "away from the face", Worth.NO: "no"}
_WHO = {Source.CLIENT: " (the client's answer)", Source.THIRD: " (a third person's answer)"}


def last_words(live: LiveSitting) -> str:
    """Return what happened last in a sitting, or nothing."""
    event = live.events[-1] if live.events else None
    if isinstance(event, Recorded):
        return entry_words(live.kit, live.entries[-1])
    if isinstance(event, Voided):
        return f"entry {event.number} is void: {event.reason}"
    if isinstance(event, MissingCloth):
        return f"{event.drape} is missing and will not be proposed"
    if isinstance(event, Undone):
        return f"taken back: {_undone_words(live, event)}"
    return ""


def _undone_words(live: LiveSitting, event: Undone) -> str:
    was = live.events[event.index]
    if isinstance(was, Recorded):
        return f"entry {was.number}, {_said(was.judgement, live.kit)}"
    return f"the void of entry {was.number}" if isinstance(was, Voided) else f"{getattr(was, 'drape', '')} as missing"


def entry_words(kit: Kit, entry: Entry) -> str:
    """Return an entry's number and answer in words."""
    judgement = entry.judgement
    view = ", half-face view" if judgement.view is View.SPLIT else ""
    remarks = ", ".join(str(r).replace("-", " ").replace(":", " ") for r in (*judgement.flags, *judgement.signs))
    noted = f"; {remarks}" if remarks else ""
    return f"entry {entry.number}, {_said(judgement, kit)}{view}{noted}{_WHO.get(judgement.source, '')}"


def _named(kit: Kit, cloths: tuple[str, ...]) -> str:
    return " with ".join(f"{cloth} {kit[cloth].name}" for cloth in cloths)


@singledispatch
def _said(judgement: Judgement, kit: Kit) -> str:
    return ", ".join(_named(kit, (cloth,)) for cloth in judgement.cloths) or "noted"


@_said.register
def _(judgement: PairJudgement, kit: Kit) -> str:
    left, right = (_named(kit, side) for side in judgement.sides)
    if judgement.answer.is_equal:
        return f"{left} and {right}: {_EQUAL[judgement.answer]}"
    better, worse = (left, right) if judgement.answer is Answer.LEFT else (right, left)
    return f"{better} {STRENGTHS[judgement.strength]} better than {worse}"


@_said.register
def _(judgement: FanJudgement, kit: Kit) -> str:
    return "best first: " + ", then ".join(" level with ".join(_named(kit, s) for s in r) for r in judgement.ranks)


@_said.register
def _(judgement: DrapeJudgement, kit: Kit) -> str:
    return f"{_named(kit, judgement.cloths)} on its own: {judgement.suits}"


@_said.register
def _(judgement: Preference, kit: Kit) -> str:
    return f"{_named(kit, judgement.cloths[:1])} is liked, but this is not evidence"


@_said.register
def _(judgement: Showing, kit: Kit) -> str:
    what = judgement.name if judgement.brought else _named(kit, judgement.cloths)
    return f"{what} shown: {WORTHS[judgement.worth]}"


@_said.register
def _(judgement: ConsultantVerdict, kit: Kit) -> str:  # noqa: ARG001
    return f"{judgement.category} named as the result, but this is not evidence"


@_said.register
def _(judgement: VoidEntry, kit: Kit) -> str:
    return f"{' and '.join(_named(kit, (cloth,)) for cloth in judgement.held)} not judged: {judgement.note or 'void'}"
