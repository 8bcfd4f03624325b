"""Photographs deleted: on the date promised, at once by a button, and nothing of them left behind."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from tenter.numerals import how_many
from tenter.report.handing_over.just_drawn import forget_just_drawn
from tenter.web.models import Measured, PhonePhotograph, Picture
from tenter.web.models.kinds import picture_kinds
from tenter.web.pictures import pictures
from tenter.web.rules import audit, erased_marks
from tenter.web.rules.audit import Action
from tenter.web.server import believed_clock, clean_disk
from tenter.web.server.believed_clock import ClockDoubt
from tenter.web.sweeping import kept_memory


@dataclass(frozen=True, slots=True)
class Swept:
    """How many photographs were due and are gone, how many files belonged to none, or why nothing was deleted."""

    photographs: int = 0
    strays: int = 0
    doubt: ClockDoubt | None = None

    def __str__(self) -> str:
        if self.doubt is not None:
            return f"Nothing deleted: {self.doubt}"
        photographs, strays = how_many(self.photographs, "photograph"), how_many(self.strays, "file")
        return f"{photographs} deleted by date, {strays} that belonged to none removed"


def sweep() -> Swept:
    """Delete every photograph whose day has come, and the files that belong to no row; nothing by a doubtful clock."""
    doubt = believed_clock.doubt()
    if doubt is not None:
        return Swept(doubt=doubt)
    believed_clock.believe()
    due = due_photographs()
    erase_pictures(due, None, Action.PHOTOGRAPH_DUE)
    known = {name for kind in picture_kinds() for name in kind._default_manager.values_list("name", flat=True)}
    return Swept(len(due), pictures.forget_strays(known | _of_phones_that_wait()))


def due_photographs() -> list[Picture]:
    """Return the photographs whose day of deletion has come, by the machine's clock."""
    today = timezone.localdate()
    return [row for kind in picture_kinds() for row in kind._default_manager.filter(deletes_on__lte=today)]


def days_of_deletion(owner: User) -> list[date]:
    """Return the days on which the photographs of an owner's clients and cloths are deleted, one for each."""
    mine = (kind.with_picture().filter(kind.belongs_to(owner)) for kind in picture_kinds())
    return [day for found in mine for day in found.values_list("deletes_on", flat=True)]


def sweep_by_this_date(user: User | None) -> Swept:
    """Believe the clock, because the owner says that its date is right, and delete what is due by it."""
    believed_clock.believe()
    audit.note(user, Action.DATE_CONFIRMED)
    return sweep()


def _of_phones_that_wait() -> set[str]:
    """Return the names of the photographs that a phone is still to be learned from; they go when it is."""
    waiting = PhonePhotograph.objects.filter(of__state__in=(Measured.State.QUEUED, Measured.State.MEASURING))
    return set(waiting.values_list("name", flat=True))


def erase_pictures(rows: Iterable[Picture], user: User | None, action: Action = Action.PHOTOGRAPH_ERASED) -> int:
    """Delete photographs, rows and files, each with a line in the log that names its number alone; return how many."""
    count = 0
    for row in rows:
        pictures.remove_picture(row.name)  # first: a file without its row would be found by the next sweep only
        with transaction.atomic():
            audit.note(user, action, row)
            if row.shown_client is not None:  # one of the studio's cloths may come back with a backup
                erased_marks.mark(row)
            row.delete()
        count += 1
    if count:
        forget_just_drawn()
        kept_memory.tell_others()
        clean_disk.cut_log()
    return count
