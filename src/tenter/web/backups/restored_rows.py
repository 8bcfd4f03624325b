"""Rows of a backup that no replay reads, read before anything is replaced, from palettes’ changes to readings."""

from collections.abc import Callable, Iterator
from itertools import groupby
from operator import attrgetter
from typing import TypeVar

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
    KeptUntil,
    KeptWash,
    PaletteEdit,
    WardrobePiece,
)
from tenter.web.papers import client_wishes, own_words, palette_edits
from tenter.web.replays.backup_rows import RowsOf
from tenter.web.rules import care, consents, keeping
from tenter.web.store import kept_lights, kept_readings, kept_rooms


def read_rows(rows_of: RowsOf) -> None:
    """Read what no replay of a sitting reads; raises `TenterError` naming whose rows are at fault.

    rows_of: in the order of a backup.
    """
    for sitting, edits in _grouped(rows_of, PaletteEdit, "sitting_id"):
        _read(f"a change of the palette of sitting {sitting}", palette_edits.edits_in, edits)
    for sitting, papers in _grouped(rows_of, HandedPaper, "sitting_id"):
        _read(f"a paper of sitting {sitting}", _versions, papers)
    for client, wishes in _grouped(rows_of, ClientWish, "client_id"):
        _read(f"a wish of client {client}", client_wishes.wishes_in, wishes)
    for sitting, arrivals in _grouped(rows_of, Arrival, "sitting_id"):
        _read(f"the arrival of sitting {sitting}", care.check_arrivals, arrivals)
    for client, answers in _grouped(rows_of, Consent, "client_id"):
        _read(f"a consent of client {client}", consents.check_consent_rows, answers)
    for client, days in _grouped(rows_of, KeptUntil, "client_id"):
        _read(f"a day of deletion of client {client}", keeping.check_keeping_rows, days)
    for client, pieces in _grouped(rows_of, WardrobePiece, "client_id"):
        _read(f"a piece in the wardrobe of client {client}", wardrobe_rows.check_wardrobe_rows, pieces)
    for kit, readings in _grouped(rows_of, KeptReading, "kit_id"):
        _read(f"a reading of kit {kit}", kept_readings.check_reading_rows, readings)
    for kit, washes in _grouped(rows_of, KeptWash, "kit_id"):
        _read(f"a wash of kit {kit}", kept_readings.check_wash_rows, washes)
    for owner, lights in _grouped(rows_of, KeptLight, "owner_id"):
        _read(f"a light check of user {owner}", kept_lights.check_light_rows, lights)
    for owner, rooms in _grouped(rows_of, KeptRoom, "owner_id"):
        _read(f"a room of user {owner}", kept_rooms.check_room_rows, rooms)


R = TypeVar("R", bound=Model)


def _grouped(rows_of: RowsOf, model: type[R], by: str) -> Iterator[tuple[int, list[R]]]:
    for owner, of in groupby(rows_of(model), key=attrgetter(by)):
        yield owner, list(of)


def _versions(papers: list[HandedPaper]) -> None:
    for paper in papers:
        own_words.version_from(paper.words)


def _read(what: str, read: Callable[[list[R]], object], rows: list[R]) -> None:
    try:
        read(rows)
    except TenterError as error:
        raise TenterError(f"{what} cannot be read ({error})") from None
