"""A cloth's colour as somebody types or pastes it, and pasted rows of cloths, each read for itself.

A hex code is a screen's colour under D65/2°, from whoever chose it: the cloth's notes say that nothing was measured.
"""

import csv
import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_2, Colours, Conditions
from tenter.colorimetry.spaces import lch_to_lab, srgb_to_lab
from tenter.consultation.cloths.column_names import columns_by_heading
from tenter.consultation.cloths.kit import PLAUSIBLE_LAB
from tenter.consultation.cloths.kit_rows import row_faults
from tenter.consultation.cloths.tables import delimiter_of, parse_number
from tenter.errors import TenterError
from tenter.language import _, all_of, as_written

HEX_NOTE = "from a hex code, not measured"
_HEX = re.compile(r"#?([0-9a-f]{6})", re.IGNORECASE)
_WHITE_CODE = 255  # the highest value of a colour's two hex digits
_ORDER = ("id", "name", "L", "a", "b", "place")  # of a pasted row without headings


class TypedAs(StrEnum):
    """What the numbers of a typed colour are."""

    LAB = "Lab"
    LCH = "LCh"
    HEX = "hex"


@dataclass(frozen=True, slots=True)
class PastedCloth:
    """A pasted row: its line from 1, its text, its cells as a kit file has them, and what is wrong with it."""

    line: int
    text: str
    cells: Mapping[str, str]
    faults: tuple[str, ...]


def typed_colour(text: str, given_as: TypedAs, conditions: Conditions) -> FloatArray:
    """Return the CIELAB (3,) of a typed colour under a kit's light and observer.

    text: three numbers with spaces, semicolons or commas between them, or a hex code.

    Raises
    ------
    TenterError
        If there are not three numbers or no hex code, or no cloth can have the colour.
    """
    if given_as is TypedAs.HEX:
        found: FloatArray = Colours(np.array([_screen_lab(text)]), D65_2).under(conditions).lab[0]
        return found
    first, second, third = _three(text, given_as)
    if given_as is TypedAs.LCH:
        if second < 0:
            raise TenterError(_("C* is {chroma}, but it cannot be below 0", chroma=as_written(f"{second:g}")))
        if not 0 <= third <= 360:  # degrees
            raise TenterError(_("the hue angle h is {hue}, but it is from 0 to 360", hue=as_written(f"{third:g}")))
        first, second, third = lch_to_lab((first, second, third))
    for value, (axis, (low, high)) in zip((first, second, third), PLAUSIBLE_LAB.items(), strict=True):
        if not low <= value <= high:
            raise TenterError(
                _(
                    "{axis}* would be {value}, but it is from {low} to {high} for a cloth",
                    axis=axis,
                    value=as_written(f"{value:g}"),
                    low=as_written(f"{low:g}"),
                    high=as_written(f"{high:g}"),
                )
            )
    return np.array((first, second, third), dtype=float)


def colour_cells(lab: FloatArray) -> dict[str, str]:
    """Return the cells L, a and b of a Lab value (3,), to two decimals."""
    return {axis: f"{round(value, 2) + 0.0:.2f}" for axis, value in zip("Lab", lab.tolist(), strict=True)}


def pasted_cloths(
    text: str,
    given_as: TypedAs,
    conditions: Conditions,
    taken: Collection[str],
    called: Callable[[str], str] = str,
) -> tuple[PastedCloth, ...]:
    """Return the rows that were pasted, each with its own faults.

    With headings in the first line its cells are told by them; else they are number, name, three numbers or a hex code,
    and place.

    taken: the ids of the cloths that are there already. called: the name of a column by what its heading is.
    """
    lines = [(number, line) for number, line in enumerate(text.splitlines(), start=1) if line.strip()]
    delimiter = delimiter_of(text)
    cells = [[cell.strip() for cell in next(csv.reader([line], delimiter=delimiter))] for _number, line in lines]
    known = columns_by_heading(cells[0]) if cells else {}
    headed = {"id", "L"} <= set(known)
    found, seen = [], set(taken)
    for (number, line), row in list(zip(lines, cells, strict=True))[headed:]:
        named = {column: row[at] for column, at in known.items() if at < len(row)} if headed else _in_order(row)
        one = _pasted(number, line, named, given_as, conditions, seen, called)
        seen.add(one.cells.get("id", ""))
        found.append(one)
    return tuple(found)


def _pasted(
    line: int,
    text: str,
    named: Mapping[str, str],
    given_as: TypedAs,
    conditions: Conditions,
    seen: Collection[str],
    called: Callable[[str], str],
) -> PastedCloth:
    light = {"illuminant": conditions.illuminant, "observer": str(conditions.observer)}
    cells = {"name": named.get("id", ""), **{k: v for k, v in named.items() if v}, **light}
    colour = " ".join(cells.pop(axis, "") for axis in "Lab").strip()
    faults = [] if cells.get("id") else [_("column number: the cell is empty")]
    if cells.get("id", "") in seen:
        faults.append(_("column number: {id} is there already", id=cells["id"]))
    try:
        if colour:
            space = TypedAs.HEX if colour.startswith("#") else given_as
            cells |= colour_cells(typed_colour(colour, space, conditions))
            cells |= {"notes": _with_hex_note(cells.get("notes", ""))} if space is TypedAs.HEX else {}
    except TenterError as error:
        faults.append(_("column colour: {problem}", problem=error))
    else:
        found = row_faults(cells) if not faults else []
        faults += [_("column {column}: {problem}", column=called(column), problem=problem) for column, problem in found]
    return PastedCloth(line, text, cells, tuple(faults))


def _with_hex_note(notes: str) -> str:
    return " · ".join(part for part in (HEX_NOTE, notes) if part and (part == HEX_NOTE or HEX_NOTE not in notes))


def _in_order(row: Sequence[str]) -> dict[str, str]:
    if len(row) > 2 and row[2].startswith("#"):
        return dict(zip(("id", "name", "L", "place"), row, strict=False))
    return dict(zip(_ORDER, row, strict=False))


def _screen_lab(text: str) -> FloatArray:
    found = _HEX.fullmatch(text.strip())
    if not found:
        raise TenterError(_("“{text}” is no hex code. Type six letters or digits, such as #e8b4a0", text=text))
    return srgb_to_lab(np.array(tuple(bytes.fromhex(found[1]))) / _WHITE_CODE)


def _three(text: str, given_as: TypedAs) -> tuple[float, float, float]:
    said = text.replace("−", "-").strip()
    spaced = re.search(r"[;\s]", said)
    parts = [part.strip(",") for part in re.split(r"[;\s]+", said)] if spaced else said.split(",")
    parts = [part.replace(",", ".") for part in parts if part]
    names = all_of(("L*", "C*", "h") if given_as is TypedAs.LCH else ("L*", "a*", "b*"))
    if not any(sign.isdecimal() for sign in text):
        told = _("“{text}” has no number in it. Type {names} as an instrument shows them", text=text, names=names)
        raise TenterError(told)
    if len(parts) != len(given_as):
        raise TenterError(
            _(
                "“{text}” has {count} of three numbers. Type {names} with spaces between them",
                text=text,
                count=len(parts),
                names=names,
            )
        )
    try:
        first, second, third = map(parse_number, parts)
    except ValueError as error:
        raise TenterError(str(error)) from None
    return first, second, third
