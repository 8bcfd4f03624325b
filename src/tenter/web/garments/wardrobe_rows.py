"""A client's wardrobe as rows: what is owned and wished for, read against the palette of the latest verdict."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Exists, F, OuterRef
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.client.contrast import ContrastLevel, contrast_level
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.findings.verdict import PhaseMissing
from tenter.consultation.garments.wardrobe import (
    LARGEST_WARDROBE,
    Piece,
    PieceKind,
    parse_pieces,
    piece_of,
    pieces_csv,
)
from tenter.consultation.personal.suitability import Known
from tenter.consultation.wishes.wishes import Rule
from tenter.errors import TenterError, UnknownName
from tenter.language import as_typed
from tenter.report.words import terms
from tenter.web.models import Client, Sitting, SittingEvent, WardrobePiece
from tenter.web.papers import handed
from tenter.web.papers.client_wishes import wishes_for
from tenter.web.rules import access
from tenter.web.sent.typed_fields import longest
from tenter.web.store import given_face

_TOO_LONG = {
    "name": gettext_lazy("%(beginning)s… is too long; use at most %(most)s letters for a name"),
    "colour": gettext_lazy("%(beginning)s… is too long; use at most %(most)s letters for a colour"),
}
_FIELDS = ("name", "kind", "colour", "role", "price", "wears", "loved")


@dataclass(frozen=True, eq=False)
class WardrobeRow:
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


def measure_for(user: User, client: Client) -> Measure | None:
    """Return what the client's wardrobe is held against: the latest verdict that a user may see; None before one."""
    seen = access.sittings(user).filter(Exists(SittingEvent.objects.filter(sitting=OuterRef("pk"))))
    seen = seen.filter(client=client, revealed_at__isnull=False)
    for sitting in seen:
        try:
            palette, known = handed.palette_and_known(sitting)
        except PhaseMissing:  # entries were undone after the reveal
            continue
        return Measure(sitting, palette, known, _contrast(sitting))
    return None


def _contrast(sitting: Sitting) -> ContrastLevel | None:
    face = given_face.given_face_of(sitting)
    found = contrast_level(face) if face else None
    return found.level if found else None


def held_pieces(client: Client, against: Measure) -> list[WardrobeRow]:
    """Return every row of a wardrobe with its piece."""
    return [_held(row, against) for row in client.wardrobe.all()]


def _held(row: WardrobePiece, against: Measure) -> WardrobeRow:
    try:
        return WardrobeRow(row, piece_of(cells_of(row), against.palette, against.known))
    except TenterError as error:  # a name of the palette's own may be gone from it since
        return WardrobeRow(row, None, str(error))


def cells_of(row: WardrobePiece) -> dict[str, object]:
    """Return a row with the fields of a wardrobe's file."""
    return {name: getattr(row, name) for name in _FIELDS} | {"wears": row.wears or None}


def pieces(found: Iterable[WardrobeRow], *, wished: bool) -> list[Piece]:
    """Return the pieces that are owned, or those wished for that have a price."""
    of = [one for one in found if one.piece is not None and one.row.wished is wished]
    return [one.piece for one in of if one.piece is not None and (not wished or one.row.price is not None)]


def most_pieces(client: Client) -> int | None:
    """Return how many new pieces the client's budget allows; None where nothing was said."""
    limits = wishes_for(client).limits
    return next((limit.pieces for limit in limits if limit.rule is Rule.BUDGET), None)


def _check_lengths(row: WardrobePiece) -> None:
    for name, problem in _TOO_LONG.items():
        most = longest(WardrobePiece, name)
        if len(getattr(row, name)) > most:
            raise TenterError(problem % {"beginning": getattr(row, name)[:20], "most": most})


# -- changes -----------------------------------------------------------------------------------------------------------


def add_piece(client: Client, by: User, against: Measure, said: dict[str, Any]) -> WardrobePiece:
    """Keep a piece; raises `TenterError` where its colour is not known, its name is taken or there are too many."""
    own = (colour.name for colour in against.palette.colours)
    row = WardrobePiece(client=client, by=by, **said | {"colour": terms.colour_meant(said["colour"], own)})
    _check_lengths(row)
    piece_of(cells_of(row), against.palette, against.known)
    with transaction.atomic():
        Client.objects.select_for_update().get(pk=client.pk)  # orders the writers
        names = set(client.wardrobe.values_list("name", flat=True))
        if row.name in names:
            raise TenterError(
                _("%(piece)s is in the wardrobe already; give this piece another name") % {"piece": as_typed(row.name)}
            )
        if len(names) >= LARGEST_WARDROBE:
            raise TenterError(
                _("a wardrobe holds at most %(most)s pieces; remove one first") % {"most": LARGEST_WARDROBE}
            )
        row.save()
    return row


def add_table(client: Client, by: User, against: Measure, text: str, *, wished: bool) -> int:
    """Keep every piece of a table, or none of them, and return how many; raises `TenterError` naming each fault."""
    found = parse_pieces(text, "the table", against.palette, against.known)
    with transaction.atomic():
        for piece, colour in found:
            said = {"name": piece.name, "kind": str(piece.kind), "colour": colour, "price": piece.price}
            said |= {"wears": piece.wears or 0, "loved": piece.loved, "wished": wished}
            add_piece(client, by, against, said | {"role": "" if piece.check else str(piece.role)})
    return len(found)


def wardrobe_table(client: Client, *, wished: bool) -> str:
    """Return what is owned, or what is wished for, as a table that the command line reads too."""
    return pieces_csv(cells_of(row) for row in client.wardrobe.filter(wished=wished))


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


def check_wardrobe_rows(rows: Iterable[WardrobePiece]) -> None:
    """Raise `TenterError` where a row has no name or colour, whatever palette it would be held against.

    Raises `UnknownName` for another kind of piece.
    """
    for row in rows:
        if row.kind not in [*PieceKind]:
            raise UnknownName("kind of piece", row.kind, PieceKind)
        if not row.name.strip() or not row.colour.strip():
            raise TenterError(_("a piece of a wardrobe has a name and a colour"))
