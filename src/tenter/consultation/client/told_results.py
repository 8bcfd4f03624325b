"""Results from before, as clients or an old list tell them: a table of names, days, results as words, and notes.

They are hearsay here: no number is made of them, no prior, and no evidence.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from tenter.consultation.cloths.tables import Faults, TableRow, delimiter_of, parse_cell, read_table
from tenter.errors import TenterError
from tenter.given import given_text
from tenter.language import _, as_typed

TOLD_REQUIRED, TOLD_OPTIONAL = ("name", "date", "result"), ("note",)
# Characters: of a name, the width of a client's; of a result and a note, set by judgement.
_LONGEST_NAME, _LONGEST_RESULT, _LONGEST_NOTE = 120, 200, 1000
# What lists of clients call these columns, in English and German.
_ALSO_CALLED = {
    "name": ("client", "customer", "person", "kundin", "kunde", "klientin", "vor- und nachname"),
    "date": ("day", "when", "year", "datum", "tag", "jahr"),
    "result": ("season", "type", "colour type", "verdict", "ergebnis", "typ", "farbtyp", "jahreszeit"),
    "note": ("notes", "remark", "notiz", "notizen", "bemerkung"),
}
_EARLIEST_YEAR = 1900  # before it nobody was told a result whose client still comes


@dataclass(frozen=True, slots=True)
class ToldResult:
    """A row of the table. day: a year, a month or a day, as far as it is known: 2019, 2019-05 or 2019-05-12."""

    line: int
    name: str
    day: str
    result: str
    note: str = ""


def told_results(text: str, source: str, today: date) -> tuple[ToldResult, ...]:
    """Return the rows of a CSV, its cells parted by commas, semicolons or tabs.

    Raises `UnreadableInput` naming every faulty row and column, and then nothing is taken, and `TenterError` for what
    is no text.
    """
    delimiter = delimiter_of(given_text(text, _("a table of results"), needed=False))
    rows = read_table(text, source, TOLD_REQUIRED, TOLD_OPTIONAL, delimiter=delimiter, called=_heading)
    faults = Faults(source)
    found = [_result(faults, row, today) for row in rows]
    _refuse_doubled(faults, found)
    faults.raise_any()
    return tuple(found)


def _heading(text: str) -> str:
    said = text.strip().casefold()
    return next((column for column, others in _ALSO_CALLED.items() if said in others), said)


def _result(faults: Faults, row: TableRow, today: date) -> ToldResult:
    def cell(column: str, longest: int, *, needed: bool) -> str:
        return parse_cell(faults, row, column, lambda text: _words(text, longest, needed=needed), "")

    return ToldResult(
        row.line,
        cell("name", _LONGEST_NAME, needed=True),
        parse_cell(faults, row, "date", lambda text: _day(text, today), ""),
        cell("result", _LONGEST_RESULT, needed=True),
        cell("note", _LONGEST_NOTE, needed=False),
    )


def _words(text: str, longest: int, *, needed: bool) -> str:
    found = " ".join(text.split())
    if needed and not any(sign.isalpha() for sign in found):
        raise TenterError(_("words are missing here"))
    if len(found) > longest:
        raise TenterError(_("{count} characters came where {longest} fit", count=len(found), longest=longest))
    return found


def _day(text: str, today: date) -> str:
    """Return a day in ISO form, as exact as it was written; raises `TenterError` for what is none, or still to come."""
    dotted = re.fullmatch(r"(\d{1,2})\.(\d{1,2})\.(\d{4})", text)
    iso = f"{dotted[3]}-{dotted[2]:0>2}-{dotted[1]:0>2}" if dotted else text
    if not re.fullmatch(r"\d{4}(-\d{2}(-\d{2})?)?", iso, re.ASCII):
        raise TenterError(_("{text} is no date; write 2019-05-12, 12.05.2019, 2019-05 or 2019", text=as_typed(text)))
    try:
        first = date.fromisoformat(f"{iso}-01-01"[:10] if len(iso) < 10 else iso)
    except ValueError:
        raise TenterError(_("{text} is no day of the calendar", text=as_typed(text))) from None
    if not first.year >= _EARLIEST_YEAR or first > today:
        raise TenterError(_("{text} is not in the past; write the day of the result", text=as_typed(text)))
    return iso


def _refuse_doubled(faults: Faults, found: Sequence[ToldResult]) -> None:
    seen: dict[tuple[str, str, str], int] = {}
    for one in found:
        key = (one.name.casefold(), one.day, one.result.casefold())
        if all(key) and (first := seen.setdefault(key, one.line)) != one.line:
            faults.add(one.line, "result", _("row {line} says the same; leave one of them out", line=first))
