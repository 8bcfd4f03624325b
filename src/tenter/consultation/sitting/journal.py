"""The journal of a sitting: one line of JSON an event, written through to the disk before anything else happens.

A killed program loses nothing that was acknowledged; a line torn by the kill was not, and is set aside when reading.
"""

import json
import os
from collections.abc import Callable, Mapping
from dataclasses import fields
from pathlib import Path
from typing import Any

from tenter.consultation.reading.reading import Reading
from tenter.consultation.reading.record import Record
from tenter.consultation.record.history import Event, MissingCloth, Recorded, Voided
from tenter.consultation.record.judgements import (
    DrapeJudgement,
    FanJudgement,
    GarmentJudgement,
    Group,
    Judgement,
    PairJudgement,
)
from tenter.consultation.record.no_evidence import ConsultantVerdict, EarlierResult, Preference, Showing, VoidEntry
from tenter.errors import TenterError, UnknownName, UnreadableInput
from tenter.language import _, as_typed

_KINDS: dict[str, Callable[..., Judgement]] = {
    "pair": PairJudgement,
    "fan": FanJudgement,
    "single": DrapeJudgement,
    "garment": GarmentJudgement,
    "preference": Preference,
    "void": VoidEntry,
    "earlier": EarlierResult,
    "verdict": ConsultantVerdict,
    "show": Showing,
}
# What a line may raise that is no event, however it was damaged.
_NO_EVENT = (ValueError, LookupError, TypeError, AttributeError, ArithmeticError, RecursionError, TenterError)
_NAMES: dict[object, str] = {kind: name for name, kind in _KINDS.items()}


def judgement_document(judgement: Judgement) -> dict[str, object]:
    """Return a judgement as plain values for JSON."""
    values = {f.name: _plain(getattr(judgement, f.name)) for f in fields(judgement)}
    return {"kind": _NAMES[type(judgement)], **{k: v for k, v in values.items() if v not in (None, "", [])}}


def _plain(value: object) -> object:
    if isinstance(value, Group):
        return {"group": list(value.ids)}
    if isinstance(value, bool):
        return value
    if isinstance(value, tuple):
        return [_plain(v) for v in value]
    return value if isinstance(value, int | float | type(None)) else str(value)


def judgement_from(document: Mapping[str, Any]) -> Judgement:
    """Return the judgement of plain values, as `judgement_document` makes them.

    Raises `UnknownName` for a kind of entry that there is not, and `TenterError` when they are none for another reason.
    """
    values = dict(document)
    kind = values.pop("kind", None)
    if kind not in _KINDS:
        raise UnknownName(_("kind of entry"), kind, _KINDS)
    for name in ("left", "right", "drape", "liked", "over"):
        if isinstance(values.get(name), list):
            values[name] = tuple(values[name])
    if "ranking" in values:
        values["ranking"] = tuple(_rank(rank) for rank in values["ranking"])
    try:
        judgement: Judgement = _KINDS[kind](**values)
    except TypeError as error:
        raise TenterError(
            _("a {kind} entry cannot be made of {values} ({error})", kind=kind, values=sorted(values), error=error)
        ) from None
    return judgement


def _rank(rank: object) -> object:
    if isinstance(rank, Mapping):
        return Group(tuple(rank["group"]))
    return tuple(_rank(step) for step in rank) if isinstance(rank, list) else rank


def event_document(event: Event) -> dict[str, object]:
    """Return an event as plain values for JSON."""
    if isinstance(event, Recorded):
        return {"event": "recorded", "judgement": judgement_document(event.judgement)}
    if isinstance(event, Voided):
        return {"event": "voided", "number": event.number, "reason": event.reason}
    if isinstance(event, MissingCloth):
        return {"event": "missing", "drape": event.drape}
    return {"event": "undone"}


class Journal:
    """An append-only file of events."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def append(self, event: Event) -> None:
        """Write an event and wait until the disk has it; raises `OSError` where the file cannot be written."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        line = json.dumps(event_document(event), ensure_ascii=False) + "\n"
        with self.path.open("a", encoding="utf-8") as file:
            file.write(line)
            file.flush()
            os.fsync(file.fileno())

    def replay(self, onto: Reading) -> int:
        """Bring the events of the file onto a sitting and return how many there were.

        Raises `UnreadableInput` for a line that is no event. A last line without its end was torn by a kill before it
        was acknowledged: it is cut off the file.
        """
        if not self.path.exists():
            return 0
        content = self._content()
        end = content.rfind(b"\n") + 1
        lines = [line for line in content[:end].split(b"\n") if line.strip()]
        for number, line in enumerate(lines, start=1):
            try:
                bring_event(json.loads(line), onto)
            except _NO_EVENT as error:
                raise UnreadableInput(
                    str(self.path),
                    _("line {number} is not an event of a sitting ({error})", number=number, error=error),
                    _("Restore the file from a backup."),
                ) from None
        if content[end:]:
            os.truncate(self.path, end)  # only now: a file that cannot be read is left as it is
        return len(lines)

    def _content(self) -> bytes:
        try:
            return self.path.read_bytes()  # bytes, for a line may be torn inside a character
        except OSError as error:
            raise UnreadableInput(
                str(self.path), _("it cannot be opened ({reason})", reason=error.strerror), _("Check the path.")
            ) from None


def bring_event(document: Mapping[str, Any], onto: Reading | Record) -> None:
    """Bring the event of an `event_document` onto a sitting, or a record alone.

    Raises `TenterError` for another kind of event or one that the sitting refuses, and `KeyError` where a part is
    missing.
    """
    kind = document["event"]
    if kind == "recorded":
        onto.record(judgement_from(document["judgement"]))
    elif kind == "voided":
        onto.void(int(document["number"]), str(document["reason"]))
    elif kind == "missing":
        onto.set_aside(str(document["drape"]))
    elif kind == "undone":
        onto.undo()
    else:
        raise TenterError(_("no event {kind}", kind=as_typed(kind)))
