"""How long a client's photograph is kept: until a day, or so many days after the end of its sitting.

The row's `deletes_on` is always the day on which it goes at the latest, so that sweeping needs to know nothing else.
"""

from datetime import date, datetime, timedelta
from typing import Any

from django.utils import timezone

from tenter.web import audit
from tenter.web.audit import Action
from tenter.web.models import Photograph, Sitting

LONGEST_KEPT_DAYS = 365


def day_after_end(taken_on: date, ended: datetime | None, days: int) -> date:
    """Return the day so many days after a sitting's end; before that and at the longest a year after it came in."""
    latest = taken_on + timedelta(days=LONGEST_KEPT_DAYS)
    return latest if ended is None else min(latest, timezone.localdate(ended) + timedelta(days=days))


def keep_to(sitting: Sitting, user: Any) -> None:
    """Give the photographs whose time is counted from a sitting's end the day that follows from it, or take it back."""
    for row in Photograph.objects.filter(sitting=sitting, days_after_end__isnull=False):
        day = day_after_end(timezone.localdate(row.taken_at), sitting.ended, row.days_after_end)
        if day != row.deletes_on:
            Photograph.objects.filter(pk=row.pk).update(deletes_on=day)
            audit.note(user, Action.PHOTOGRAPH_DATED, row)
