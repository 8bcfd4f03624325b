"""Reading a CSV so that either every row is good or each fault is named by row and column and nothing is kept."""

import csv
import io
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from importlib.resources import files
from pathlib import Path
from typing import TypeVar

from tenter.errors import TenterError, UnreadableInput
from tenter.language import N_, _, as_typed, in_a_row

T = TypeVar("T")
_DELIMITERS = (";", "\t", ",")
_MOST_FAULTS_SHOWN = 12  # rows named in one message: a screen full
_MARKS = ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))  # byte order marks of what is no UTF-8
_LARGEST_BYTES = 20_000_000  # a kit of 1,000 cloths is a tenth of a megabyte


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row of a table: its line in the file, and its cells stripped of surrounding space."""

    line: int
    cells: Mapping[str, str]

    def __getitem__(self, column: str) -> str:
        return self.cells.get(column, "")


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one cell of a table, in the language of the moment. line: of the file, from 1."""

    line: int
    column: str
    problem: str

    def __str__(self) -> str:
        return _("row {line}, column {column}: {problem}", line=self.line, column=self.column, problem=self.problem)


class FaultyRows(UnreadableInput):
    """A table with faults, each of one cell; the message names as many as a screen shows."""

    def __init__(self, source: str, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        said = "; ".join(self.lines())
        super().__init__(source, said, _("Nothing was loaded; correct the rows named and read it again."))

    def lines(self, called: Callable[[str], str] = str) -> list[str]:
        """Return as many faults as a screen shows, the last with how many follow. called: what a column is called."""
        shown = [str(replace(fault, column=called(fault.column))) for fault in self.faults[:_MOST_FAULTS_SHOWN]]
        more = len(self.faults) - len(shown)
        return [*shown[:-1], _("{faults}; and {more} more", faults=shown[-1], more=more)] if more else shown


@dataclass(slots=True)
class Faults:
    """Collects what is wrong with a file, to be said all at once."""

    source: str
    found: list[Fault] = field(default_factory=list)

    def add(self, line: int, column: str, problem: str) -> None:
        """Note a fault of one cell."""
        self.found.append(Fault(line, column, problem))

    def raise_any(self) -> None:
        """Raise `FaultyRows` with every fault, if there is one."""
        if self.found:
            raise FaultyRows(self.source, self.found)


def read_content(path: Path) -> bytes:
    """Return what is in a file, or raise `UnreadableInput` where there is none or it is no short table."""
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise UnreadableInput(
                str(path), _("the file is larger than 20 MB"), _("A kit or ledger is a short table of text.")
            )
        return path.read_bytes()
    except FileNotFoundError:
        raise UnreadableInput(str(path), _("there is no such file"), _("Check the path.")) from None
    except OSError as error:
        raise UnreadableInput(
            str(path), _("it cannot be opened ({reason})", reason=error.strerror), _("Check the path.")
        ) from error


def read_text(path: Path) -> str:
    """Return a text file, as `text_in` does, or raise `UnreadableInput` saying what it is instead."""
    return text_in(read_content(path), str(path))


def text_in(content: bytes, source: str) -> str:
    """Return the text of a file's content: UTF-8, or UTF-16 with a byte order mark; else raise `UnreadableInput`."""
    encoding = next((name for mark, name in _MARKS if content.startswith(mark)), "utf-8-sig")
    try:
        return content.decode(encoding)
    except UnicodeDecodeError:
        raise UnreadableInput(
            source, _("the text is not UTF-8"), _("Save it as 'CSV UTF-8' and read it again.")
        ) from None


def json_of(text: str, source: str, remedy: str) -> object:
    """Return what a JSON text says, or raise `UnreadableInput` with where it breaks off being JSON."""
    try:
        found: object = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise UnreadableInput(source, _("not JSON ({error})", error=error), remedy) from None
    return found


def bundled_table(name: str, columns: Sequence[str]) -> list[TableRow]:
    """Return the rows of a table of our own in `consultation/data`, whose head of `#` lines says where it is from."""
    text = (files("tenter.consultation") / "data" / name).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return read_table("\n".join(lines), name, columns, ())


def read_table(
    text: str,
    source: str,
    required: Sequence[str],
    optional: Sequence[str],
    may_be_empty: bool = False,
    delimiter: str = ",",
    called: Callable[[str], str] = str.strip,
) -> list[TableRow]:
    """Return the rows of a comma-separated table with a header line; blank lines are passed over.

    may_be_empty: whether a header without a row below it will do. called: the name of a column by what its heading is.

    Raises
    ------
    UnreadableInput
        If a required column is missing, a column is unknown or doubled, a row is too long, or there is no row where
        one is needed.
    """
    if "\0" in text:
        raise UnreadableInput(source, _("there is a NUL byte in it"), _("Save it as comma-separated UTF-8 text."))
    try:
        lines = list(_numbered_lines(text, delimiter))
    except csv.Error as error:
        raise UnreadableInput(
            source, _("not a CSV table ({error})", error=error), _("Save it as comma-separated UTF-8 text.")
        ) from None
    if not lines:
        raise UnreadableInput(
            source, _("the file is empty"), _("It needs a header line: {names}.", names=",".join(required))
        )
    header = [called(name) for name in lines[0][1]]
    _check_header(header, source, required, optional)
    faults = Faults(source)
    rows = []
    for number, cells in lines[1:]:
        if len(cells) > len(header):
            faults.add(
                number,
                str(len(header) + 1),
                _("{count} cells came where the header has {fields}", count=len(cells), fields=len(header)),
            )
        rows.append(TableRow(number, dict(zip(header, (c.strip() for c in cells), strict=False))))
    faults.raise_any()
    if not rows and not may_be_empty:
        raise UnreadableInput(source, _("there is no row below the header"), _("Add at least one."))
    return rows


def delimiter_of(text: str) -> str:
    """Return what separates the cells of a table: the semicolon, tab or comma that its first line has most of."""
    header = next((line for line in text.splitlines() if line.strip()), "")
    return max(_DELIMITERS, key=header.count)


def _numbered_lines(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    for cells in reader:
        if any(c.strip() for c in cells):
            yield reader.line_num, cells


def _check_header(header: list[str], source: str, required: Sequence[str], optional: Sequence[str]) -> None:
    known = (*required, *optional)
    missing = [name for name in required if name not in header]
    unknown = [name for name in header if name not in known]
    doubled = sorted({name for name in header if header.count(name) > 1})
    if missing and len(header) == 1 and ";" in header[0]:
        raise UnreadableInput(
            source, _("the cells are separated by semicolons"), _("Save it with commas between the cells.")
        )
    for names, problem in (
        (missing, N_("missing column(s): {names}")),
        (doubled, N_("columns named twice: {names}")),
        (unknown, N_("unknown column(s): {names}")),
    ):
        if names:
            said = _(problem, names=in_a_row([as_typed(name) for name in names]))
            raise UnreadableInput(source, said, _("The columns are {names}.", names=in_a_row(known)))


def parse_cell(faults: Faults, row: TableRow, column: str, parse: Callable[[str], T], fallback: T) -> T:
    """Return a parsed cell; on a fault note it and return the fallback, so that the other cells are looked at too."""
    try:
        return parse(row[column])
    except (TenterError, ValueError) as error:
        faults.add(row.line, column, str(error))
        return fallback


def parse_number(text: str) -> float:
    """Return a finite number written with a decimal point, in whatever units its column has, within ±1e6.

    Raises `ValueError` for an empty cell, a comma, anything that is no number, and a number beyond that.
    """
    if "," in text:
        raise ValueError(_("{text} has a comma; write the number with a decimal point", text=as_typed(text)))
    try:
        value = float(text if "_" not in text else "")
    except ValueError:
        raise ValueError(
            _("{text} is not a number", text=as_typed(text)) if text else _("the cell is empty; a number is needed")
        ) from None
    if not -1e6 < value < 1e6:  # also false for NaN
        raise ValueError(_("{text} is not a usable number", text=as_typed(text)))
    return value
