"""A studio's measured rooms between rows and objects."""

from collections.abc import Iterable, Mapping

from django.contrib.auth.models import User

from tenter.consultation.cloths.reflection_factors import ReflectionFactor
from tenter.consultation.reflected.room import factors_of_room
from tenter.web.models import KeptRoom


def keep_room(owner: User, by: User, factors: Mapping[str, ReflectionFactor], key: str) -> KeptRoom:
    """Keep the factors of a room; the same key twice is one room."""
    regions = {
        name: {"factor": one.value, "factor_range": [one.low, one.high], "sheen": one.sheen}
        for name, one in factors.items()
    }
    kept = {"document": {"regions": regions}, "by": by}
    return KeptRoom.objects.get_or_create(owner=owner, key=key, defaults=kept)[0]


def factors_in(row: KeptRoom) -> dict[str, ReflectionFactor]:
    """Return the factors of a row; raises `UnreadableInput` where it holds none."""
    return factors_of_room(row.document, f"room {row.pk}")


def check_room_rows(rows: Iterable[KeptRoom]) -> None:
    """Raise `UnreadableInput` where a row holds no room."""
    for row in rows:
        factors_in(row)
