"""Until when each thing of a client is kept: its own day, or so many months after it was last of use, as a studio says.

A photograph has a day that the client was told, and goes by itself (`photo_sweep.py`). Everything else stays until
somebody erases it, unless the studio chose otherwise.
"""

import calendar
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from functools import cache
from typing import TypeVar

from django.contrib.auth.models import User
from django.db.models import Max, Model, Q, QuerySet
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tenter.errors import TenterError, what_would_do
from tenter.language import as_typed
from tenter.web.models import (
    Client,
    ClientWish,
    Consent,
    HandedPaper,
    KeepingTimes,
    KeptUntil,
    Photograph,
    Sitting,
    StudioText,
    ThingPhotograph,
    WardrobePiece,
    usual_deletion,
)
from tenter.web.rules import consents

_SHORTEST_MONTH, _A_DAY = timedelta(days=28), timedelta(days=1)  # of the calendar: a February


class DatedKind(StrEnum):
    """What has a day of deletion."""

    CLIENT = "client"
    SITTING = "sitting"
    PAPERS = "papers"
    NOTES = "notes"
    WISHES = "wishes"
    WARDROBE = "wardrobe"
    CONSENTS = "consents"  # those that ended on one day, by that day's ordinal
    PICTURE = "picture"


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing of a client, what it is called, and the day on which it is due. reason: why it has a day of its own."""

    kind: DatedKind
    client: int
    name: str  # the client's
    number: int
    what: str
    day: date
    reason: str = ""

    @property
    def by_itself(self) -> bool:
        """Whether it is deleted on its day without a click, as a photograph is."""
        return self.kind is DatedKind.PICTURE

    @property
    def key(self) -> tuple[int, str, int]:
        """What tells it from every other."""
        return self.client, str(self.kind), self.number


M = TypeVar("M", bound=Model)


def times_of(owner: User) -> KeepingTimes:
    """Return for how long an owner keeps things."""
    return KeepingTimes.objects.filter(owner=owner).first() or KeepingTimes(owner=owner)


def photograph_day(client: Client) -> date:
    """Return the day on which a photograph taken today is deleted, as the studio says; a minor's goes no later."""
    days = times_of(client.owner).photograph_days
    kept = timezone.localdate() + timedelta(days=days)
    return min(kept, usual_deletion(minor=True)) if client.minor else kept


def later_by(day: date, months: int) -> date:
    """Return the day so many months later; the last of the month where it has no such day."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def end_of_next_month(today: date) -> date:
    """Return the last day of the month after a day's."""
    year, month = divmod(today.year * 12 + today.month, 12)
    return date(year, month + 1, calendar.monthrange(year, month + 1)[1])


def things_of(client: Client) -> list[Thing]:
    """Return everything of a client that has a day, the client first and then by day."""
    found = _things(Client.objects.filter(pk=client.pk), times_of(client.owner))
    return sorted(found, key=lambda thing: (thing.kind is not DatedKind.CLIENT, thing.day, thing.key))


def coming(owner: User, until: date) -> list[Thing]:
    """Return what of an owner's clients is due by a day, by day; with a client that is due goes everything else."""
    things = _things(Client.objects.filter(owner=owner), times_of(owner), until)
    found = [thing for thing in things if thing.day <= until]
    going = {thing.client: thing.day for thing in found if thing.kind is DatedKind.CLIENT}
    alone = [one for one in found if one.kind is DatedKind.CLIENT or one.day < going.get(one.client, date.max)]
    return sorted(alone, key=lambda thing: (thing.day, thing.name, thing.key))


def due(owner: User) -> list[Thing]:
    """Return what is due today and waits for a click: no photograph, which goes by itself."""
    return [thing for thing in coming(owner, timezone.localdate()) if not thing.by_itself]


def _things(clients: QuerySet[Client], times: KeepingTimes, until: date | None = None) -> list[Thing]:
    """Return the things of some clients. until: leaves out sittings and papers that are surely due later."""
    rows = list(clients.annotate(last=Max("sittings__started")).values_list("pk", "name", "created", "last", "note"))
    names = {pk: name for pk, name, *_ in rows}
    lasts = {pk: timezone.localdate(max(created, last or created)) for pk, _, created, last, _ in rows}
    noted = {pk for pk, _, _, _, note in rows if note} | set(_written(clients))
    found = [
        *_of_cards(DatedKind.CLIENT, _("the client, with everything"), lasts, times, until),
        *_of_cards(DatedKind.NOTES, _("notes and letters"), {pk: lasts[pk] for pk in noted}, times, until),
        *_sittings(clients, times, until),
        *_answers(clients, times, until),
        *_latest(ClientWish, DatedKind.WISHES, _("wishes"), clients),
        *_latest(WardrobePiece, DatedKind.WARDROBE, _("the wardrobe"), clients),
    ]
    return [*_dated(found, names, times, clients), *_pictures(clients, names)]


@dataclass(frozen=True, slots=True)
class _Found:
    """A thing, and the day on which it was last of use."""

    kind: DatedKind
    client: int
    number: int
    what: str
    on: date


def _of_cards(
    kind: DatedKind, what: str, lasts: Mapping[int, date], times: KeepingTimes, until: date | None
) -> Iterable[_Found]:
    """Return what each client has one of. lasts: when the client was last there. until: leaves out as `_early` does."""
    latest = date.max if until is None else timezone.localdate(_latest_due(kind, times, until))
    own = KeptUntil.objects.filter(kind=kind, day__lte=until or date.max).values_list("client_id", flat=True)
    sooner = set(own)
    return [_Found(kind, pk, 0, what, on) for pk, on in lasts.items() if on <= latest or pk in sooner]


def _written(clients: QuerySet[Client]) -> Iterable[int]:
    letters = StudioText.objects.filter(client__in=clients, erased=False)
    return letters.order_by().values_list("client_id", flat=True).distinct()


def _sittings(clients: QuerySet[Client], times: KeepingTimes, until: date | None) -> Iterable[_Found]:
    said, told = cache(_said), _("sitting of %(day)s")  # several share a day
    sittings = _early(Sitting.objects.filter(client__in=clients), "started", DatedKind.SITTING, times, until)
    for pk, client, started in sittings.values_list("pk", "client_id", "started"):
        what = told % {"day": said(day := timezone.localdate(started))}
        yield _Found(DatedKind.SITTING, client, pk, what, day)
    papers = _early(HandedPaper.objects.filter(sitting__client__in=clients), "at", DatedKind.PAPERS, times, until)
    for pk, client, at in papers.values_list("pk", "sitting__client_id", "at"):
        what = _("papers handed over on %(day)s") % {"day": said(day := timezone.localdate(at))}
        yield _Found(DatedKind.PAPERS, client, pk, what, day)


def _early(rows: QuerySet[M], moment: str, kind: DatedKind, times: KeepingTimes, until: date | None) -> QuerySet[M]:
    """Return the rows that may be due by a day: old enough by the shortest months there are, or with a day of its own.

    Years of sittings are in the database, and few of them are due.
    """
    if until is None:
        return rows
    own = KeptUntil.objects.filter(kind=kind, day__lte=until).values("number")
    return rows.filter(Q(**{f"{moment}__lte": _latest_due(kind, times, until)}) | Q(pk__in=own))


def _latest_due(kind: DatedKind, times: KeepingTimes, until: date) -> datetime:
    """Return a moment after which nothing was last of use that is due by a day, unless it has a day of its own."""
    ahead = until - timezone.localdate()
    return timezone.now() + ahead - _SHORTEST_MONTH * int(getattr(times, kind)) + _A_DAY


def _answers(clients: QuerySet[Client], times: KeepingTimes, until: date | None) -> Iterable[_Found]:
    """Return the answers about consents that count no more, those that ended on one day together."""
    rows = Consent.objects.filter(client__in=clients)
    if until is not None:  # what came after that moment replaced or ended nothing early enough
        own = KeptUntil.objects.filter(kind=DatedKind.CONSENTS, day__lte=until).values("client")
        rows = rows.filter(Q(at__lte=_latest_due(DatedKind.CONSENTS, times, until)) | Q(client__in=own))
    for client, day in dict.fromkeys((row.client_id, day) for row, day in consents.past(rows)):
        what = _("answers about consents that ended on %(day)s") % {"day": date_format(day, "DATE_FORMAT")}
        yield _Found(DatedKind.CONSENTS, client, day.toordinal(), what, day)


def _latest(
    model: type[ClientWish] | type[WardrobePiece], kind: DatedKind, what: str, clients: QuerySet[Client]
) -> Iterable[_Found]:
    for client, at in (
        model.objects.filter(client__in=clients).order_by().values_list("client_id").annotate(last=Max("at"))
    ):
        yield _Found(kind, client, 0, what, timezone.localdate(at))


def _dated(
    found: Sequence[_Found], names: Mapping[int, str], times: KeepingTimes, clients: QuerySet[Client]
) -> Iterable[Thing]:
    own = {(row.client_id, row.kind, row.number): row for row in KeptUntil.objects.filter(client__in=clients)}
    for one in found:
        row = own.get((one.client, str(one.kind), one.number))
        usual = later_by(one.on, getattr(times, one.kind))
        day, reason = (row.day, row.reason) if row else (usual, "")
        yield Thing(one.kind, one.client, names[one.client], one.number, one.what, day, reason)


def _pictures(clients: QuerySet[Client], names: Mapping[int, str]) -> Iterable[Thing]:
    shots = Photograph.objects.filter(client__in=clients).values_list("pk", "client_id", "deletes_on", "taken_at")
    things = ThingPhotograph.with_picture().filter(sitting__client__in=clients)
    brought = things.values_list("pk", "sitting__client_id", "deletes_on", "taken_at")
    for what, rows in ((_("photograph of %(day)s"), shots), (_("photograph of a thing of %(day)s"), brought)):
        for pk, client, day, at in rows:
            yield Thing(
                DatedKind.PICTURE, client, names[client], pk, what % {"day": _said(timezone.localdate(at))}, day
            )


def _said(day: date) -> str:
    return str(date_format(day, "DATE_FORMAT"))


# -- a day of its own --------------------------------------------------------------------------------------------------


def keep_until(thing: Thing, day: date, reason: str, by: User) -> None:
    """Give a thing a day of its own."""
    said = {"day": day, "reason": reason, "by": by, "at": timezone.now()}
    KeptUntil.objects.update_or_create(client_id=thing.client, kind=thing.kind, number=thing.number, defaults=said)


def keep_as_usual(thing: Thing) -> None:
    """Take a thing's own day away: the studio's months count again."""
    KeptUntil.objects.filter(client_id=thing.client, kind=thing.kind, number=thing.number).delete()


def check_keeping_rows(rows: Iterable[KeptUntil]) -> None:
    """Raise `TenterError` for a row that speaks of no kind of ours."""
    known = {str(kind) for kind in DatedKind}
    for row in rows:
        if row.kind not in known:
            said = {"kind": as_typed(row.kind), "advice": what_would_do(row.kind, sorted(known))}
            raise TenterError(_("it names the kind %(kind)s; %(advice)s") % said)
