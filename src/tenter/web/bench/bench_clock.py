"""What the bench says of time: the minutes a sitting has taken, and those left until it has to be over."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.translation import gettext as _

from tenter.consultation.client.visits import LONGEST_MINUTES, over_by
from tenter.web.models import Appointment, Sitting


@dataclass(frozen=True, slots=True)
class BenchClock:
    """Whole minutes: `used` since the sitting began; `left`, below 0 once its time is over."""

    used: int
    left: int

    @property
    def words(self) -> str:
        """The clock as the bench says it."""
        return _before_its_end(self.used, self.left) if self.left >= 0 else _after_its_end(self.used, -self.left)

    @property
    def said_left(self) -> str:
        """The same for `bench.js`, which says it on by the minute: its numbers are names in braces."""
        return _before_its_end("{used}", "{left}")

    @property
    def said_over(self) -> str:
        """The same once its time is over."""
        return _after_its_end("{used}", "{over}")


def _before_its_end(used: object, left: object) -> str:
    return _("%(used)s min used, %(left)s left") % {"used": used, "left": left}


def _after_its_end(used: object, over: object) -> str:
    return _("%(used)s min used, %(over)s over") % {"used": used, "over": over}


def bench_clock(row: Sitting, now: datetime) -> BenchClock | None:
    """Return the clock of a sitting; None once it has ended, or where it goes on from another day."""
    used = now - row.started
    if row.closed or used > timedelta(minutes=LONGEST_MINUTES):
        return None
    left = over_by(row.started, _booked_until(row), _next_begins(row, now)) - now
    return BenchClock(_minutes(used), _minutes(left))


def _minutes(span: timedelta) -> int:
    return round(span.total_seconds() / 60)


def _booked_until(row: Sitting) -> datetime | None:
    """Return the end of the client's own appointment on the day of the sitting."""
    own = Appointment.objects.filter(client=row.client_id, begins__date=timezone.localdate(row.started)).last()
    return own.ends if own else None


def _next_begins(row: Sitting, now: datetime) -> datetime | None:
    """Return when the next client of the same consultant comes today, who is not one of those that sit now."""
    sitting = Sitting.objects.filter(analyst=row.analyst_id, ended=None, started__date=timezone.localdate(now))
    coming = Appointment.objects.filter(by=row.analyst_id, begins__gt=now, begins__date=timezone.localdate(now))
    found = coming.exclude(client__in=sitting.values("client")).exclude(client=row.client_id).first()
    return found.begins if found else None
