"""Sittings as their rows tell them, what they come to when they are replayed, and under which checksum that is known.

A replay takes a tenth of a second and more. The checksum is of all that it follows from: kit, method, seed, what was
known of the analyst, events and the program itself. The same checksum is the same odds.
"""

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import version
from importlib.resources import files
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Any

from django.utils.translation import gettext as _

from tenter.consultation.reading.record import Record
from tenter.consultation.sitting.journal import bring_event
from tenter.errors import TenterError
from tenter.web.models import KitRecord, MethodRecord, Sitting, SittingEvent
from tenter.web.replays.backup_rows import RowsOf
from tenter.web.store import store

_DIGITS = 6  # of a probability; further ones may differ between processors
_DECIDING = ("colorimetry", "inference", "measured", "consultation")  # the parts of the program that odds follow from
# What events that are none may raise on their way into a sitting.
_NO_EVENT = (TenterError, LookupError, ValueError, TypeError, AttributeError)


@dataclass(frozen=True, slots=True)
class SittingHistory:
    """A sitting with its kit and method at hand, and what happened in it, in order."""

    sitting: Sitting
    events: tuple[Mapping[str, Any], ...]

    @property
    def number(self) -> str:
        """The sitting's number, as a backup writes it."""
        return str(self.sitting.pk)


def histories(rows_of: RowsOf, events: Iterable[SittingEvent] | None = None) -> Iterator[SittingHistory]:
    """Yield rows put together, sitting by sitting, without a second look at any of them.

    rows_of: of sittings by number, and of events with those of one sitting together, in the order of the sittings.
    events: to be taken in the place of `rows_of`'s. Raises `TenterError` for an event of no sitting that is there.
    """
    kit_of = {row.pk: row for row in rows_of(KitRecord)}
    method_of = {row.pk: row for row in rows_of(MethodRecord)}
    grouped = groupby(rows_of(SittingEvent) if events is None else events, attrgetter("sitting_id"))
    number, found = next(grouped, (None, ()))
    for row in rows_of(Sitting):
        payloads: tuple[Mapping[str, Any], ...] = ()
        if number is not None and number < row.pk:
            break
        if number == row.pk:
            payloads = tuple(event.payload for event in sorted(found, key=attrgetter("number")))
            number, found = next(grouped, (None, ()))
        yield SittingHistory(_at_hand(row, kit_of, method_of), payloads)
    if number is not None:
        told = _("its rows do not fit together (entries of sitting %(number)s belong to none that is there)")
        raise TenterError(told % {"number": number})


def history_of(row: Sitting) -> SittingHistory:
    """Return a sitting's history from the database."""
    return SittingHistory(row, tuple(row.events.order_by("number").values_list("payload", flat=True)))


def _at_hand(row: Sitting, kit_of: Mapping[int, KitRecord], method_of: Mapping[int, MethodRecord]) -> Sitting:
    if row.kit_id not in kit_of or row.own_method_id not in (None, *method_of):
        told = _("its rows do not fit together (sitting %(number)s names a kit or method that is not there)")
        raise TenterError(told % {"number": row.pk})
    row.kit = kit_of[row.kit_id]
    if row.own_method_id is not None:
        row.own_method = method_of[row.own_method_id]
    return row


def digest(history: SittingHistory) -> str:
    """Replay a sitting and return what its probabilities come to: a short word, the same for the same odds.

    Raises `TenterError`, by `_not_replayed`, where an event cannot be replayed.
    """
    try:
        probabilities = store.replayed(history.sitting, history.events).probabilities()
    except _NO_EVENT as error:
        raise _not_replayed(history, error) from None
    odds = {name: f"{p:.{_DIGITS}f}" for name, p in probabilities.items()}
    return hashlib.sha256(json.dumps(odds, sort_keys=True).encode()).hexdigest()


def read_history(history: SittingHistory) -> None:
    """Read every event of a sitting as a replay does, and weigh none.

    Raises `TenterError`, by `_not_replayed`, where one is none.
    """
    try:
        record = Record(store.kit_of(history.sitting.kit), store.method_of(history.sitting))
        for event in history.events:
            bring_event(event, record)
    except _NO_EVENT as error:
        raise _not_replayed(history, error) from None


def _not_replayed(history: SittingHistory, error: Exception) -> TenterError:
    told = _("sitting %(number)s cannot be replayed (%(error)s)")
    return TenterError(told % {"number": history.number, "error": error})


# -- under what it is known --------------------------------------------------------------------------------------------


def checksum(history: SittingHistory) -> str:
    """Return a checksum of everything that a sitting's odds follow from."""
    row = history.sitting
    method = row.own_method.toml if row.own_method else row.method
    said = [program(), _of_kit(row.kit.name, row.kit.csv), method, row.seed, row.analyst_prior, history.events]
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()


@lru_cache(maxsize=32)
def _of_kit(name: str, csv: str) -> str:
    return hashlib.sha256(f"{name}\0{csv}".encode()).hexdigest()


@lru_cache(maxsize=1)
def program() -> str:
    """Return a checksum of the program, as far as odds follow from it."""
    whole = hashlib.sha256(f"{version('tenter')} {version('numpy')}".encode())
    for part in _DECIDING:
        root = Path(str(files("tenter") / part))
        for path in sorted(p for p in root.rglob("*") if p.is_file() and "__pycache__" not in p.parts):
            whole.update(f"{path.relative_to(root)}\0".encode() + path.read_bytes())
    return whole.hexdigest()
