"""Rows of a backup that no replay reads, read before anything is replaced: palettes’ changes, wishes, wardrobes."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from operator import attrgetter
from typing import Any

from tenter.errors import TenterError
from tenter.web import care, client_wishes, consents, keeping, own_words, palette_edits, wardrobe_rows
from tenter.web.models import Arrival, ClientWish, Consent, HandedPaper, KeptUntil, PaletteEdit, WardrobePiece


def read_rows(rows: Mapping[str, Sequence[Any]]) -> None:
    """Read what no replay of a sitting reads; raises `TenterError` naming whose rows are at fault."""
    for sitting, edits in _grouped(rows, PaletteEdit, "sitting_id"):
        _read(f"a change of the palette of sitting {sitting}", palette_edits.edits_in, edits)
    for sitting, papers in _grouped(rows, HandedPaper, "sitting_id"):
        _read(f"a paper of sitting {sitting}", _versions, papers)
    for client, wishes in _grouped(rows, ClientWish, "client_id"):
        _read(f"a wish of client {client}", client_wishes.wishes_in, wishes)
    for sitting, arrivals in _grouped(rows, Arrival, "sitting_id"):
        _read(f"the arrival of sitting {sitting}", care.check_arrivals, arrivals)
    for client, answers in _grouped(rows, Consent, "client_id"):
        _read(f"a consent of client {client}", consents.check_rows, answers)
    for client, days in _grouped(rows, KeptUntil, "client_id"):
        _read(f"a day of deletion of client {client}", keeping.check_rows, days)
    for client, pieces in _grouped(rows, WardrobePiece, "client_id"):
        _read(f"a piece in the wardrobe of client {client}", wardrobe_rows.check_rows, pieces)


def _grouped(rows: Mapping[str, Sequence[Any]], model: Any, by: str) -> list[tuple[int, list[Any]]]:
    found = sorted(rows.get(str(model._meta.label_lower), ()), key=lambda row: (getattr(row, by), row.pk))
    return [(owner, list(of)) for owner, of in groupby(found, key=attrgetter(by))]


def _versions(papers: list[HandedPaper]) -> None:
    for paper in papers:
        own_words.version_from(paper.words)


def _read(what: str, read: Any, rows: list[Any]) -> None:
    try:
        read(rows)
    except TenterError as error:
        raise TenterError(f"{what} cannot be read ({error})") from None
