"""Which sealed files the rows speak of, and what a photograph is called whose file is not there.

The rows come from the database or from a backup: a backup tells of what it lacks by the same words as the studio.
"""

from collections.abc import Collection
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.web.models import Client, ClothPhotograph, LearnedPhone, PhonePhotograph, Picture, ThingPhotograph
from tenter.web.models.kinds import picture_kinds
from tenter.web.replays.backup_rows import RowsOf

_CALLED = {
    ClothPhotograph: gettext_lazy("photograph of cloths No. %(number)s"),
    ThingPhotograph: gettext_lazy("photograph of a garment No. %(number)s in sitting %(sitting)s"),
}
_ANY = gettext_lazy("photograph No. %(number)s")


def _called(row: Picture) -> str:
    return _CALLED.get(type(row), _ANY) % {"number": row.pk, "sitting": getattr(row, "sitting_id", None)}


@dataclass(frozen=True, slots=True)
class PictureFiles:
    """The names that files may have, and of those that are to be there what each is called."""

    known: frozenset[str]
    due: dict[str, tuple[str, int | None]]  # a file's name -> what it is called, and the client whom it is of

    @classmethod
    def of(cls, rows_of: RowsOf) -> "PictureFiles":
        """Return those that the rows of all tables speak of."""
        known, due = set(), {}
        for kind in picture_kinds():
            for row in rows_of(kind):
                known.add(row.name)
                if row.has_picture:
                    due[row.name] = _called(row), getattr(row, "client_id", None)
        waits = {row.pk: row.phone for row in rows_of(LearnedPhone) if row.waits}
        for shot in rows_of(PhonePhotograph):
            known.add(shot.name)
            if shot.of_id in waits:
                said = _("photograph %(file)s for the phone %(phone)s")
                due[shot.name] = said % {"file": shot.file, "phone": waits[shot.of_id]}, None
        return cls(frozenset(known), due)

    def lacking(self, there: Collection[str], rows_of: RowsOf) -> tuple[str, ...]:
        """Return in words the photographs whose file is not among those that are there."""
        found = [said for name, said in self.due.items() if name not in there]
        of_clients = {client for _said, client in found if client is not None}
        names = {row.pk: row.name for row in rows_of(Client) if row.pk in of_clients} if of_clients else {}
        of_client = _("%(photograph)s of %(client)s")
        return tuple(
            of_client % {"photograph": called, "client": names[client]} if client in names else called
            for called, client in found
        )
