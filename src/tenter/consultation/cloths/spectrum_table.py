"""A spectrum as programs write it: a table of wavelengths and values, a pair a line, told apart from what is no pair.

The one reader of such tables, of surfaces and of lights alike: each fault names its row, and nothing is skipped.
"""

import re

from tenter.consultation.cloths.tables import Faults
from tenter.errors import UnreadableInput
from tenter.language import N_, _, as_typed

_TOO_MANY = N_(
    "{count} cells came where two are wanted; keep one spectrum, and decimal commas only with semicolons between"
)
_NUMBER = re.compile(r"[-+−]?(\d+([.,]\d*)?|[.,]\d+)([eE][-+]?\d+)?")


def spectrum_pairs(text: str, source: str, value: str, remedy: str) -> tuple[list[float], list[float]]:
    """Return the wavelengths in nm, n of them, and the n values of a table, as they came.

    Semicolons, tabs, commas or spaces separate; where they are no commas, a comma may be the decimal sign. Lines above
    the first pair are headings; a line that begins with # is a remark. value: what stands beside a wavelength, for the
    error, as "a power". remedy: what is said to do.

    Raises
    ------
    UnreadableInput
        If a row below the headings is no pair, or there is none.
    """
    if "\0" in text:
        raise UnreadableInput(source, _("there is a NUL byte in it"), remedy)
    faults, nm, values = Faults(source), [], []
    for row, line in enumerate(text.splitlines(), 1):
        cells = _cells(line)
        if not cells or line.lstrip().startswith("#"):
            continue
        pair = [number_in(cell) for cell in cells[:2]]
        if len(pair) == 2 and pair[0] is not None and pair[1] is not None:
            nm.append(pair[0])
            values.append(pair[1])
            if len(cells) > 2:
                faults.add(row, "3", _(_TOO_MANY, count=len(cells)))
        elif nm:
            column = "1" if pair[0] is None else "2"
            shown = cells[int(column) - 1] if len(cells) >= int(column) else ""
            faults.add(
                row,
                column,
                _("{text} is not a number", text=as_typed(shown))
                if shown
                else _("the cell is empty; a number is needed"),
            )
    faults.raise_any()
    if not nm:
        raise UnreadableInput(source, _("no line holds a wavelength and {value}", value=value), remedy)
    return nm, values


def number_in(cell: str) -> float | None:
    """Return the number of a cell, its decimal sign a point or a comma, or None where it is none; of any unit."""
    text = cell.strip().replace("−", "-")
    return float(text.replace(",", ".")) if _NUMBER.fullmatch(text) else None


def _cells(line: str) -> list[str]:
    separator = next((sign for sign in ";\t" if sign in line), None)
    if separator is None and "," in line:
        separator = ","
    cells = [cell.strip().strip('"') for cell in (line.split(separator) if separator else line.split())]
    while cells and not cells[-1]:
        cells.pop()
    return cells
