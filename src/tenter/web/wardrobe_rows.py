"""A client's wardrobe as rows: what is owned and wished for, read against the palette of the latest verdict."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F

from tenter.consultation.contrast import ContrastLevel, contrast_level
from tenter.consultation.face import Face
from tenter.consultation.garments.wardrobe import MOST_PIECES, Kind, Piece, piece_of
from tenter.consultation.personal.colours import PersonalPalette
from tenter.consultation.personal.suitability import Known
from tenter.consultation.personal.wishes import Rule
from tenter.consultation.verdict import PhaseMissing
from tenter.errors import TenterError, UnknownName
from tenter.web import access, handed, store
from tenter.web.client_wishes import wishes_for
from tenter.web.models import Client, Sitting, WardrobePiece

_FIELDS = ("name", "kind", "colour", "role", "price", "wears", "loved")


@dataclass(frozen=True, eq=False)
class Held:
    """A row of a wardrobe, and its piece; None where its colour cannot be read, and why."""

    row: WardrobePiece
    piece: Piece | None
    problem: str = ""


@dataclass(frozen=True, eq=False)
class Measure:
    """What a wardrobe is held against: the palette of a sitting, and the contrast of the face where it is known."""

    sitting: Sitting
    palette: PersonalPalette
    known: Known
    contrast: ContrastLevel | None


def measure_for(user: Any, client: Client) -> Measure | None:
    """Return what the client's wardrobe is held against: the latest verdict that a user may see; None before one."""
    seen = access.sittings(user).filter(client=client, revealed_at__isnull=False)
    for sitting in seen:
        try:
            palette, known = handed.palette_and_known(sitting)
        except PhaseMissing:  # entries were undone after the reveal
            continue
        return Measure(sitting, palette, known, _contrast(sitting))
    return None


def _contrast(sitting: Sitting) -> ContrastLevel | None:
    document = store.face_document(sitting)
    found = contrast_level(Face.from_json(document)) if document else None
    return found.level if found else None


def held(client: Client, against: Measure) -> list[Held]:
    """Return every row of a wardrobe with its piece."""
    return [_held(row, against) for row in client.wardrobe.all()]


def _held(row: WardrobePiece, against: Measure) -> Held:
    try:
        return Held(row, piece_of(cells_of(row), against.palette, against.known))
    except TenterError as error:  # a name of the palette's own may be gone from it since
        return Held(row, None, str(error))


def cells_of(row: WardrobePiece) -> dict[str, object]:
    """Return a row with the fields of a wardrobe's file."""
    return {name: getattr(row, name) for name in _FIELDS} | {"wears": row.wears or None}


def pieces(found: Iterable[Held], *, wished: bool) -> list[Piece]:
    """Return the pieces that are owned, or those wished for that have a price."""
    of = [one for one in found if one.piece is not None and one.row.wished is wished]
    return [one.piece for one in of if one.piece is not None and (not wished or one.row.price is not None)]


def most_pieces(client: Client) -> int | None:
    """Return how many new pieces the client's budget allows; None where nothing was said."""
    limits = wishes_for(client).limits
    return next((limit.pieces for limit in limits if limit.rule is Rule.BUDGET), None)


# -- changes -----------------------------------------------------------------------------------------------------------


def add(client: Client, by: Any, against: Measure, said: dict[str, Any]) -> WardrobePiece:
    """Keep a piece; raises `TenterError` where its colour is not known, its name is taken or there are too many."""
    row = WardrobePiece(client=client, by=by, **said)
    piece_of(cells_of(row), against.palette, against.known)
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)  # orders the writers
        names = set(client.wardrobe.values_list("name", flat=True))
        if row.name in names:
            raise TenterError(f"{row.name!r} is in the wardrobe already; give this piece another name")
        if len(names) >= MOST_PIECES:
            raise TenterError(f"a wardrobe holds at most {MOST_PIECES} pieces; take one off the list first")
        row.save()
    return row


def changed(row: WardrobePiece, act: str) -> None:
    """Make one change of a piece: worn once more, bought, or taken off the list; raises `UnknownName` for another."""
    mine = WardrobePiece.objects.filter(pk=row.pk)
    if act == "worn":
        mine.update(wears=F("wears") + 1)
    elif act == "bought":
        mine.update(wished=False)
    elif act == "off":
        mine.delete()
    else:
        raise UnknownName("change of a piece", act, ("worn", "bought", "off"))


def check_rows(rows: Iterable[WardrobePiece]) -> None:
    """Raise `TenterError` where a row is no piece of a wardrobe, whatever palette it would be held against."""
    for row in rows:
        if row.kind not in [*Kind]:
            raise UnknownName("kind of piece", row.kind, Kind)
        if not row.name.strip() or not row.colour.strip():
            raise TenterError("a piece of a wardrobe has a name and a colour")
