"""`stock.csv`, and beside it the movements since: one is written anew, the other only ever added to."""

import csv
import io
import os
from collections.abc import Sequence
from pathlib import Path

from tenter import durable
from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import D65_10, Conditions
from tenter.consultation.cloths.kit import Kit, parse_axis
from tenter.consultation.cloths.tables import Faults, TableRow, parse_cell, read_table, read_text
from tenter.consultation.stock.movements import Movement, MovementReason, stock_after, why_from
from tenter.consultation.stock.snippets import LARGEST_DRAWER, Snippet, Stock, drawer_from, snippets_of_kit
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_path, given_text
from tenter.language import N_, _, as_typed, in_a_row

STOCK_REQUIRED = ("drawer", "name", "L", "a", "b", "illuminant", "observer")
STOCK_OPTIONAL = ("count", "reorder_at")
MOVEMENT_COLUMNS = ("at", "drawer", "change", "why", "note")
_CANNOT_WRITE = N_("Close it in other programs and check the folder")


def read_stock(path: str | Path) -> Stock:
    """Return the stock of a file as it is now, after the movements kept beside it.

    Raises
    ------
    TenterError
        For what is no path.
    UnreadableInput
        If there is no such file, or a row of it or of the movements is at fault; every fault is named.
    """
    file = given_path(path)
    stock = parse_stock(read_text(file), str(file))
    kept = movements_path(file)
    if not kept.is_file():
        return stock
    movements = parse_movements(read_text(kept), str(kept))
    try:
        return stock_after(stock, movements)
    except TenterError as error:
        raise UnreadableInput(
            str(kept), str(error), _("Nothing was changed; correct the row in it or {file}", file=file.name)
        ) from None


def parse_stock(text: str, source: str = "stock") -> Stock:
    """Return the stock of CSV text; a header without rows is an empty one.

    Raises `UnreadableInput` naming every faulty row, and `TenterError` for what is no text.
    """
    given = given_text(text, _("a stock's CSV"), needed=False)
    rows = read_table(given, source, STOCK_REQUIRED, STOCK_OPTIONAL, may_be_empty=True)
    faults = Faults(source)
    drawers: dict[str, int] = {}
    found = [_snippet(faults, row, drawers) for row in rows]
    faults.raise_any()
    return Stock(tuple(one for one in found if one is not None))


def parse_snippets(text: str, source: str, count: int = 1, reorder_at: int | None = None) -> tuple[Snippet, ...]:
    """Return the snippets of a stock file, or of a kit file such as photographs of racks give.

    count, reorder_at: of each snippet of a kit file, which has no such columns. Raises `UnreadableInput` for a text
    that is neither, and for a faulty row; `TenterError` for what is no text.
    """
    header = next(iter(given_text(text, _("a table"), needed=False).splitlines()), "")
    if "drawer" in [name.strip() for name in header.split(",")]:
        return parse_stock(text, source).snippets
    if "id" in [name.strip() for name in header.split(",")]:
        return snippets_of_kit(Kit.parse(text, source), count, reorder_at)
    raise UnreadableInput(
        source,
        _("this is neither a stock, which has a column drawer, nor a kit, which has a column id"),
        _("A stock has the columns {names}.", names=in_a_row((*STOCK_REQUIRED, *STOCK_OPTIONAL))),
    )


def stock_csv(stock: Stock) -> str:
    """Return a stock as CSV text, which `parse_stock` reads back."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow((*STOCK_REQUIRED, *STOCK_OPTIONAL))
    for one in stock:
        light = (one.conditions.illuminant, str(one.conditions.observer))
        reorder_at = "" if one.reorder_at is None else one.reorder_at
        table.writerow((one.drawer, one.name, *map(repr, map(float, one.lab)), *light, one.count, reorder_at))
    return text.getvalue()


def add_snippets(path: str | Path, snippets: Sequence[Snippet]) -> Stock:
    """Add snippets to a stock file, which is made where there is none, and return the stock as it is then.

    Raises
    ------
    TenterError
        If a drawer is in use.
    UnreadableInput
        If a file cannot be read or written; it is then as it was.
    """
    file = given_path(path)
    before = parse_stock(read_text(file), str(file)) if file.exists() else Stock()
    after = before.with_more(tuple(snippets))
    _put_in_place(file, stock_csv(after))
    return read_stock(file)


def _put_in_place(file: Path, text: str) -> None:
    try:
        durable.write(file, text.encode())
    except OSError as error:
        raise UnreadableInput(
            str(file), _("it cannot be written ({reason})", reason=error.strerror), _(_CANNOT_WRITE)
        ) from None


# -- movements ---------------------------------------------------------------------------------------------------------


def movements_path(stock: Path) -> Path:
    """Return where a stock file's movements are kept: stock.csv has stock.movements.csv."""
    return stock.with_name(f"{stock.stem}.movements.csv")


def parse_movements(text: str, source: str = "movements") -> tuple[Movement, ...]:
    """Return the movements of CSV text; raises `UnreadableInput` naming every faulty row and column."""
    faults = Faults(source)
    rows = read_table(text, source, MOVEMENT_COLUMNS[:4], MOVEMENT_COLUMNS[4:], may_be_empty=True)
    found = [_movement(faults, row) for row in rows]
    faults.raise_any()
    return tuple(one for one in found if one is not None)


def add_movements(path: str | Path, movements: Sequence[Movement]) -> Stock:
    """Write movements down beside a stock file, and return the stock as it is after them.

    Raises
    ------
    TenterError
        If the stock does not hold what is taken out.
    UnreadableInput
        If a file cannot be read or written; nothing is then written down.
    """
    file = given_path(path)
    after = stock_after(read_stock(file), movements)
    kept = movements_path(file)
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    if not kept.exists():
        table.writerow(MOVEMENT_COLUMNS)
    for one in movements:
        table.writerow((one.at, one.drawer, one.change, str(one.why), one.note))
    try:
        with kept.open("a", encoding="utf-8") as file_:
            file_.write(text.getvalue())
            file_.flush()
            os.fsync(file_.fileno())
    except OSError as error:
        raise UnreadableInput(
            str(kept), _("it cannot be written ({reason})", reason=error.strerror), _(_CANNOT_WRITE)
        ) from None
    return after


# -- rows --------------------------------------------------------------------------------------------------------------


def _snippet(faults: Faults, row: TableRow, drawers: dict[str, int]) -> Snippet | None:
    before = len(faults.found)
    drawer = parse_cell(faults, row, "drawer", drawer_from, "")
    if drawer and drawer.casefold() in drawers:
        faults.add(
            row.line,
            "drawer",
            _("drawer {drawer} is in row {line} already", drawer=drawer, line=drawers[drawer.casefold()]),
        )
    drawers.setdefault(drawer.casefold(), row.line)
    lab = tuple(parse_axis(faults, row, axis) for axis in "Lab")
    light = parse_cell(faults, row, "illuminant", lambda name: Conditions(name, D65_10.observer), D65_10)
    observer = parse_cell(faults, row, "observer", observer_from, D65_10.observer)
    count = parse_cell(faults, row, "count", _pieces, 0) if row["count"] else 0
    reorder_at = parse_cell(faults, row, "reorder_at", _pieces, 0) if row["reorder_at"] else None
    if len(faults.found) > before:
        return None
    try:
        conditions = Conditions(light.illuminant, observer)
        return Snippet(drawer, row["name"], (lab[0], lab[1], lab[2]), conditions, count, reorder_at)
    except TenterError as error:
        faults.add(row.line, "name", str(error))
        return None


def _pieces(text: str) -> int:
    found = _whole(text)
    if not 0 <= found <= LARGEST_DRAWER:
        raise ValueError(
            _(
                "{text} is not a number of pieces from 0 to {most}",
                text=as_typed(text),
                most=LARGEST_DRAWER,
            )
        )
    return found


def _whole(text: str) -> int:
    digits = text.removeprefix("-")
    if not (digits.isascii() and digits.isdecimal() and len(digits) < 10):
        raise ValueError(
            _("{text} is not a whole number", text=as_typed(text))
            if text
            else _("the cell is empty; a whole number is needed")
        )
    return int(text)


def _movement(faults: Faults, row: TableRow) -> Movement | None:
    before = len(faults.found)
    change = parse_cell(faults, row, "change", _whole, 0)
    why = parse_cell(faults, row, "why", why_from, MovementReason.COUNTED)
    if len(faults.found) > before:
        return None
    try:
        return Movement(row["drawer"], change, why, row["at"], row["note"])
    except TenterError as error:
        faults.add(row.line, "drawer", str(error))
        return None
