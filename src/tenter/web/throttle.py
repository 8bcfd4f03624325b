"""After five wrong tries for one name, nobody logs in by that name for a minute.

A try is written down before the password is looked at, so that many at once count too, and struck off when it was
right.
"""

from datetime import timedelta

from django.utils import timezone

from tenter.web.models import LoginAttempt

MOST_TRIES = 5
WAIT = timedelta(minutes=1)


def seconds_to_wait(name: str) -> int:
    """Count a try for a name; return 0 where it may go on, else how many seconds to wait (it is not counted then)."""
    now = timezone.now()
    # A try dated in the future was made by a clock that was wrong; it locks nobody out.
    LoginAttempt.objects.exclude(at__gt=now - WAIT, at__lte=now).delete()
    tries = LoginAttempt.objects.filter(name=_folded(name)).order_by("at")
    latest = tries.last()
    if latest is not None and tries.count() >= MOST_TRIES:
        return max(1, round((latest.at + WAIT - now).total_seconds()))
    LoginAttempt.objects.create(name=_folded(name), at=now)
    return 0


def forget(name: str) -> None:
    """Strike off the tries for a name, after the right password."""
    LoginAttempt.objects.filter(name=_folded(name)).delete()


def _folded(name: str) -> str:
    return name.strip().casefold()[:150]
