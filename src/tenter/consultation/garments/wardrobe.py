"""A wardrobe: what somebody owns, or wishes for, each piece with its kind, its colour and where it is worn.

A file is a CSV or a JSON list with the same fields: name, kind, colour (a reading "52,30,14" under D65/10° or a name),
and where known role, price, wears and loved. A role that is given, by a consultant who saw the piece, is kept as given.
"""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from tenter.arrays import steady
from tenter.consultation.cloths.tables import Faults, TableRow, json_of, parse_cell, parse_number, read_table, read_text
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.garments.check import GarmentCheck, check_garment
from tenter.consultation.garments.garment import Garment
from tenter.consultation.garments.given import is_reading, named_garment, parse_reading
from tenter.consultation.garments.role import ROLES, GarmentAnswer
from tenter.consultation.personal.suitability import Known
from tenter.errors import TenterError, UnknownName, UnreadableInput
from tenter.given import shown
from tenter.language import _, as_typed, as_written, in_a_row

WARDROBE_REQUIRED = ("name", "kind", "colour")
WARDROBE_OPTIONAL = ("role", "price", "wears", "loved")
LARGEST_WARDROBE = 300  # pieces that one file may hold
_MOST_MONEY, _MOST_WEARS = 1e6, 100_000  # in the money of the prices, and times worn: more is a slip of the key


class PieceKind(StrEnum):
    """What a piece is, by where it is worn."""

    TOP = "top"
    BOTTOM = "bottom"
    DRESS = "dress"
    LAYER = "layer"  # a jacket, a cardigan, a coat
    SCARF = "scarf"
    SHOES = "shoes"
    BAG = "bag"
    BELT = "belt"
    JEWELLERY = "jewellery"

    @property
    def is_at_face(self) -> bool:
        """Whether such a piece is near the face when it is worn."""
        return self in (PieceKind.TOP, PieceKind.DRESS, PieceKind.LAYER, PieceKind.SCARF, PieceKind.JEWELLERY)


@dataclass(frozen=True, eq=False)
class Piece:
    """One piece.

    role: where it is worn, the likeliest where that cannot be told. check: None where the role was given. price: what
    it costs or did, in units of any money; wears: how often it was worn; None where not known.
    """

    name: str
    kind: PieceKind
    garment: Garment
    role: GarmentAnswer
    check: GarmentCheck | None = None
    price: float | None = None
    wears: int | None = None
    loved: bool = False

    @property
    def lightness(self) -> float:
        """L* of its colour."""
        return self.garment.colours[0].lab[0]

    @property
    def is_unsure(self) -> bool:
        """Whether its role cannot be told from what is known of its colour."""
        return self.check is not None and self.check.answer is GarmentAnswer.CANNOT_TELL

    @property
    def cost_per_wear(self) -> float | None:
        """Price by wears, in the money of the price; None where either is not known or it was never worn."""
        return None if self.price is None or not self.wears else self.price / self.wears


def read_pieces(path: Path, palette: PersonalPalette, known: Known) -> tuple[Piece, ...]:
    """Return the pieces of a CSV or JSON file, each checked against a palette.

    Raises `UnreadableInput` with every fault of it.
    """
    text = read_text(path)
    rows = _json_rows(text, str(path)) if path.suffix.lower() == ".json" else _csv_rows(text, str(path))
    return _pieces(rows, str(path), palette, known)


def parse_pieces(text: str, source: str, palette: PersonalPalette, known: Known) -> tuple[tuple[Piece, str], ...]:
    """Return the pieces of a table as text, each with its colour as it was said.

    Raises `UnreadableInput` with every fault of it.
    """
    rows = _csv_rows(text, source)
    pieces = _pieces(rows, source, palette, known)
    return tuple((piece, row["colour"]) for piece, row in zip(pieces, rows, strict=True))


def pieces_csv(pieces: Iterable[Mapping[str, object]]) -> str:
    """Return pieces, each with the fields of a file, as the text of a table that `read_pieces` reads back."""
    text = io.StringIO()
    table = csv.DictWriter(text, (*WARDROBE_REQUIRED, *WARDROBE_OPTIONAL), lineterminator="\n")
    table.writeheader()
    table.writerows(_cells(piece) for piece in pieces)
    return text.getvalue()


def _pieces(rows: Sequence[TableRow], source: str, palette: PersonalPalette, known: Known) -> tuple[Piece, ...]:
    faults = Faults(source)
    if len(rows) > LARGEST_WARDROBE:
        raise UnreadableInput(
            source,
            _("{count} pieces came", count=len(rows)),
            _("At most {most} are read; split the file.", most=LARGEST_WARDROBE),
        )
    pieces = [_piece(faults, row, palette, known) for row in rows]
    names = [piece.name for piece in pieces if piece]
    for row in rows:
        if names.count(row["name"]) > 1:
            faults.add(
                row.line, "name", _("{name} is the name of two pieces; give each its own", name=as_typed(row["name"]))
            )
    faults.raise_any()
    return tuple(piece for piece in pieces if piece)


def piece_of(cells: Mapping[str, object], palette: PersonalPalette, known: Known) -> Piece:
    """Return the piece of one object with a file's fields; raises `TenterError` naming what is wrong with it."""
    faults = Faults("a piece")
    piece = _piece(faults, TableRow(1, _cells(cells)), palette, known)
    if piece is None:
        raise TenterError("; ".join(fault.problem for fault in faults.found))
    return piece


def _csv_rows(text: str, source: str) -> list[TableRow]:
    return read_table(text, source, WARDROBE_REQUIRED, WARDROBE_OPTIONAL)


def _json_rows(text: str, source: str) -> list[TableRow]:
    remedy = _("It is a list of objects with {names}.", names=in_a_row(WARDROBE_REQUIRED))
    listed = json_of(text, source, remedy)
    if not isinstance(listed, list) or not listed or not all(isinstance(entry, dict) for entry in listed):
        raise UnreadableInput(source, _("{document} is not a wardrobe", document=shown(listed)), remedy)
    known = (*WARDROBE_REQUIRED, *WARDROBE_OPTIONAL)
    for number, entry in enumerate(listed, start=1):
        wrong = [_("{field} is missing", field=as_typed(field)) for field in WARDROBE_REQUIRED if field not in entry]
        wrong += [_("{field} is unknown", field=shown(field)) for field in entry if field not in known]
        if wrong:
            raise UnreadableInput(
                source,
                _("piece {number}: {faults}", number=number, faults=in_a_row(wrong)),
                _("The fields are {names}.", names=in_a_row(known)),
            )
    return [TableRow(number, _cells(entry)) for number, entry in enumerate(listed, start=1)]


def _cells(entry: Mapping[str, object]) -> dict[str, str]:
    """Return an object's values as a table's cells would have them."""
    return {name: _cell(value) for name, value in entry.items()}


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ",".join(map(str, value))
    return "" if value is None else str(value).strip()


def _piece(faults: Faults, row: TableRow, palette: PersonalPalette, known: Known) -> Piece | None:
    before = len(faults.found)
    name = parse_cell(faults, row, "name", _needed, "")
    kind = parse_cell(faults, row, "kind", _kind, PieceKind.TOP)
    garment = parse_cell(faults, row, "colour", lambda text: _garment(text, palette), None)
    role = parse_cell(faults, row, "role", _role, None)
    price = parse_cell(faults, row, "price", lambda t: _amount(t, _MOST_MONEY), None)
    wears = parse_cell(faults, row, "wears", lambda t: _amount(t, _MOST_WEARS), None)
    loved = parse_cell(faults, row, "loved", _yes_no, False)
    if len(faults.found) > before or garment is None:
        return None
    check = None if role else check_garment(palette, known, garment)
    counted = None if wears is None else int(wears)
    return Piece(name, kind, garment, role or likeliest_role(check), check, price, counted, loved)


def likeliest_role(check: GarmentCheck | None) -> GarmentAnswer:
    """Return the role that a check gives, or the likeliest where it gives none."""
    if check is None or check.roles is None:
        return GarmentAnswer.LEAVE
    if check.answer is not GarmentAnswer.CANNOT_TELL:
        return check.answer
    roles = check.roles
    return max(ROLES, key=lambda role: (steady(roles[role]), -ROLES.index(role)))


def _needed(text: str) -> str:
    if not text:
        raise TenterError(_("the cell is empty; a name is needed"))
    return text


def _kind(text: str) -> PieceKind:
    try:
        return PieceKind(text.lower())
    except ValueError:
        raise UnknownName(_("kind of piece"), text, PieceKind) from None


def _role(text: str) -> GarmentAnswer | None:
    if not text:
        return None
    try:
        return ROLES[[str(role) for role in ROLES].index(text.lower().replace(" ", "_"))]
    except ValueError:
        raise UnknownName(_("role"), text, ROLES) from None


def _garment(text: str, palette: PersonalPalette) -> Garment | None:
    return parse_reading(text) if is_reading(text) else named_garment(text, palette)


def _amount(text: str, most: float) -> float | None:
    if not text:
        return None
    value = parse_number(text)
    if not 0 <= value <= most:
        raise TenterError(_("{text} is not from 0 to {most}", text=as_typed(text), most=as_written(f"{most:g}")))
    return value


def _yes_no(text: str) -> bool:
    if text.lower() not in ("", "yes", "no"):
        raise TenterError(_("{text} is neither yes nor no", text=as_typed(text)))
    return text.lower() == "yes"
