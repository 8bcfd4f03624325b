"""A studio's measured rooms between rows and objects."""

from collections.abc import Iterable, Mapping

from django.contrib.auth.models import User
from django.utils.translation import gettext as _

from tenter.consultation.cloths.reflection_factors import ReflectionFactor
from tenter.consultation.reflected.room import factors_of_room, measured_shares
from tenter.web.models import KeptRoom


def keep_room(owner: User, by: User, document: Mapping[str, object], key: str) -> KeptRoom:
    """Keep a room as `MeasuredRoom.to_json` or `room_document` writes it; the same key twice is one room."""
    return KeptRoom.objects.get_or_create(owner=owner, key=key, defaults={"document": document, "by": by})[0]


def room_document(factors: Mapping[str, ReflectionFactor]) -> dict[str, object]:
    """Return the factors of a room as they are kept, without what was measured."""
    regions = {
        name: {"factor": one.value, "factor_range": [one.low, one.high], "sheen": one.sheen}
        for name, one in factors.items()
    }
    return {"regions": regions}


def factors_in(row: KeptRoom) -> dict[str, ReflectionFactor]:
    """Return the factors of a row; raises `UnreadableInput` where it holds none."""
    return factors_of_room(row.document, _called(row))


def check_room_rows(rows: Iterable[KeptRoom]) -> None:
    """Raise `UnreadableInput` where a row holds no room."""
    for row in rows:
        factors_in(row)
        measured_shares(row.document, _called(row))


def _called(row: KeptRoom) -> str:
    return _("room %(number)s") % {"number": row.pk}
