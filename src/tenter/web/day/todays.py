"""Who is there today, in the order of the clock: appointments, and sittings that began without one."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.models import User
from django.db.models import Count, QuerySet
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tenter.web.models import Appointment, Client, Sitting
from tenter.web.rules import access


@dataclass(frozen=True, slots=True)
class Guest:
    """One line of the day. when: the appointment, or the start of a sitting without one; sitting: today's, if any."""

    when: datetime
    client: Client
    what_for: str
    appointment: Appointment | None
    sitting: Sitting | None

    @property
    def standing(self) -> str:
        """Where the client stands, in words."""
        if self.sitting is None:
            return _("expected") if self.when > timezone.now() else _("not begun")
        if self.sitting.ended:
            at = date_format(timezone.localtime(self.sitting.ended), "TIME_FORMAT")
            return _("ended at %(time)s") % {"time": at}
        if self.sitting.revealed_at:
            return _("verdict shown")
        held = int(getattr(self.sitting, "held_so_far", 0))
        on_bench = ngettext("on the bench, %(count)s entry", "on the bench, %(count)s entries", held) % {"count": held}
        return on_bench if held else _("arriving")

    @property
    def running(self) -> bool:
        """Whether a sitting goes on with them."""
        return self.sitting is not None and not self.sitting.closed


def guests(user: User) -> list[Guest]:
    """Return today's lines: every appointment, then what began without one, all by the clock.

    Of a client's appointments a sitting belongs to the last one that had begun, or else to the first.
    """
    booked = list(access.appointments(user).filter(begins__date=timezone.localdate()))
    sat = list(_today(access.sittings(user)))
    lines: list[Guest] = []
    for sitting in sat:
        own = [one for one in booked if one.client_id == sitting.client_id]
        found = next((one for one in reversed(own) if one.begins <= sitting.started), own[0] if own else None)
        if found:
            booked.remove(found)
        lines.append(_line(found, sitting))
    return sorted([*lines, *(_line(one, None) for one in booked)], key=lambda line: (line.when, line.client.name))


def left_open(user: User) -> list[Sitting]:
    """Return a user's own sittings of earlier days that nobody ended."""
    return [row for row in open_sittings(user) if timezone.localdate(row.started) < timezone.localdate()]


def open_sittings(user: User) -> Iterable[Sitting]:
    """Return a user's own sittings that go on, the latest first."""
    rows = Sitting.objects.filter(analyst=user, ended__isnull=True).select_related("client")
    return [row for row in rows if not row.closed]


def _today(sittings: QuerySet[Sitting]) -> Iterable[Sitting]:
    day = timezone.localdate()
    rows = sittings.filter(started__date=day).annotate(held_so_far=Count("events"))
    return rows.order_by("started", "pk")


def _line(booked: Appointment | None, sitting: Sitting | None) -> Guest:
    if booked:
        return Guest(booked.begins, booked.client, booked.what_for, booked, sitting)
    assert sitting is not None
    return Guest(sitting.started, sitting.client, "", None, sitting)
