"""What rows of a backup say in our own words, read before anything is replaced: changes of palettes, and wishes."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from operator import attrgetter
from typing import Any

from tenter.errors import TenterError
from tenter.web import client_wishes, palette_edits
from tenter.web.models import ClientWish, PaletteEdit


def read_rows(rows: Mapping[str, Sequence[Any]]) -> None:
    """Read what no replay of a sitting reads; raises `TenterError` naming whose rows are at fault."""
    for sitting, edits in _grouped(rows, PaletteEdit, "sitting_id"):
        _read(f"a change of the palette of sitting {sitting}", palette_edits.edits_in, edits)
    for client, wishes in _grouped(rows, ClientWish, "client_id"):
        _read(f"a wish of client {client}", client_wishes.wishes_in, wishes)


def _grouped(rows: Mapping[str, Sequence[Any]], model: Any, by: str) -> list[tuple[int, list[Any]]]:
    found = sorted(rows.get(str(model._meta.label_lower), ()), key=lambda row: (getattr(row, by), row.pk))
    return [(owner, list(of)) for owner, of in groupby(found, key=attrgetter(by))]


def _read(what: str, read: Any, rows: list[Any]) -> None:
    try:
        read(rows)
    except TenterError as error:
        raise TenterError(f"{what} cannot be read ({error})") from None
