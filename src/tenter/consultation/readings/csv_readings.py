"""Readings in a CSV: commas, semicolons or tabs, decimal points or commas, with or without a byte order mark."""

import csv
import io
import re
from collections.abc import Sequence

from tenter.consultation.cloths.kit import KIT_OPTIONAL
from tenter.consultation.cloths.tables import TableRow, delimiter_of, read_table
from tenter.consultation.readings.cloth_reading import ClothReading
from tenter.consultation.readings.reading_rows import (
    CIRCUMSTANCES,
    SPACES,
    ReadingDefaults,
    RowsOfReadings,
    readings_of_rows,
)
from tenter.errors import UnreadableInput
from tenter.language import _

READING_COLUMNS = (
    "cloth",
    "id",
    *CIRCUMSTANCES,
    "illuminant",
    "observer",
    *dict.fromkeys(column for columns in SPACES.values() for column in columns),
)
_SUCH_AS = "cloth,day,L,a,b,illuminant,observer"
_WAVELENGTH = re.compile(r"(?:r|nm|spec|refl)?[_ ]?([0-9]{3}(?:[.,][0-9]+)?)(?: ?nm)?")  # 400, R400, nm_400, 400 nm
_OTHER_NAMES = {"date": "day", "drape": "cloth", "sample": "cloth", "l*": "L", "a*": "a", "b*": "b", "c*": "C"}
_OTHER_NAMES |= {"c*ab": "C", "h°": "h", "hab": "h", "h_ab": "h"}
_OF_A_KIT = ("name", *(name for name in KIT_OPTIONAL if name not in READING_COLUMNS))  # known, and of no reading


def csv_readings(text: str, source: str, defaults: ReadingDefaults) -> tuple[ClothReading, ...]:
    """Return the readings of CSV text; raises `UnreadableInput` naming every faulty row and column.

    A kit file is read too, one reading a cloth: its column id is then the cloth's, and where it hangs is not read.
    """
    if not text.strip():
        raise UnreadableInput(
            source, _("the file is empty"), _("Its first line names the columns, such as {such_as}.", such_as=_SUCH_AS)
        )
    delimiter = delimiter_of(text)
    headings = _headings(text, delimiter, source)
    names = [_called(heading) for heading in headings]
    spectrum = {name: float(name) for name in names if _WAVELENGTH.fullmatch(name)}
    rows = read_table(text, source, (), (*READING_COLUMNS, *_OF_A_KIT, *spectrum), delimiter=delimiter, called=_called)
    if "cloth" not in names and "id" not in names and not defaults.cloth:
        raise UnreadableInput(source, _("no column says which cloth was read"), _("It needs a column cloth."))
    if "cloth" not in names and "id" in names:
        rows = [_of_kit(row) for row in rows]
    return readings_of_rows(RowsOfReadings(source, rows, spectrum), defaults)


def _of_kit(row: TableRow) -> TableRow:
    """Return a row of a kit file as one of a reading: the place is where the cloth hangs, and says nothing of it."""
    return TableRow(row.line, {name: cell for name, cell in row.cells.items() if name not in ("place", "note")})


def _headings(text: str, delimiter: str, source: str) -> Sequence[str]:
    try:
        return next(iter(csv.reader(io.StringIO(text.lstrip("\r\n"), newline=""), delimiter=delimiter)), [])
    except csv.Error as error:
        raise UnreadableInput(
            source, _("not a CSV table ({error})", error=error), _("Save it as comma-separated UTF-8 text.")
        ) from None


def _called(heading: str) -> str:
    """Return a column's name by its heading: a wavelength in nm, L, a, b, C, h, X, Y, Z, or a word in small letters."""
    plain = heading.strip()
    if found := _WAVELENGTH.fullmatch(plain.lower()):
        return f"{float(found[1].replace(',', '.')):g}"
    if len(plain) == 1:
        return {"l": "L", "A": "a", "B": "b", "c": "C", "H": "h"}.get(plain, plain)
    small = plain.lower()
    return _OTHER_NAMES.get(small, small)
