"""The address of the client's own screen: it ends with the sitting, and a new one puts an end to the one before.

After the sitting the client may look at what was told back for a while, and again with a new link; the time at which
that was made is signed into it.
"""

from datetime import timedelta

from django.core import signing
from django.utils import timezone

from tenter.web.models import Sitting
from tenter.web.models.sittings import new_token

STAYS = timedelta(hours=1)  # after the end of the sitting, and after a new link was made then
_signer = signing.Signer(salt="tenter.client-screen")


def token_in(link: str) -> str:
    """Return the sitting's token in a link; what was signed is looked at by `has_ended`."""
    return link.partition(":")[0]


def has_ended(row: Sitting, link: str) -> bool:
    """Whether a link leads nowhere any more."""
    if row.closed is None:
        return False
    return timezone.now() > row.closed + STAYS and not _is_fresh(link)


def make_new(row: Sitting) -> str:
    """Put an end to the links before, and return a new one."""
    row.token = new_token()
    row.save(update_fields=("token",))
    return link_of(row)


def link_of(row: Sitting) -> str:
    """Return the link to show: once the sitting has ended, one that says when it was made."""
    return row.token if row.closed is None else _signer.sign(f"{row.token}:{int(timezone.now().timestamp())}")


def _is_fresh(link: str) -> bool:
    try:
        made = int(_signer.unsign(link).partition(":")[2])
    except (signing.BadSignature, ValueError):
        return False
    return timezone.now().timestamp() <= made + STAYS.total_seconds()
