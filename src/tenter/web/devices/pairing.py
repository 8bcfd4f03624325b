"""A device is connected by a code that a guess never meets, and knows itself afterwards by a secret of its own.

Of both only a hash is kept (SHA-256; a secret of 256 random bits needs no slow one: RFC 4086 and NIST SP 800-63B, 5.1.2
and 5.1.4, which ask for 112 bits). A code is good for ten minutes and one device; it is deleted by being used, so that
of two who use it at once one alone is let in. Wrong codes are counted as wrong passwords are, by the address that they
come from.
"""

import hashlib
import secrets
from datetime import timedelta

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from tenter.errors import TenterError
from tenter.web.models import PairedDevice, PairingCode
from tenter.web.rules import access, audit
from tenter.web.rules.audit import Action
from tenter.web.server import throttle

CODE_LASTS = timedelta(minutes=10)  # as the studio promises; set by judgement
UNUSED_ENDS = timedelta(days=30)  # a device that was not used for so long is connected anew; set by judgement
_SECRET_BYTES = 32
_NOTED_EVERY = timedelta(minutes=1)  # that a device was used
_UNNAMED = gettext_noop("device")


class CodeRefused(TenterError):
    """The code is wrong, used or late: which of them is not said, for a guesser would learn from it."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "this code does not serve. It is good for ten minutes and one device; show a new one on the studio’s "
                "computer and scan that"
            )
        )


class TooManyCodes(TenterError):
    """Too many wrong codes came from an address."""

    def __init__(self, seconds: int) -> None:
        told = _("too many wrong codes came from this device. Wait %(seconds)s seconds, then scan a new one")
        super().__init__(told % {"seconds": seconds})


def new_code(owner: User, user: User, right: str) -> str:
    """Return a new code for a device that works for a user of an owner's studio; a code before it serves no more."""
    code = secrets.token_urlsafe(_SECRET_BYTES)
    with transaction.atomic():
        PairingCode.objects.filter(owner=owner).delete()
        PairingCode.objects.create(owner=owner, user=user, right=right, hashed=_hashed(code))
        audit.note(owner, Action.DEVICE_CODE_MADE)
    return code


def drop_codes(owner: User) -> None:
    """Let no code of an owner's serve any more."""
    PairingCode.objects.filter(owner=owner).delete()


def known_code(code: str, address: str) -> PairingCode:
    """Return the row of a code that serves; raises `CodeRefused` or `TooManyCodes`.

    address: that it came from. A wrong code counts as a try.
    """
    wait = throttle.seconds_to_wait(f"code from {address}", address)
    if wait:
        raise TooManyCodes(wait)
    found = _good().filter(hashed=_hashed(code)).first()
    if found is None:
        audit.note(None, Action.DEVICE_REFUSED, "wrong, used or late code")
        raise CodeRefused
    throttle.forget_tries(f"code from {address}", address)
    return found


def connect(code: str, name: str, address: str) -> tuple[PairedDevice, str]:
    """Return a device that a code connects, and the secret that it is to show from now on; raises as `known_code`.

    Raises `CodeRefused` too where another device was quicker.
    """
    row = known_code(code, address)
    secret = secrets.token_urlsafe(_SECRET_BYTES)
    with transaction.atomic():
        if not PairingCode.objects.filter(pk=row.pk).delete()[0]:  # another was quicker
            raise CodeRefused
        device = PairedDevice.objects.create(
            owner=row.owner, user=row.user, right=row.right, name=name.strip() or _(_UNNAMED), hashed=_hashed(secret)
        )
        audit.note(row.owner, Action.DEVICE_CONNECTED, device)
    return device, secret


def device_of_secret(secret: str) -> PairedDevice | None:
    """Return the connected device that shows a secret; None for everybody else. Notes that it was used."""
    now = timezone.now()
    found = _connected().filter(hashed=_hashed(secret)).select_related("user", "owner").first() if secret else None
    if found is None or not _works_still(found):
        return None
    if now - found.seen >= _NOTED_EVERY:
        PairedDevice.objects.filter(pk=found.pk).update(seen=now)
    return found


def devices_of(owner: User) -> QuerySet[PairedDevice]:
    """Return the devices that are connected to an owner's studio, the latest first."""
    return _connected().filter(owner=owner).select_related("user")


async def is_connected(pk: int) -> bool:
    """Whether a device is connected still."""
    return await _connected().filter(pk=pk).aexists()


def disconnect(device: PairedDevice, by: User) -> None:
    """Let a device do nothing any more, from its next request on and in what is being sent to it."""
    with transaction.atomic():
        audit.note(by, Action.DEVICE_DISCONNECTED, device)
        device.delete()


def _works_still(device: PairedDevice) -> bool:
    """Whether its user may still log in, and in the studio that it was connected to."""
    return device.user.is_active and access.studio_owner(device.user).pk == device.owner_id


def _good() -> QuerySet[PairingCode]:
    now = timezone.now()
    return PairingCode.objects.filter(at__gt=now - CODE_LASTS, at__lte=now).select_related("owner", "user")


def _connected() -> QuerySet[PairedDevice]:
    return PairedDevice.objects.filter(seen__gt=timezone.now() - UNUSED_ENDS)


def _hashed(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
