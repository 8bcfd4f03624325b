"""What a client brought to the show round, each with its photograph if there is one."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from tenter import Sitting as LiveSitting
from tenter.consultation.record.no_evidence import Showing
from tenter.consultation.words.answers import Brought
from tenter.errors import TenterError
from tenter.web.bench.bench_entry import enter
from tenter.web.bench.bench_words import BROUGHT, WORTHS
from tenter.web.models import Sitting, SittingEvent, ThingPhotograph


@dataclass(frozen=True, slots=True)
class BroughtThing:
    """Something that the client brought, and how it did. entry: its number in the sitting."""

    entry: int
    kind: str
    name: str
    answer: str


def brought_things(live: LiveSitting) -> tuple[BroughtThing, ...]:
    """Return what was brought and stands, in the order it came."""
    return tuple(
        BroughtThing(entry.number, str(shown.brought), shown.name, str(WORTHS[shown.worth]))
        for entry in live.entries
        if entry.stands and isinstance(shown := entry.judgement, Showing) and shown.brought
    )


def with_photographs(
    things: Iterable[BroughtThing], rows: Iterable[ThingPhotograph]
) -> tuple[list[tuple[BroughtThing, ThingPhotograph | None]], list[ThingPhotograph]]:
    """Return each thing with its photograph, and the photographs of what was taken back."""
    found = {row.entry: row for row in rows if row.entry is not None}
    paired = [(thing, found.pop(thing.entry, None)) for thing in things]
    return paired, list(found.values())


def name_for(kind: str, things: Iterable[BroughtThing]) -> str:
    """Return what a thing is called that came by a photograph alone."""
    return f"{BROUGHT[Brought(kind)]} {sum(thing.kind == kind for thing in things) + 1}"


def show(row: Sitting, said: Mapping[str, str], now: datetime) -> int:
    """Write down what was brought and how it did, and return its entry's number; the same key again writes nothing.

    Raises `TenterError` where it cannot be written down.
    """
    event = enter(row, said, now)
    if event is None or event.kind != "recorded":
        raise TenterError(_("the page sent a key that was used already; reload it"))
    return SittingEvent.objects.filter(sitting=row, kind="recorded", number__lte=event.number).count()
