"""Rows of a backup that no replay reads, read before anything is replaced, from palettes’ changes to readings."""

from collections.abc import Callable, Sequence
from itertools import groupby
from operator import attrgetter
from typing import Any

from django.db.models import Model

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


def _check_versions(papers: Sequence[HandedPaper]) -> None:
    for paper in papers:
        own_words.version_from(paper.words)


# Which rows, of whom they are, what one of them is called, and what reads all that one has.
_READ: tuple[tuple[type[Model], str, str, Callable[[list[Any]], object]], ...] = (
    (PaletteEdit, "sitting", "a change of the palette", palette_edits.edits_in),
    (HandedPaper, "sitting", "a paper", _check_versions),
    (ClientWish, "client", "a wish", client_wishes.wishes_in),
    (Arrival, "sitting", "the arrival", care.check_arrivals),
    (Consent, "client", "a consent", consents.check_consent_rows),
    (KeptUntil, "client", "a day of deletion", keeping.check_keeping_rows),
    (WardrobePiece, "client", "a piece in the wardrobe", wardrobe_rows.check_wardrobe_rows),
    (KeptReading, "kit", "a reading", kept_readings.check_reading_rows),
    (KeptWash, "kit", "a wash", kept_readings.check_wash_rows),
    (KeptLight, "owner", "a light check", kept_lights.check_light_rows),
    (KeptThresholds, "owner", "the thresholds of the light", kept_lights.check_threshold_rows),
    (KeptRoom, "owner", "a room", kept_rooms.check_room_rows),
    (StartedKit, "owner", "a kit that was started", started_kits.check_started_rows),
)
_CALLED = {"owner": "user"}  # where a person has another word for it than the tables


def read_rows(rows_of: RowsOf) -> None:
    """Read what no replay of a sitting reads; raises `TenterError` naming whose rows are at fault.

    rows_of: in the order of a backup.
    """
    for model, by, what, read in _READ:
        for number, rows in groupby(rows_of(model), key=attrgetter(f"{by}_id")):
            try:
                read(list(rows))
            except TenterError as error:
                whose = f"{_CALLED.get(by, by)} {number}"
                raise TenterError(f"{what} of {whose} cannot be read ({error})") from None
