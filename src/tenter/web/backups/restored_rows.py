"""Rows of a backup that no replay reads, read before anything is replaced, from palettes’ changes to readings."""

from collections.abc import Callable, Sequence
from itertools import groupby
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from django.db.models import Model
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError
from tenter.web.garments import wardrobe_rows
from tenter.web.models import (
    Arrival,
    ClientWish,
    Consent,
    HandedPaper,
    KeptLight,
    KeptReading,
    KeptRoom,
    KeptThresholds,
    KeptUntil,
    KeptWash,
    PaletteEdit,
    StartedKit,
    WardrobePiece,
)
from tenter.web.papers import client_wishes, own_words, palette_edits
from tenter.web.replays.backup_rows import RowsOf
from tenter.web.rules import care, consents, keeping
from tenter.web.store import kept_lights, kept_readings, kept_rooms, started_kits

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise


def _check_versions(papers: Sequence[HandedPaper]) -> None:
    for paper in papers:
        own_words.version_from(paper.words)


# Which rows, of whom they are, what one of them is called, and what reads all that one has.
_READ: "tuple[tuple[type[Model], str, _StrPromise, Callable[[list[Any]], object]], ...]" = (
    (PaletteEdit, "sitting", gettext_lazy("a change of the palette"), palette_edits.edits_in),
    (HandedPaper, "sitting", gettext_lazy("a paper"), _check_versions),
    (ClientWish, "client", gettext_lazy("a wish"), client_wishes.wishes_in),
    (Arrival, "sitting", gettext_lazy("the arrival"), care.check_arrivals),
    (Consent, "client", gettext_lazy("a consent"), consents.check_consent_rows),
    (KeptUntil, "client", gettext_lazy("a day of deletion"), keeping.check_keeping_rows),
    (WardrobePiece, "client", gettext_lazy("a piece in the wardrobe"), wardrobe_rows.check_wardrobe_rows),
    (KeptReading, "kit", gettext_lazy("a reading"), kept_readings.check_reading_rows),
    (KeptWash, "kit", gettext_lazy("a wash"), kept_readings.check_wash_rows),
    (KeptLight, "owner", gettext_lazy("a light check"), kept_lights.check_light_rows),
    (KeptThresholds, "owner", gettext_lazy("the thresholds of the light"), kept_lights.check_threshold_rows),
    (KeptRoom, "owner", gettext_lazy("a room"), kept_rooms.check_room_rows),
    (StartedKit, "owner", gettext_lazy("a kit that was started"), started_kits.check_started_rows),
)
_WHOSE = {
    "sitting": gettext_lazy("sitting %(number)s"),
    "client": gettext_lazy("client %(number)s"),
    "kit": gettext_lazy("kit %(number)s"),
    "owner": gettext_lazy("user %(number)s"),
}


def read_rows(rows_of: RowsOf) -> None:
    """Read what no replay of a sitting reads; raises `TenterError` naming whose rows are at fault.

    rows_of: in the order of a backup.
    """
    for model, by, what, read in _READ:
        for number, rows in groupby(rows_of(model), key=attrgetter(f"{by}_id")):
            try:
                read(list(rows))
            except TenterError as error:
                whose = _WHOSE[by] % {"number": number}
                wrong = _("%(what)s of %(whose)s cannot be read (%(error)s)")
                raise TenterError(wrong % {"what": what, "whose": whose, "error": error}) from None
