"""Whose face is on the bench, where one consultant has two or more sittings open today: a mother and a daughter."""

from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import time_format
from django.utils.translation import gettext as _

from tenter.web.models import Sitting


@dataclass(frozen=True, slots=True)
class Faces:
    """`here`: who is on the bench. `other`: the sitting that one key goes to, and `there`: whose it is."""

    here: str
    other: int
    there: str


def faces(row: Sitting) -> Faces | None:
    """Return whose face it is and whose comes next, in turn; None where nobody else sits with this consultant today."""
    today = timezone.localdate()
    rows = Sitting.objects.filter(analyst=row.analyst_id, ended=None, started__date=today).select_related("client")
    others = sorted((one for one in rows if one.pk != row.pk and not one.closed), key=lambda one: one.pk)
    if not others:
        return None
    after = next((one for one in others if one.pk > row.pk), others[0])
    return Faces(_called(row, after), after.pk, _called(after, row))


def _called(row: Sitting, beside: Sitting) -> str:
    """Return a client's name, with the time where both have one name."""
    same = row.client.name == beside.client.name
    if not same:
        return row.client.name
    since = time_format(timezone.localtime(row.started), "TIME_FORMAT")
    return _("%(client)s, since %(time)s") % {"client": row.client.name, "time": since}
