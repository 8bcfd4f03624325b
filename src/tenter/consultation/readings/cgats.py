"""CGATS.17 text and its kin (.ti3, .sp): keywords, and tables whose fields are named.

Source: ANSI CGATS.17 / ISO 28178, Exchange format for colour and process control data, from memory; the kin as
ArgyllCMS's general-purpose tools write them, by files of theirs (tests/data/argyll) and from memory.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from tenter.consultation.cloths.tables import Faults
from tenter.errors import UnreadableInput
from tenter.language import N_, _, in_a_row

_AGAIN = N_("Nothing was read; export the file again.")
_TOKEN = re.compile(r'"((?:[^"]|"")*)"|#.*|(\S+)')  # in quotes two quotes are one; a # begins a remark
_KNOWN_KINDS = re.compile(r"CGATS(\.\d+)?|CTI[1-3]|SPECT|CCSS|CCMX|IT8\.7/\d|ISO\d+|CAL|LGOROWLENGTH|ECI2002")
_MOST_DIGITS = 9  # of the number of rows
_MARKS = ("BEGIN_DATA_FORMAT", "END_DATA_FORMAT", "BEGIN_DATA", "END_DATA")


@dataclass(frozen=True, slots=True)
class CgatsTable:
    """One table. kind: the file's first word. rows: their cells, one for each field; lines: where each row begins.

    keywords: what was said before the table, by keyword; what is said more than once keeps every value.
    """

    kind: str
    keywords: Mapping[str, tuple[str, ...]]
    fields: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]

    def said(self, *names: str) -> str:
        """Return the first value of the first of these keywords that has one, or an empty text."""
        return next((value for name in names for value in self.keywords.get(name, ()) if value.strip()), "").strip()


def looks_like_cgats(text: str) -> bool:
    """Whether a text begins as a CGATS file or its kin does."""
    first = next((words[0] for line in text.splitlines() if (words := _tokens(line))), "")
    return bool(_KNOWN_KINDS.fullmatch(first)) or "BEGIN_DATA_FORMAT" in text


def parse_cgats(text: str, source: str) -> tuple[CgatsTable, ...]:
    """Return the tables of CGATS text, in their order.

    Raises
    ------
    UnreadableInput
        If there is no table, one breaks off, or a row has not a cell for each field; faulty rows are named.
    """
    lines = [(number, words) for number, line in enumerate(text.splitlines(), 1) if (words := _tokens(line))]
    if not lines:
        raise UnreadableInput(source, _("the file is empty"), _(_AGAIN))
    reader = _Reader(source, lines)
    tables = tuple(reader.tables())
    if not tables:
        raise UnreadableInput(
            source, _("there is no table in it (BEGIN_DATA), or the file breaks off before it"), _(_AGAIN)
        )
    return tables


class _Reader:
    """Goes through the lines of a file once."""

    def __init__(self, source: str, lines: Sequence[tuple[int, list[str]]]) -> None:
        self.source, self.lines, self.place = source, lines, 0
        self.kind, self.ended = "", False

    def tables(self) -> Iterator[CgatsTable]:
        keywords: dict[str, tuple[str, ...]] = {}
        fields: tuple[str, ...] = ()
        while self.place < len(self.lines):
            number, (word, *values) = self.lines[self.place]
            self.place += 1
            if word == "BEGIN_DATA_FORMAT":
                fields = tuple(cell for _, cells in self._until("END_DATA_FORMAT", number) for cell in cells)
                self._check_fields(fields, number)
            elif word == "BEGIN_DATA":
                if not fields:
                    raise UnreadableInput(
                        self.source, _("row {number}: the table has no fields", number=number), _(_AGAIN)
                    )
                yield self._table(keywords, fields, number)
                keywords = {}
            elif _KNOWN_KINDS.fullmatch(word) and not values:
                self.kind = word
            elif word != "KEYWORD":
                keywords[word] = (*keywords.get(word, ()), " ".join(values))
        if fields and not self.ended:
            raise UnreadableInput(self.source, _("the file breaks off before the rows of its table"), _(_AGAIN))

    def _until(self, mark: str, begun: int) -> list[tuple[int, list[str]]]:
        """Return the lines up to a mark, and go behind it."""
        for place in range(self.place, len(self.lines)):
            words = self.lines[place][1]
            if words[0] == mark:
                found = list(self.lines[self.place : place])
                self.place = place + 1
                return found
            if words[0] in _MARKS:
                break
        raise UnreadableInput(
            self.source,
            _("the file breaks off: row {begun} begins what no {mark} ends", begun=begun, mark=mark),
            _(_AGAIN),
        )

    def _check_fields(self, fields: tuple[str, ...], number: int) -> None:
        twice = sorted({name for name in fields if fields.count(name) > 1})
        if twice:
            raise UnreadableInput(
                self.source,
                _("row {number}: field named twice: {names}", number=number, names=in_a_row(twice[:4])),
                _(_AGAIN),
            )

    def _table(self, keywords: Mapping[str, tuple[str, ...]], fields: tuple[str, ...], begun: int) -> CgatsTable:
        body = self._until("END_DATA", begun)
        self.ended = True
        said = next((value.strip() for value in keywords.get("NUMBER_OF_SETS", ())), "")
        promised = int(said) if said.isdecimal() and len(said) < _MOST_DIGITS else None
        rows, lines = self._rows(body, len(fields), promised)
        if promised not in (None, len(rows)):
            raise UnreadableInput(
                self.source,
                _(
                    "the file says that it has {promised} rows and has {count}; it was cut off",
                    promised=promised,
                    count=len(rows),
                ),
                _(_AGAIN),
            )
        return CgatsTable(self.kind, dict(keywords), fields, rows, lines)

    def _rows(
        self, body: Sequence[tuple[int, list[str]]], width: int, promised: int | None
    ) -> tuple[tuple[tuple[str, ...], ...], tuple[int, ...]]:
        """Return the rows and where they begin: one a line, or over several lines where their number is promised."""
        odd = [(number, len(cells)) for number, cells in body if len(cells) != width]
        cells = [(number, cell) for number, line in body for cell in line]
        if odd and len(cells) != width * (promised or 0):
            faults = Faults(self.source)
            for number, count in odd:
                faults.add(
                    number,
                    str(min(count, width) + 1),
                    _("{count} cells came where there are {width} fields", count=count, width=width),
                )
            faults.raise_any()
        chunks = [cells[k : k + width] for k in range(0, len(cells), width)]
        return tuple(tuple(cell for _, cell in chunk) for chunk in chunks), tuple(chunk[0][0] for chunk in chunks)


def _tokens(line: str) -> list[str]:
    """Return the words of a line; a text in quotes is one word, which may be empty."""
    found = []
    for match in _TOKEN.finditer(line):
        quoted, plain = match.groups()
        if quoted is not None:
            found.append(quoted.replace('""', '"'))
        elif plain is not None:
            found.append(plain)
    return found
