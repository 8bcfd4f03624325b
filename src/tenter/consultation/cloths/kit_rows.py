"""A kit file as rows of words: read before it is a kit, cloth by cloth, and written again with the columns of a kit."""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from tenter.consultation.cloths.kit import KIT_OPTIONAL, KIT_REQUIRED, Kit, with_points
from tenter.consultation.cloths.tables import FaultyRows, delimiter_of, read_table
from tenter.errors import TenterError, UnreadableInput

_FIRST, _LAST = ("id", "name", "L", "a", "b", "place"), ("notes", "illuminant", "observer")
KIT_COLUMNS = (*_FIRST, "hue_family", "undertone", "role", "group", "bench_only", *_LAST)  # as we write them
EXAMPLE = "EXAMPLE"  # how the number of a row that only shows the form begins
_EXAMPLES = (
    (f"{EXAMPLE}-1", "Orchard peach (example: delete this row)", "82.1", "15.7", "25.5", "rail A"),
    (f"{EXAMPLE}-2", "Cocoa ash (example: delete this row)", "52.2", "7.7", "3.9", "rail B"),
)


def kit_rows(text: str, source: str = "kit") -> list[dict[str, str]]:
    """Return the cells of each cloth of a kit file by column, in its order; none where there is only a header.

    Decimal commas become points, whatever separates the cells. Raises `UnreadableInput` for what is no such table.
    """
    delimiter = delimiter_of(text)
    rows = read_table(text, source, KIT_REQUIRED, KIT_OPTIONAL, may_be_empty=True, delimiter=delimiter)
    return [dict((row if delimiter == "," else with_points(row)).cells) for row in rows]


def kit_text(rows: Iterable[Mapping[str, str]]) -> str:
    """Return the kit file of cells by column, with commas, decimal points and every column of a kit."""
    written = io.StringIO()
    table = csv.DictWriter(written, KIT_COLUMNS, restval="", lineterminator="\n")
    table.writeheader()
    table.writerows(rows)
    return written.getvalue()


def kit_template() -> str:
    """Return a kit file to fill in: the columns, and two rows marked as examples."""
    light = {"illuminant": "D65", "observer": "10"}
    return kit_text(dict(zip(_FIRST, cells, strict=True)) | light for cells in _EXAMPLES)


def example_rows(ids: Sequence[str]) -> list[int]:
    """Return which of a kit file's cloths, counted from 1, are the template's examples by their ids."""
    return [place for place, name in enumerate(ids, start=1) if name.upper().startswith(EXAMPLE)]


def row_faults(cells: Mapping[str, str]) -> list[tuple[str, str]]:
    """Return what is wrong with one cloth as a kit file's row: the column at fault and the problem, a pair each."""
    try:
        Kit.parse(kit_text([cells]))
    except FaultyRows as error:
        return [(fault.column, fault.problem) for fault in error.faults]
    except UnreadableInput as error:
        return [("id", error.problem)]
    except TenterError as error:
        return [("id", str(error))]
    return []
