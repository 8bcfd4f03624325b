"""Kits that are being put together: each cloth is kept as it is typed, until the kit is made of them.

A kit never changes. One whose cloths are to have other names is started anew from it, and keeps its readings.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence

from django.contrib.auth.models import User
from django.db import transaction
from django.utils.translation import gettext as _

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.cloths.kit_rows import kit_rows, kit_text
from tenter.errors import TenterError
from tenter.web.models import KitRecord, StartedKit
from tenter.web.rules import access
from tenter.web.store import kept_readings, store

Cells = dict[str, str]


def begin_kit(user: User, name: str, light: Conditions) -> StartedKit:
    """Start a kit without a cloth, for colours under one light and observer."""
    return StartedKit.objects.create(
        owner=access.studio_owner(user),
        by=user,
        name=name,
        csv=kit_text(()),
        illuminant=light.illuminant,
        observer=str(light.observer),
    )


def begin_version(user: User, base: KitRecord, name: str) -> StartedKit:
    """Start a new version of a kit, or return the one that is started already."""
    found = access.started_kits(user).filter(base=base).first()
    if found is None:
        found = begin_kit(user, name, store.kit_of(base).colours.conditions)
        found.base, found.csv = base, kit_text(kit_rows(base.csv))
        found.save()
    return found


def light_of(record: StartedKit) -> Conditions:
    """Return the light and the observer that the colours of a started kit are for."""
    return Conditions(record.illuminant, observer_from(record.observer))


def put_cloths(record: StartedKit, cloths: Sequence[Mapping[str, str]]) -> None:
    """Put cloths into a started kit: in the place of those of the same number, else at its end."""

    def changed(rows: list[Cells]) -> list[Cells]:
        by_id = {row["id"]: row for row in rows}
        by_id |= {cells["id"]: by_id.get(cells["id"], {}) | dict(cells) for cells in cloths}
        return list(by_id.values())

    _change(record, changed)


def name_cloths(record: StartedKit, said: Mapping[str, Mapping[str, str]]) -> None:
    """Give cloths the names and places that were said, by their numbers."""
    _change(record, lambda rows: [row | dict(said.get(row["id"], {})) for row in rows])


def remove_cloth(record: StartedKit, cloth: str) -> None:
    """Take a cloth out of a started kit."""
    _change(record, lambda rows: [row for row in rows if row["id"] != cloth])


def make_kit(record: StartedKit, by: User, name: str) -> KitRecord:
    """Make the kit of what was put together, with the readings of the kit that it is a version of.

    Raises `TenterError` for cloths that do not make a kit; it stays started then.
    """
    with transaction.atomic():
        kit = store.add_kit(record.owner, name, record.csv)
        kept_readings.begin_book(kit, by, record.base, ())
        record.delete()
    return kit


def read_cloths(record: StartedKit) -> frozenset[str]:
    """Return the cloths that have readings in the kit that this is a version of, which go before a typed colour."""
    if record.base is None:
        return frozenset()
    return frozenset(record.base.readings.filter(set_aside=None).values_list("cloth", flat=True))


def _change(record: StartedKit, changed: Callable[[list[Cells]], list[Cells]]) -> None:
    with transaction.atomic():
        now = StartedKit.objects.select_for_update().get(pk=record.pk)
        now.csv = kit_text(changed(kit_rows(now.csv)))
        now.save(update_fields=["csv"])
    record.csv = now.csv


def check_started_rows(rows: Iterable[StartedKit]) -> None:
    """Raise `TenterError` where a row is no started kit."""
    for row in rows:
        light_of(row)
        if any("id" not in cells for cells in kit_rows(row.csv)):
            raise TenterError(_("a cloth of the started kit %(kit)s has no number") % {"kit": row.name})
