"""What the bench sends, made into one event of the sitting: an answer, or undo, void, a missing cloth, another pair.

An entry names the cloths that its own page showed and the event it had seen, so that a page that is behind the sitting
is taken at its word, and never counted twice.
"""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TypeAlias

from django.utils.translation import gettext as _

from tenter import Sitting as LiveSitting
from tenter.consultation.cloths.tables import TableRow
from tenter.consultation.record.history import Recorded
from tenter.consultation.record.judgements import Judgement
from tenter.consultation.record.ledger import LEDGER_OPTIONAL, entry_of
from tenter.consultation.record.no_evidence import Preference, Showing, VoidEntry
from tenter.consultation.sitting.show_round import ends_in_a_showing
from tenter.consultation.words.answers import Brought, Worth
from tenter.errors import TenterError, UnknownName
from tenter.language import as_typed
from tenter.web.models import Sitting, SittingEvent
from tenter.web.store import store

Said: TypeAlias = Mapping[str, str]
Make: TypeAlias = Callable[[LiveSitting], object]
# Characters: of a key, the width of its column; of a text and of the name of a thing, set by judgement.
_LONGEST_KEY, _LONGEST_TEXT, _LONGEST_NAME = 64, 2000, 80
_AS_SAID = ("kind", "cloths", "flags", "signs", "view", "source", "note", "region")


class MovedOn(TenterError):
    """The sitting has gone on since the page was drawn, and what the page sent would be a second time."""


def enter(row: Sitting, said: Said, now: datetime) -> SittingEvent | None:
    """Write down what a page sent; the same key again returns the event that stands.

    Raises `TenterError` when it is no entry, `UnknownName` for an act of no list, and `MovedOn` when another device has
    said it already.
    """
    key = said.get("key", "")
    if not 0 < len(key) <= _LONGEST_KEY or any(len(said.get(name, "")) > _LONGEST_TEXT for name in _AS_SAID):
        raise TenterError(_("the page sent an entry without a valid key, so nothing was saved; reload the page"))
    act, _space, operand = said.get("act", "record").partition(" ")
    if act not in _ACTS:
        raise UnknownName(_("act"), act, _ACTS)
    make = _ACTS[act](row, said, operand, _minute(row, said, now))
    return store.change_sitting(row, key, make)


def _minute(row: Sitting, said: Said, now: datetime) -> float:
    """Return the minute of the sitting in which the answer was given, however late it arrives."""
    waited = _whole(said, "waited") / 1000
    return round(max(0.0, (now - row.started).total_seconds() - waited) / 60, 2)


def _whole(said: Said, name: str) -> int:
    text = said.get(name) or "0"
    if not (text.isascii() and text.isdigit() and len(text) < 12):
        said_instead = {"field": name, "text": as_typed(text[:20])}
        raise TenterError(_("%(field)s is a whole number, got %(text)s; reload the page") % said_instead)
    return int(text)


def _record(row: Sitting, said: Said, operand: str, minute: float) -> Make:  # noqa: ARG001
    answer, strength = said.get("answer", "").strip(), said.get("strength", "")
    if said.get("kind") in ("pair", "combination"):
        answer, _space, with_it = answer.partition(" ")
        strength = with_it or strength
    cells = {name: said.get(name, "") for name in _AS_SAID if name in LEDGER_OPTIONAL or name in ("kind", "cloths")}
    cells |= {"client": "bench", "answer": answer, "strength": strength, "minute": str(minute)}
    return _recorder(row, said, entry_of(TableRow(0, cells)).judgement)


def _liked(row: Sitting, said: Said, operand: str, minute: float) -> Make:
    return _recorder(row, said, Preference(_side(operand), minute=minute))


def _skip(row: Sitting, said: Said, operand: str, minute: float) -> Make:  # noqa: ARG001
    cloths = tuple(c for side in said.get("cloths", "").split() for c in side.split("+"))
    return _unless_moved(said, _recorder(row, said, VoidEntry(cloths, note=VoidEntry.PASSED_OVER, minute=minute)))


def _side(word: str) -> str | tuple[str, ...]:
    return tuple(word.split("+")) if "+" in word else word


def _recorder(row: Sitting, said: Said, judgement: Judgement) -> Make:
    kit, seen = store.kit_of(row.kit), _whole(said, "seen")
    for cloth in judgement.cloths:  # before the sitting is touched, so that a slip costs no replay
        kit.row(cloth)

    def make(live: LiveSitting) -> None:
        _refuse_second(live, judgement, seen)
        live.record(judgement)

    return make


def _refuse_second(live: LiveSitting, judgement: Judgement, seen: int) -> None:
    """Refuse an answer on cloths that the same person has answered on since the page was drawn."""
    known = sum(isinstance(event, Recorded) for event in live.events[:seen])
    for entry in live.entries[known:]:
        other = entry.judgement
        same = type(other) is type(judgement) and set(other.cloths) == set(judgement.cloths)
        if same and other.source is judgement.source and not entry.undone:
            told = _(
                "entry %(number)s on these cloths was made already, from another device; undo that entry if it is wrong"
            )
            raise MovedOn(told % {"number": entry.number})


def _unless_moved(said: Said, make: Make) -> Make:
    seen = _whole(said, "seen")

    def checked(live: LiveSitting) -> None:
        if len(live.events) != seen:
            raise MovedOn(_("the sitting has moved on from another device. Look, and press again"))
        make(live)

    return checked


def _undo(row: Sitting, said: Said, operand: str, minute: float) -> Make:  # noqa: ARG001
    return _unless_moved(said, lambda live: live.undo())


def _missing(row: Sitting, said: Said, operand: str, minute: float) -> Make:  # noqa: ARG001
    store.kit_of(row.kit).row(operand)
    return lambda live: live.set_aside(operand)


def _void(row: Sitting, said: Said, operand: str, minute: float) -> Make:  # noqa: ARG001
    number, reason = _whole(said, "number"), said.get("reason") or said.get("other", "")
    return lambda live: live.void(number, reason[:_LONGEST_TEXT])


def _shown(row: Sitting, said: Said, operand: str, minute: float) -> Make:
    return _recorder(row, said, Showing(_worth(row, operand), said.get("cloths", ""), minute=minute))


def _brought(row: Sitting, said: Said, operand: str, minute: float) -> Make:
    if (kind := said.get("brought", "")) not in [*Brought]:
        raise UnknownName(_("thing that was brought"), kind, Brought)
    name = said.get("name", "")[:_LONGEST_NAME]
    judgement = Showing(_worth(row, operand), brought=Brought(kind), name=name, minute=minute)
    return lambda live: live.record(judgement)


def _worth(row: Sitting, operand: str) -> Worth:
    if row.revealed_at is None:
        raise TenterError(_("cloths are shown only after the verdict is revealed; reveal it first"))
    if operand not in [*Worth]:
        raise UnknownName(_("answer"), operand, Worth)
    return Worth(operand)


def _take_back(row: Sitting, said: Said, operand: str, minute: float) -> Make:  # noqa: ARG001
    def make(live: LiveSitting) -> None:
        if not ends_in_a_showing(live):
            raise TenterError(
                _("there is nothing left to take back in the show round; undo answers of the bench on the bench")
            )
        live.undo()

    return _unless_moved(said, make)


_ACTS: dict[str, Callable[[Sitting, Said, str, float], Make]] = {
    "record": _record,
    "liked": _liked,
    "skip": _skip,
    "undo": _undo,
    "missing": _missing,
    "void": _void,
    "shown": _shown,
    "brought": _brought,
    "take-back": _take_back,
}
