"""After five wrong tries for one name, or twenty from one address, nobody logs in by it for a minute.

A try is written down before the password is looked at, so that many at once count too, and struck off when it was
right. Whoever logs in waits for their turn, so that right passwords at once are not taken for wrong ones.
"""

import ipaddress
import unicodedata
from datetime import datetime, timedelta
from threading import BoundedSemaphore

from django.db.models import QuerySet
from django.utils import timezone

from tenter.web.models import LoginAttempt
from tenter.web.server.hashing import AT_ONCE

MOST_TRIES, MOST_FROM_ADDRESS = 5, 20  # wrong passwords within the wait; set by judgement
WAIT = timedelta(minutes=1)
_NETWORK_BITS = {4: 32, 6: 64}  # of an address, what its holder cannot choose anew: RFC 6177
_LONGEST = 150
turns = BoundedSemaphore(AT_ONCE)  # held from when a try is counted until its password has been looked at


def seconds_to_wait(name: str, address: str) -> int:
    """Count a try for a name from an address; return 0 where it may go on, else how many seconds to wait.

    A try that may not go on is not counted.
    """
    now = timezone.now()
    # A try dated in the future was made by a clock that was wrong; it locks nobody out.
    LoginAttempt.objects.exclude(at__gt=now - WAIT, at__lte=now).delete()
    waits = [
        _seconds(LoginAttempt.objects.filter(name=key), most, now)
        for key, most in ((_folded(name), MOST_TRIES), (_network(address), MOST_FROM_ADDRESS))
    ]
    if not any(waits):
        LoginAttempt.objects.bulk_create(LoginAttempt(name=key, at=now) for key in (_folded(name), _network(address)))
    return max(waits)


def forget_tries(name: str, address: str) -> None:
    """Strike off the tries for a name, after the right password, and this one of the address."""
    LoginAttempt.objects.filter(name=_folded(name)).delete()
    latest = LoginAttempt.objects.filter(name=_network(address)).order_by("at", "pk").last()
    if latest is not None:
        latest.delete()


def _seconds(tries: QuerySet[LoginAttempt], most: int, now: datetime) -> int:
    latest = tries.order_by("at").last()
    if latest is None or tries.count() < most:
        return 0
    return max(1, round((latest.at + WAIT - now).total_seconds()))


def _folded(name: str) -> str:
    """Return a name as the form for logging in reads it, whichever of its spellings came; it begins with no tab."""
    return unicodedata.normalize("NFKC", name).strip().casefold()[:_LONGEST]


def _network(address: str) -> str:
    """Return the key of an address, or of the network that one person has all addresses of; it begins with a tab."""
    try:
        found = ipaddress.ip_address(address)
    except ValueError:  # no address, as through a socket in the file system
        return "\t"
    return f"\t{ipaddress.ip_network((found, _NETWORK_BITS[found.version]), strict=False)}"
