"""The headings of a table of cloths that somebody else made: which of our columns each may be, and their renaming."""

import csv
import io
import re
from collections.abc import Mapping, Sequence

from tenter.consultation.cloths.kit import KIT_OPTIONAL, KIT_REQUIRED
from tenter.consultation.cloths.kit_rows import KIT_COLUMNS
from tenter.consultation.cloths.tables import delimiter_of

# What others call our columns, in small letters and digits alone.
_ALSO_CALLED: dict[str, tuple[str, ...]] = {
    "id": ("number", "no", "nr", "nummer", "cloth", "drape", "code", "clothnumber", "drapenumber", "label"),
    "name": ("colour", "color", "colourname", "colorname", "clothname", "title", "farbe", "bezeichnung", "farbname"),
    "L": ("lightness", "ciel", "lstar", "labl", "helligkeit"),
    "a": ("ciea", "astar", "laba"),
    "b": ("cieb", "bstar", "labb"),
    "illuminant": ("light", "lightsource", "licht", "lichtart"),
    "observer": ("angle", "observerangle", "beobachter"),
    "hue_family": ("hue", "family", "farbton", "buntton"),
    "group": ("season", "set", "gruppe", "farbtyp"),
    "role": ("test", "use", "zweck"),
    "notes": ("note", "remark", "remarks", "comment", "comments", "bemerkung", "bemerkungen", "notiz", "notizen"),
    "undertone": ("temperature", "unterton"),
    "place": (
        "rail",
        "rack",
        "location",
        "drawer",
        "box",
        "hangs",
        "ort",
        "platz",
        "stange",
        "schrank",
        "fach",
        "schublade",
    ),
    "bench_only": ("benchonly", "compareonly"),
}


def headings_of(text: str) -> tuple[list[str], list[str]]:
    """Return the headings of a table and the cells of its first row below, both as many as there are headings."""
    lines = [line for line in _lines(text) if any(line)][:2]
    header, first = [*lines, [], []][:2]
    return header, [*first, *[""] * len(header)][: len(header)]


def is_named_otherwise(text: str) -> bool:
    """Whether a table of two columns or more and a row has headings that a kit file does not have."""
    header, _ = headings_of(text)
    if len(header) < 2 or len([line for line in _lines(text) if any(line)]) < 2:
        return False
    known = {*KIT_REQUIRED, *KIT_OPTIONAL}
    return len(set(header)) < len(header) or not set(KIT_REQUIRED) <= set(header) <= known


def columns_by_heading(header: Sequence[str]) -> dict[str, int]:
    """Return the place, from 0, of the first heading that may be each of our columns."""
    found: dict[str, int] = {}
    for column in KIT_COLUMNS:
        names = {_plain(column), *_ALSO_CALLED[column]}
        at = [i for i, name in enumerate(header) if name == column or _plain(name) in names]
        if at:
            found[column] = at[0]
    return found


def renamed(text: str, chosen: Mapping[str, int], fixed: Mapping[str, str]) -> str:
    """Return a table with our headings, its rows in the same lines so that a fault is found in the old file too.

    chosen: the place, from 0, of each of our columns. fixed: what a column that it does not have says in every row.
    """
    columns = [*chosen, *fixed]
    written = io.StringIO()
    table = csv.writer(written, delimiter=delimiter_of(text), lineterminator="\n")
    below = False
    for line in _lines(text):
        if not any(line):
            written.write("\n")
        elif not below:
            below = True
            table.writerow(columns)
        else:
            table.writerow([*(line[at] if at < len(line) else "" for at in chosen.values()), *fixed.values()])
    return written.getvalue()


def _lines(text: str) -> list[list[str]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter_of(text))
    return [[cell.strip() for cell in line] for line in reader]


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9]", "", name.casefold())
