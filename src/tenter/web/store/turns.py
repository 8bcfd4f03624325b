"""What changes about a sitting without an event of it: the cloths that are held by own choice, and its end.

Each change moves the sitting's `turn` on, by which the pages that show it learn of it.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING, TypedDict

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Count, F, QuerySet
from django.utils import timezone
from django.utils.formats import time_format
from django.utils.translation import gettext as _

from tenter.errors import TenterError
from tenter.web.models import Sitting
from tenter.web.rules import audit, photo_promise
from tenter.web.rules.audit import Action

if TYPE_CHECKING:
    from django_stubs_ext import WithAnnotations

_NEXT = F("turn") + 1


class _Counted(TypedDict):
    """What `counting_query` adds to a sitting: its events and its turns together."""

    happened: int


class Closed(TenterError):
    """The sitting has ended, and takes no entry until it is opened again."""

    def __init__(self, since: datetime) -> None:
        told = _("nothing was saved, because the sitting ended at %(time)s; open it again to continue")
        super().__init__(told % {"time": time_format(timezone.localtime(since), "TIME_FORMAT")})


class StaysClosed(TenterError):
    """One of two readings apart is not gone on with once its odds were seen, or the two were compared."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "this reading can no longer be changed, because the client was read twice, independently, and its "
                "odds were seen or the two readings were compared. To hold more cloths, start another sitting"
            )
        )


def hold_sides(row: Sitting, sides: Iterable[str]) -> None:
    """Keep which sides the analyst holds by their own choice, none for the plan's pair. It is no evidence."""
    held = " ".join(sides)
    going_on = Sitting.objects.filter(pk=row.pk, ended=None)
    if held != row.held and going_on.update(held=held, turn=_NEXT):
        row.refresh_from_db(fields=("held", "turn"))


def end(row: Sitting, user: User) -> None:
    """End a sitting; once ended it stays so, and no second line in the log says it."""
    now = timezone.now()
    if Sitting.objects.filter(pk=row.pk, ended=None).update(ended=now, held="", turn=_NEXT):
        audit.note(user, Action.SITTING_ENDED, row)
        row.refresh_from_db(fields=("ended",))
        photo_promise.keep_to(row, user)


def open_again(row: Sitting, user: User) -> None:
    """Let an ended sitting go on; raises `StaysClosed` for one of two readings apart that are no longer apart."""
    if row.stays_closed:
        raise StaysClosed
    ended = Sitting.objects.filter(pk=row.pk, compared_at=None).exclude(ended=None)
    if row.read_apart:
        ended = ended.filter(revealed_at=None)  # they may have been seen this very moment
    if ended.update(ended=None, turn=_NEXT):
        audit.note(user, Action.SITTING_OPENED_AGAIN, row)
        row.refresh_from_db(fields=("ended",))
        photo_promise.keep_to(row, user)


def lay_side_by_side(second: Sitting, user: User) -> None:
    """Lay two readings apart that have both ended side by side: from then on both stay as they are."""
    with transaction.atomic():
        of = [pk for pk in (second.pk, second.blind_to_id) if pk is not None]
        both = Sitting.objects.select_for_update(of=("self",)).filter(pk__in=of)
        if all(row.closed or row.revealed_at for row in both):
            apart = [row.pk for row in both if row.compared_at is None]
            Sitting.objects.filter(pk__in=apart).update(compared_at=timezone.now(), turn=_NEXT)
            audit.note(user, Action.READINGS_COMPARED, second)


def counting_query(pk: int) -> "QuerySet[WithAnnotations[Sitting, _Counted]]":
    """Return a query for one sitting with what has happened in it: its events, and its turns. It only ever grows."""
    return Sitting.objects.filter(pk=pk).annotate(happened=Count("events") + F("turn"))
