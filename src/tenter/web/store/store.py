"""Rows and consultation objects: the only place that knows both.

A sitting is its events, replayed. The rows are the truth; a live `tenter.Sitting` is kept beside them so that an answer
need not replay the whole day, and is brought up to date with the rows each time it is asked for, so that two devices
and several workers stay in step.
"""

import secrets
from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import lru_cache
from threading import Lock, RLock
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.utils.translation import gettext_noop

from tenter import Kit, Method
from tenter import Sitting as LiveSitting
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.consultation.record.history import Recorded
from tenter.consultation.record.judgements import Judgement
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.consultation.sitting.journal import bring_event, event_document
from tenter.inference.lattice import Styles
from tenter.web.models import Client, KitRecord, MethodRecord, Sitting, SittingEvent
from tenter.web.store import turns

LEFT_TO_ODDS = gettext_noop("left to the odds")  # why a named result is void; kept in English
_KEPT = 56  # sittings, 8 MB each: a crowd of 50 fits, for one more than are kept would replay every sitting in turn


class _Kept:
    """A place for one sitting's live object, and the last event that it has seen."""

    def __init__(self) -> None:
        self.lock = RLock()
        self.live: LiveSitting | None = None
        self.latest: SittingEvent | None = None  # of those that it has seen

    @property
    def seen(self) -> int:
        """How many events the live sitting has seen."""
        return int(self.latest.number) if self.latest else 0


_kept: OrderedDict[int, _Kept] = OrderedDict()
_kept_lock = Lock()
_writing = Lock()

# -- kits and methods --------------------------------------------------------------------------------------------------


@lru_cache(maxsize=8)
def _parsed(csv: str, name: str) -> Kit:
    return Kit.parse(csv, name)


def kit_of(record: KitRecord) -> Kit:
    """Return the kit of a row."""
    return _parsed(record.csv, record.name)


@lru_cache(maxsize=8)
def method_named(name: str) -> Method:
    """Return a bundled method."""
    return Method.bundled(name)


@lru_cache(maxsize=32)
def method_in(toml: str) -> Method:
    """Return the method of an owner's own file."""
    return Method.parse(toml)


def method_of(row: Sitting) -> Method:
    """Return the method that a sitting goes by."""
    return method_in(row.own_method.toml) if row.own_method else method_named(row.method)


def add_method(owner: User, toml: str) -> MethodRecord:
    """Keep a method file; raises `UnreadableInput` naming the field at fault, and keeps nothing then."""
    method = Method.parse(toml)
    return MethodRecord.objects.create(owner=owner, name=method.name, title=method.title, toml=toml)


def add_kit(owner: User, name: str, csv: str, origin: KitRecord | None = None) -> KitRecord:
    """Keep a kit; raises `UnreadableInput` naming every faulty row, and keeps nothing then.

    origin: the kit of which this one was made by its readings, on the day of a sitting.
    """
    _parsed(csv, name)
    return KitRecord.objects.create(owner=owner, name=name, csv=csv, origin=origin)


# -- sittings ----------------------------------------------------------------------------------------------------------


def start_sitting(
    client: Client,
    analyst: User,
    kit: KitRecord,
    method: str | MethodRecord = DEFAULT_METHOD,
    seed: int | None = None,
    blind_to: Sitting | None = None,
    analyst_prior: Mapping[str, Any] | None = None,
) -> Sitting:
    """Start a sitting and return its row; raises `UnknownName` for a word that names no bundled method.

    analyst_prior: how its analyst answered before, as `styles_of` reads it. It stays what it is now. A blind reading
    goes without.
    """
    own = method if isinstance(method, MethodRecord) else None
    name = own.name if own else method_named(str(method)).name
    number = secrets.randbelow(2**31) if seed is None else seed
    return Sitting.objects.create(
        client=client,
        analyst=analyst,
        kit=kit,
        method=name,
        own_method=own,
        seed=number,
        blind_to=blind_to,
        analyst_prior=None if blind_to else analyst_prior,
    )


def styles_of(row: Sitting) -> Styles | None:
    """Return how a sitting's analyst had answered before it began, or None where that was not known or not used."""
    kept = row.analyst_prior
    return Styles(*(tuple(kept[name]) for name in ("sigmas", "cut_scales", "weights"))) if kept else None


def _blank(row: Sitting) -> LiveSitting:
    return LiveSitting(kit_of(row.kit), method_of(row), seed=row.seed, analyst_prior=styles_of(row))


def replayed(row: Sitting, events: Iterable[Mapping[str, Any]]) -> LiveSitting:
    """Return a sitting made anew from its row and the events given, beside the one that is kept."""
    live = _blank(row)
    for event in events:
        bring_event(event, live)
    return live


@contextmanager
def load(row: Sitting) -> Iterator[LiveSitting]:
    """Lend the live sitting of a row, up to date, to one thread at a time, to be read only."""
    place = _place(row.pk)
    with place.lock:
        _bring_up_to_date(place, row)
        assert place.live is not None
        yield place.live


@contextmanager
def load_both(first: Sitting, second: Sitting) -> Iterator[tuple[LiveSitting, LiveSitting]]:
    """Lend the live sittings of two rows, as `load` lends one; always in one order, so that no two wait in a ring."""
    lower, higher = sorted((first, second), key=lambda row: row.pk)
    with load(lower) as one, load(higher) as other:
        yield (one, other) if lower.pk == first.pk else (other, one)


def _place(pk: int) -> _Kept:
    with _kept_lock:
        place = _kept.setdefault(pk, _Kept())
        _kept.move_to_end(pk)
        while len(_kept) > _KEPT:
            _kept.popitem(last=False)
        return place


def _bring_up_to_date(place: _Kept, row: Sitting) -> None:
    live = place.live
    events = None if live is None else _unseen(place, row)
    if live is None or events is None:
        live = place.live = _blank(row)
        place.latest, events = None, list(row.events.order_by("number"))
    try:
        for event in events:
            bring_event(event.payload, live)
            place.latest = event
    except BaseException:
        place.live = None
        raise


def _unseen(place: _Kept, row: Sitting) -> list[SittingEvent] | None:
    """Return the events that come after those seen; None where those seen stand no more, for a backup was restored."""
    events = list(SittingEvent.objects.filter(sitting=row, number__gte=place.seen).order_by("number"))
    if place.latest is None:
        return events
    same = events and (events[0].key, events[0].at) == (place.latest.key, place.latest.at)
    return events[1:] if same else None


def name_result(row: Sitting, named: ConsultantVerdict, key: str) -> SittingEvent | None:
    """Keep the result as the consultant names it, also after the end: it is no evidence."""
    return _append(row, key, lambda live: live.record(named), though_closed=True)


def leave_to_odds(row: Sitting, key: str) -> SittingEvent | None:
    """Make void what was named; None where nothing is. It stays in the record."""

    def take_back(live: LiveSitting) -> None:
        for entry in live.entries:
            if entry.stands and isinstance(entry.judgement, ConsultantVerdict):
                live.void(entry.number, LEFT_TO_ODDS)

    return _append(row, key, take_back, though_closed=True)


def change_sitting(row: Sitting, key: str, make: Callable[[LiveSitting], object]) -> SittingEvent | None:
    """Make a change that adds one event or none, looking at the sitting as it stands; the rest is as for the others."""
    return _append(row, key, make)


def _append(
    row: Sitting, key: str, change: Callable[[LiveSitting], object], though_closed: bool = False
) -> SittingEvent | None:
    """Make a change on the live sitting and write it down, or neither. Not to be called inside a transaction.

    Raises `turns.Closed` once the sitting has ended, except for what stands already or may come `though_closed`. What
    was held by choice is put down with the entry. The database's lock on the sitting's row orders the writers of
    several workers. Those of one worker queue for their turn: SQLite has one writer at a time, and lets the others
    try again at random, some of them for seconds.
    """
    place = _place(row.pk)
    with place.lock:
        try:
            _bring_up_to_date(place, row)  # a replay is not for the writer's turn
            with _writing, transaction.atomic(durable=True):
                now = Sitting.objects.select_for_update().get(pk=row.pk)
                done = SittingEvent.objects.filter(sitting=row, key=key).first()
                if done is None:
                    if now.closed and not though_closed:
                        raise turns.Closed(now.closed)
                    done = _write(place, row, key, change)
                    turns.hold_sides(now, ())
                return done
        except turns.Closed:
            raise  # before anything was touched
        except BaseException:
            place.live = None  # it may be ahead of the rows; the next reader replays them
            raise


def _write(place: _Kept, row: Sitting, key: str, change: Callable[[LiveSitting], object]) -> SittingEvent | None:
    _bring_up_to_date(place, row)
    live = place.live
    assert live is not None
    before = len(live.events)
    change(live)
    if len(live.events) == before:
        return None
    document = event_document(live.events[-1])
    event = SittingEvent.objects.create(
        sitting=row, number=place.seen + 1, kind=str(document["event"]), payload=document, key=key
    )
    place.latest = event
    return event


def forget_sittings() -> None:
    """Drop every live sitting; the next reader replays the rows."""
    with _kept_lock:
        _kept.clear()


@contextmanager
def at_rest() -> Iterator[None]:
    """Let nobody here write an entry for as long as it lasts, and drop every live sitting at its end."""
    with _writing:
        try:
            yield
        finally:
            forget_sittings()


def bring_in(row: Sitting, judgements: list[Judgement]) -> None:
    """Write the judgements of a ledger, already held against the kit, into a sitting that has no events."""
    documents = [event_document(Recorded(number, judgement)) for number, judgement in enumerate(judgements, start=1)]
    SittingEvent.objects.bulk_create(
        SittingEvent(
            sitting=row,
            number=number,
            kind=str(document["event"]),
            payload=document,
            key=f"ledger-{number}",
            at=row.started,
        )
        for number, document in enumerate(documents, start=1)
    )
