"""A client taken in again from an archive: as a new client, with everything, and sealed by the studio's key of today.

Rows get new numbers, photographs new names and sittings new links; what they refer to among one another stays. Kits
and methods are found again by their text, or come in with the client. Whoever held a sitting is found by the name they
log in with, or else whoever takes the archive in stands for them. Nobody is let in to the client.
"""

from collections.abc import Iterator, Mapping
from operator import attrgetter
from typing import Any, TypeVar

from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.db import DatabaseError, models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError, UnreadableInput
from tenter.web.archives.client_archive_files import SEALED
from tenter.web.archives.client_archive_reading import ArchivedKit, ClientArchive
from tenter.web.backups.restored_rows import read_rows
from tenter.web.models import (
    Access,
    Client,
    HandedPaper,
    KeptUntil,
    KitRecord,
    Measured,
    MethodRecord,
    Sitting,
    new_photograph_name,
    new_token,
)
from tenter.web.pictures import pictures, queue, tries
from tenter.web.replays import backup_rows
from tenter.web.rules import access
from tenter.web.rules.keeping import DatedKind
from tenter.web.store import store

_REMEDY = gettext_lazy("Nothing was changed. Export the client again if you can")
_NUMBERED: Mapping[str, type[models.Model]] = {
    DatedKind.SITTING: Sitting,
    DatedKind.PAPERS: HandedPaper,
}  # what a day of its own names
R = TypeVar("R", bound=models.Model)
_PICTURES = (b"\xff\xd8", b"\x89PNG")


def take_in_client(archive: ClientArchive, user: User, source: str) -> Client:
    """Take a client in for an owner; raises `UnreadableInput` where rows do not fit together, `Locked` without a key.

    It happens whole or not at all. A picture's file whose row was not kept is removed by a later sweep.
    """
    try:
        read_rows(lambda kind: _in_order(archive, kind))
        with transaction.atomic():
            client, waiting = _Taking(archive, user, source).done()
    except (DatabaseError, LookupError, ValueError, TypeError) as error:
        problem = _("holds rows that do not fit together (%(error)s)") % {"error": type(error).__name__}
        raise UnreadableInput(source, problem, str(_REMEDY)) from None
    for row in waiting:
        queue.put_in_line(row)
    return client


class _Taking:
    """One archive on its way in: of each kind of row, which number in the archive is which one here."""

    def __init__(self, archive: ClientArchive, user: User, source: str) -> None:
        self.archive, self.user, self.source = archive, user, source
        self.numbers: dict[type[models.Model], dict[int, int]] = {
            KitRecord: _kits(user, archive.kits),
            MethodRecord: {number: _method(user, toml) for number, toml in archive.methods.items()},
        }
        self.people = _people(archive, user)

    def done(self) -> tuple[Client, list[Measured]]:
        """Put every row and picture in place; return the client, and what is still to be measured."""
        shown, waiting = self.archive.photographs, []
        for row in self._rows():
            number, name = row.pk, getattr(row, "name", "")
            self._refer(row)
            self._make_new(row, self.archive.opened.get(f"{backup_rows.label(row)} {number}", {}))
            row.pk = None
            row.save(force_insert=True)
            self.numbers.setdefault(type(row), {})[number] = row.pk
            if isinstance(row, Measured):
                waiting += [row] if row.waits else []
                _keep_picture(row, shown.get(name))
        client = Client.objects.get(pk=next(iter(self.numbers[Client].values())))
        for sitting in client.sittings.all():
            store.replayed(sitting, sitting.events.order_by("number").values_list("payload", flat=True))
        return client, waiting

    def _rows(self) -> Iterator[models.Model]:
        """Give the rows, those that others refer to first."""
        for kind in backup_rows.tables():
            if kind is not Access:
                yield from sorted(self.archive.rows.get(backup_rows.label(kind), ()), key=lambda row: int(row.pk))

    def _refer(self, row: models.Model) -> None:
        """Have a row refer to the rows here; what an archive does not hold is referred to no more, if that may be."""
        for field in row._meta.concrete_fields:
            number = getattr(row, field.attname)
            if not isinstance(field, models.ForeignKey) or number is None:
                continue
            if field.related_model is get_user_model():
                here: int | None = self.user.pk if field.name == "owner" else self.people.get(number, self.user.pk)
            else:
                here = self.numbers.get(field.related_model, {}).get(number)
            if here is None and not field.null:
                told = _("holds a %(kind_of_row)s that does not fit: its %(field)s is not in it")
                problem = told % {"kind_of_row": row._meta.verbose_name, "field": field.verbose_name}
                raise UnreadableInput(self.source, problem, str(_REMEDY))
            setattr(row, field.attname, here)

    def _make_new(self, row: models.Model, opened: Mapping[str, Any]) -> None:
        """Give a row what is its own here: names and links nobody knows, and what is sealed by the key of today."""
        if isinstance(row, Sitting):
            row.token = new_token()
        if isinstance(row, Measured):
            row.name = new_photograph_name()
            for name in (name for name in SEALED if name in opened):
                setattr(row, name, tries.sealed_document(opened[name], f"{row.name} {name}"))
        if isinstance(row, KeptUntil) and row.number:
            row.number = self.numbers[_NUMBERED[row.kind]][row.number]


def _in_order(archive: ClientArchive, kind: type[R]) -> list[R]:
    return sorted(archive.rows.get(backup_rows.label(kind), ()), key=attrgetter(*backup_rows.order_of(kind)))


def _people(archive: ClientArchive, user: User) -> dict[int, int]:
    """Return who of those that the archive names is in the studio, by number there and here."""
    here = {one.user.username: one.user.pk for one in access.associates(user)} | {user.username: user.pk}
    return {number: here[name] for number, name in archive.users.items() if name in here}


def _kits(owner: User, archived: Mapping[int, ArchivedKit]) -> dict[int, int]:
    """Return the kits by their number there and here; one made of readings stays one of its kit, as it was that day."""
    here: dict[int, KitRecord] = {}
    for number, kit in sorted(archived.items(), key=lambda one: one[1].origin is not None):
        same_name = KitRecord.objects.filter(owner=owner, name=kit.name)
        found = next((row for row in same_name if row.csv == kit.csv), None)
        origin = None if kit.origin is None else here[kit.origin]
        here[number] = found or store.add_kit(owner, kit.name, kit.csv, origin)
    return {number: row.pk for number, row in here.items()}


def _method(owner: User, toml: str) -> int:
    found = next((method for method in MethodRecord.objects.filter(owner=owner) if method.toml == toml), None)
    return int((found or store.add_method(owner, toml)).pk)


def _keep_picture(row: Measured, picture: bytes | None) -> None:
    if picture is None:
        return
    if not picture.startswith(_PICTURES):
        raise TenterError(_("holds a photograph that is not a picture"))
    pictures.keep_picture(row.name, picture)
