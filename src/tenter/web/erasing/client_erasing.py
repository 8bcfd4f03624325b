"""A client or a sitting erased: rows, files, what was remembered and kept in memory, and what the database keeps.

The log says that client 12 was erased, and names nobody. Copies of the data elsewhere cannot be reached; what such a
backup holds of an erased client is erased again when it is put back (`erased_marks.py`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext_lazy

from tenter import durable
from tenter.language import all_of
from tenter.web.archives import client_rows
from tenter.web.archives.client_rows import Rows
from tenter.web.backups import pending, restore
from tenter.web.models import (
    Appointment,
    Client,
    ClientWish,
    Consent,
    HandedPaper,
    Photograph,
    PhotoSeries,
    Sitting,
    SittingEvent,
    StockMovement,
    StudioText,
    ThingPhotograph,
    ToldBefore,
    WardrobePiece,
)
from tenter.web.pictures import pictures
from tenter.web.replays import odds_seen, replays
from tenter.web.rules import audit, erased_marks
from tenter.web.rules.audit import Action
from tenter.web.server import clean_disk, temporary_files
from tenter.web.server.clean_disk import Left
from tenter.web.server.data_dir import data_dir
from tenter.web.sweeping import kept_memory

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise

_AN_HOUR = 3600.0  # seconds: longer than a backup takes
# What is counted for whoever is about to erase, each with its number.
_COUNTED: tuple[tuple[type[Model], "_StrPromise"], ...] = (
    (Sitting, ngettext_lazy("%(count)s sitting", "%(count)s sittings", "count")),
    (SittingEvent, ngettext_lazy("%(count)s entry", "%(count)s entries", "count")),
    (Photograph, ngettext_lazy("%(count)s photograph", "%(count)s photographs", "count")),
    (PhotoSeries, ngettext_lazy("%(count)s series of photographs", "%(count)s series of photographs", "count")),
    (
        ThingPhotograph,
        ngettext_lazy(
            "%(count)s photograph of a garment or of something brought",
            "%(count)s photographs of garments or things brought",
            "count",
        ),
    ),
    (Appointment, ngettext_lazy("%(count)s appointment", "%(count)s appointments", "count")),
    (Consent, ngettext_lazy("%(count)s answer about a consent", "%(count)s answers about consents", "count")),
    (HandedPaper, ngettext_lazy("%(count)s paper handed over", "%(count)s papers handed over", "count")),
    (StudioText, ngettext_lazy("%(count)s version of the letter", "%(count)s versions of the letter", "count")),
    (ClientWish, ngettext_lazy("%(count)s wish", "%(count)s wishes", "count")),
    (WardrobePiece, ngettext_lazy("%(count)s piece of the wardrobe", "%(count)s pieces of the wardrobe", "count")),
    (ToldBefore, ngettext_lazy("%(count)s result from before", "%(count)s results from before", "count")),
)
_LEFT = {
    Left.NOTHING: gettext_lazy("Nothing of it is left in the data folder."),
    Left.WITH_THE_SERVER: gettext_lazy(
        "Nothing of it is left in the data folder or in a table. PostgreSQL itself may hold some of its bytes, in its "
        "log or its statistics, until they are overwritten. docs/how-to/data.md says how to prevent that."
    ),
    Left.MORE: gettext_lazy(
        "The database still holds some of its bytes on the disk, because somebody is reading or a backup is being "
        "made. Tenter tries again every hour and at its next start."
    ),
}


@dataclass(frozen=True, slots=True)
class Erased:
    """What was erased, as a sentence, and what the database may still hold of it on the disk."""

    what: str
    left: Left

    def __str__(self) -> str:
        return f"{self.what} {_LEFT[self.left]}"


def counted_with(root: Client | Sitting) -> list[str]:
    """Return what is erased with a client or a sitting, each as a number with its noun."""
    rows = client_rows.rows_with(root)
    numbers = ((len(rows.get(kind, ())), words) for kind, words in _COUNTED if kind is not type(root))
    return [words % {"count": number} for number, words in numbers if number]


def safety_copies_here() -> list[Path]:
    """Return the backups that restores have left in the data folder; they hold whoever was a client then."""
    return restore.safety_copies(data_dir())


def erase_client(client: Client, user: User, *, with_copies: bool = False) -> Erased:
    """Erase a client for good. with_copies: the safety copies in the data folder too, with all that they hold."""
    went = all_of(counted_with(client))
    erase_rows((client,), user, Action.CLIENT_ERASED)
    if with_copies:
        for path in safety_copies_here():
            path.unlink(missing_ok=True)
    what = _("The client, with %(things)s, is erased.") % {"things": went} if went else _("The client is erased.")
    return Erased(what, clean_disk.clean())


def erase_rows(roots: Sequence[Client | Sitting], user: User | None, action: Action) -> None:
    """Erase clients or sittings from files, rows and memory; what the database keeps is left to `clean_disk`."""
    remembered: list[str] = []
    for root in roots:
        rows = client_rows.rows_with(root)
        remembered += _checksums(rows)
        for picture in client_rows.pictures_in(rows):
            pictures.remove_picture(picture.name)  # first: a file without its row would be found by the next sweep only
        with transaction.atomic():
            audit.note(user, action, root)
            erased_marks.mark(root)
            StockMovement.objects.filter(sitting__in=rows.get(Sitting, ())).update(note="")
            root.delete()
    with odds_seen.odds_seen() as seen:
        seen.forget(remembered)
    pending.drop(data_dir())  # a backup that waits to be put back may hold them, and so may what was left half-way
    temporary_files.forget_all(data_dir(), older_than=_AN_HOUR)
    durable.forget_halves(data_dir(), older_than=_AN_HOUR)
    kept_memory.forget_everywhere()


def _checksums(rows: Rows) -> list[str]:
    """Return by what a backup remembers the sittings among rows."""
    return [replays.checksum(replays.history_of(row)) for row in rows.get(Sitting, ())]
