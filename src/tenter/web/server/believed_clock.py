"""Whether the machine's clock can be believed, before anything is deleted by its date.

A flat battery or a slip of the finger puts a clock years ahead, and every photograph would be past its day. So the
time of the last look is kept; a clock that has jumped since deletes nothing until the owner says that its date is
right. Where there was no look yet, as on a machine that a backup was put back on, the log's last line stands for it.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tenter import durable
from tenter.web.models import AuditEntry
from tenter.web.server.data_dir import data_dir

FURTHEST = timedelta(days=60)  # nobody looked for so long: longer than a holiday
_BACKWARDS = timedelta(hours=1)  # a clock is set right by a little, now and then
_FILE = "clock"


@dataclass(frozen=True, slots=True)
class ClockDoubt:
    """A clock that says another time than it could."""

    last: datetime  # when it was last believed
    now: datetime  # what it says

    def __str__(self) -> str:
        said = _(
            "this computer's clock says %(today)s, but Tenter last ran on %(day)s. No photograph is deleted, and none "
            "whose day has passed can be opened, until the date is known to be right"
        )
        return said % {"today": _day(self.now), "day": _day(self.last)}


def _day(at: datetime) -> str:
    return str(date_format(timezone.localtime(at), "DATE_FORMAT"))


def doubt() -> ClockDoubt | None:
    """Return what is wrong with the clock, or None where it may be believed."""
    now, last = timezone.now(), _last()
    if last is None or -_BACKWARDS <= now - last <= FURTHEST:
        return None
    return ClockDoubt(last, now)


def believe() -> None:
    """Keep what the clock says now as a time that was right."""
    durable.write(_file(), timezone.now().isoformat().encode("ascii"), durable.PRIVATE)


def _last() -> datetime | None:
    try:
        said = datetime.fromisoformat(_file().read_text(encoding="ascii"))
        return said if timezone.is_aware(said) else _logged()
    except (OSError, ValueError):  # no look yet, or a file that was torn
        return _logged()


def _logged() -> datetime | None:
    line = AuditEntry.objects.order_by("at").last()
    return line.at if line else None


def _file() -> Path:
    return data_dir() / _FILE
