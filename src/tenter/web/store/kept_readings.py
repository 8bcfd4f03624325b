"""Readings of a kit's cloths between rows and objects: what counts of them, and the kit as it is on a day.

A kit that came in stays as it is. A sitting begins on the kit as its readings have it that day, which is a kit of its
own from then on, so that the sitting is read with the same colours for good.
"""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from tenter.consultation.fading.cloth_uses import SittingUse
from tenter.consultation.readings.book import ReadingBook, reading_document, reading_from, with_readings
from tenter.consultation.readings.cloth_reading import ClothReading
from tenter.consultation.readings.kit_on_day import KitOnDay, kit_file_on_day, kit_on_day
from tenter.consultation.readings.wash_log import Wash
from tenter.errors import TenterError
from tenter.web.models import KeptReading, KeptWash, KitRecord
from tenter.web.rules import access
from tenter.web.store import store
from tenter.web.store.held_cloths import cloths_held

R = TypeVar("R", KeptReading, KeptWash)


def origin_of(record: KitRecord) -> KitRecord:
    """Return the kit that came in, of one that was made of its readings."""
    return record.origin or record


def kept_reading(row: KeptReading) -> ClothReading:
    """Return what a row means; raises `TenterError` where it means nothing."""
    found = reading_from(row.document)
    if (found.cloth, found.day) != (row.cloth, row.day.isoformat()):
        raise TenterError(_("a reading of %(cloth)s says another cloth or day") % {"cloth": row.cloth})
    return found


def wash_of(row: KeptWash) -> Wash:
    """Return what a row means; raises `TenterError` where it means nothing."""
    return Wash(row.cloth, row.day.isoformat(), row.kind, row.note)


def book_of(record: KitRecord, cloth: str = "") -> ReadingBook:
    """Return the readings of a kit that count, and its washes, or those of one cloth."""
    readings, washes = origin_of(record).readings.filter(set_aside=None), origin_of(record).washes.all()
    if cloth:
        readings, washes = readings.filter(cloth=cloth), washes.filter(cloth=cloth)
    return ReadingBook(tuple(map(kept_reading, readings)), tuple(map(wash_of, washes)))


def keep_readings(record: KitRecord, by: User, readings: Sequence[ClothReading], key: str) -> None:
    """Add readings to a kit that came in, all of them or none; the same key twice is one time."""
    with transaction.atomic():
        if _is_new(record, record.readings.all(), key):
            KeptReading.objects.bulk_create(
                KeptReading(
                    kit=record,
                    cloth=one.cloth,
                    day=date.fromisoformat(one.day),
                    document=reading_document(one),
                    by=by,
                    key=f"{key}-{number}",
                )
                for number, one in enumerate(readings, start=1)
            )


def begin_book(record: KitRecord, by: User, base: KitRecord | None, own: Sequence[ClothReading]) -> None:
    """Give a new kit the washes and what counts of the readings of the kit that it was made from, and then its own."""
    with transaction.atomic():
        if base is not None:
            kept, washes = base.readings.filter(set_aside=None).order_by("pk"), base.washes.order_by("pk")
            KeptReading.objects.bulk_create(_of_another_kit(row, record) for row in kept)
            KeptWash.objects.bulk_create(_of_another_kit(row, record) for row in washes)
        keep_readings(record, by, own, f"begun-{record.pk}")


def _of_another_kit(row: R, record: KitRecord) -> R:
    row.pk, row.kit = None, record
    return row


def not_yet_kept(record: KitRecord, readings: Iterable[ClothReading]) -> tuple[ClothReading, ...]:
    """Return those of a file's readings that the kit does not have yet, whether or not they count there."""
    return with_readings(ReadingBook(tuple(map(kept_reading, record.readings.all()))), readings).added


def keep_wash(record: KitRecord, by: User, wash: Wash, key: str) -> None:
    """Note that a cloth of a kit that came in was cleaned; the same key twice is one time."""
    with transaction.atomic():
        if _is_new(record, record.washes.all(), key):
            KeptWash.objects.create(
                kit=record,
                cloth=wash.cloth,
                day=date.fromisoformat(wash.day),
                kind=wash.kind,
                note=wash.note,
                by=by,
                key=f"{key}-1",
            )


def _is_new(record: KitRecord, rows: QuerySet[Any], key: str) -> bool:
    """Whether nothing was added under a key; nobody else adds to the kit until the end of the transaction."""
    KitRecord.objects.select_for_update().get(pk=record.pk)
    return not rows.filter(key=f"{key}-1").exists()


# -- the kit as it is --------------------------------------------------------------------------------------------------


def kit_today(record: KitRecord) -> KitOnDay:
    """Return a kit that came in with the colours of its latest readings; one made of readings as it was."""
    kit, today = store.kit_of(record), timezone.localdate().isoformat()
    return KitOnDay(kit, today, {}) if record.origin_id else kit_on_day(kit, book_of(record).readings, today)


def kit_to_sit_with(record: KitRecord) -> KitRecord:
    """Return the kit that a sitting begins on: the one that came in, or what its readings make of it today."""
    found = kit_today(record)
    if not found.taken:
        return record
    text = kit_file_on_day(record.csv, found)
    made = next((one for one in record.versions.all() if one.csv == text), None)
    return made or KitRecord.objects.create(owner=record.owner, name=record.name, csv=text, origin=record)


def uses_of(user: User, record: KitRecord, since: date) -> tuple[SittingUse, ...]:
    """Return the sittings on a kit since a day that a user may see, with the cloths held in each.

    Of sittings before the first reading nobody asks.
    """
    origin = origin_of(record)
    begin = timezone.make_aware(datetime.combine(since, time.min))  # no day of each of thousands is worked out
    seen = access.sittings(user).filter(Q(kit=origin) | Q(kit__origin=origin), started__gte=begin)
    held = cloths_held(seen)
    rows = seen.values_list("pk", "client__name", "started")
    return tuple(
        SittingUse(client, timezone.localdate(started).isoformat(), held[pk])
        for pk, client, started in rows
        if held.get(pk)
    )


def check_reading_rows(rows: Iterable[KeptReading]) -> None:
    """Raise `TenterError` where a row is no reading."""
    for row in rows:
        kept_reading(row)


def check_wash_rows(rows: Iterable[KeptWash]) -> None:
    """Raise `TenterError` where a row is no wash."""
    for row in rows:
        wash_of(row)
