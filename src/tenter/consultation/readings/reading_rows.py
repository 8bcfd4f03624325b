"""Rows of cells made into readings, whatever format they came in: every row is good, or each fault is named.

A row gives a colour as a spectrum, Lab, LCh or XYZ; where it gives several, the first of these is read.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from tenter.colorimetry.illuminants import illuminant_power, observer_from
from tenter.colorimetry.measurement import D65_10, Conditions
from tenter.colorimetry.reflectance import ImpossibleSurface
from tenter.consultation.cloths.tables import Faults, TableRow, parse_cell, parse_number
from tenter.consultation.readings.cloth_reading import (
    MOST_FOLDS,
    ClothReading,
    GivenAs,
    ReadingCircumstances,
    cloth_name,
    labs_under,
    spectral_reading,
)
from tenter.consultation.readings.given_colour import (
    check_wavelengths,
    lab_given,
    reflectance_given,
    reflectance_words,
    shared_scale,
)
from tenter.errors import TenterError
from tenter.given import NumberOutside
from tenter.language import N_, _, as_typed

SPACES = {GivenAs.LAB: ("L", "a", "b"), GivenAs.LCH: ("L", "C", "h"), GivenAs.XYZ: ("X", "Y", "Z")}
# The column of a number at fault by its name in the message; L*, a* and b* of LCh and XYZ are those that they become.
_COLUMN_OF = {
    GivenAs.LAB: {"L*": "L", "a*": "a", "b*": "b"},
    GivenAs.LCH: {"L*": "L", "C*": "C", N_("the hue angle h"): "h", "a*": "C", "b*": "C"},
    GivenAs.XYZ: {"X": "X", "Y": "Y", "Z": "Z", "L*": "Y", "a*": "X", "b*": "Z"},
}
CIRCUMSTANCES = ("day", "time", "instrument", "backing", "folds", "direction", "place", "uv", "note")


@dataclass(frozen=True, slots=True)
class ReadingDefaults:
    """What holds for a file where the file says nothing.

    how: day and circumstances. conditions: light and observer of its Lab, LCh and XYZ. cloth: what was read, for a file
    of one reading that names none.
    """

    how: ReadingCircumstances
    conditions: Conditions | None = None
    cloth: str = ""


@dataclass(frozen=True, slots=True)
class RowsOfReadings:
    """Rows as a format gives them. spectrum: the wavelength in nm of each column of the spectrum, in their order.

    scale, xyz_scale: what spectra and XYZ are multiplied by; None where the numbers tell.
    """

    source: str
    rows: Sequence[TableRow]
    spectrum: Mapping[str, float]
    scale: float | None = None
    xyz_scale: float | None = None


def readings_of_rows(given: RowsOfReadings, defaults: ReadingDefaults) -> tuple[ClothReading, ...]:
    """Return a reading for each row; raises `UnreadableInput` naming every faulty row and column."""
    faults = Faults(given.source)
    readings = good_readings(faults, given, defaults)
    faults.raise_any()
    return readings


def good_readings(faults: Faults, given: RowsOfReadings, defaults: ReadingDefaults) -> tuple[ClothReading, ...]:
    """Return a reading for each row that is good, and note what is wrong with the others."""
    if not _has_good_wavelengths(faults, given):
        return ()
    _check_ids(faults, given.rows)
    conditions = _shared_conditions(faults, given.rows, defaults)
    numbers = [_numbers(faults, row, given.spectrum) for row in given.rows]
    if conditions is None and not _need_no_light(faults, given.rows, numbers):
        return ()
    scales = _scales(given, numbers)
    readings = []
    for row, (space, values) in zip(given.rows, numbers, strict=True):
        named = row["cloth"] or row["id"] or defaults.cloth
        cloth = parse_cell(faults, row, "cloth", partial(_or_else, cloth_name, named), "")
        how = _how(faults, row, defaults.how)
        try:
            if values and cloth:
                readings.append(_reading(given, conditions, row, cloth, how, space, values, scales[space]))
        except TenterError as error:
            faults.add(row.line, _where(space, given, error), str(error))
    return tuple(readings)


def require_surfaces(readings: Sequence[ClothReading], source: str) -> None:
    """Raise `UnreadableInput` where a colour is no surface's, naming its row: it could never be converted."""
    colours = [one for one in readings if one.reflectance is None]
    for one in {one.conditions for one in colours}:
        own = [reading for reading in colours if reading.conditions == one]
        other = D65_10 if one != D65_10 else Conditions("A", D65_10.observer)
        try:
            labs_under(own, other)
        except ImpossibleSurface as error:
            faults = Faults(source)
            faults.add(own[int(error.rows[0])].row, "L", str(error))
            faults.raise_any()


def _or_else(parse: Callable[[str], str], otherwise: str, text: str) -> str:
    if not text and not otherwise:
        raise TenterError(_("the cell is empty; name the cloth that was read"))
    return parse(text or otherwise)


def _how(faults: Faults, row: TableRow, shared: ReadingCircumstances) -> ReadingCircumstances:
    """Return how a row's reading was taken: its own word, or else what holds for the file."""
    how = shared
    for name in CIRCUMSTANCES:
        if row[name]:
            how = parse_cell(faults, row, name, partial(_with, how, name), how)
    return how


def _with(how: ReadingCircumstances, name: str, text: str) -> ReadingCircumstances:
    said: Any = _folds(text) if name == "folds" else text
    return replace(how, **{name: said})


def _folds(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and 0 < int(text[:9]) <= MOST_FOLDS):
        raise TenterError(_("{text} is no number of folds from 1 to {most}", text=as_typed(text), most=MOST_FOLDS))
    return int(text)


def _has_good_wavelengths(faults: Faults, given: RowsOfReadings) -> bool:
    """Whether the columns of the spectrum, where there are some, cover what is seen; notes a fault otherwise."""
    try:
        if given.spectrum:
            check_wavelengths(sorted(given.spectrum.values()))
    except TenterError as error:
        faults.add(given.rows[0].line if given.rows else 1, next(iter(given.spectrum)), str(error))
        return False
    return True


def _need_no_light(faults: Faults, rows: Sequence[TableRow], numbers: Sequence[tuple[GivenAs, list[float]]]) -> bool:
    """Whether every colour of a file is a spectrum, which is for no light; notes the first that is not otherwise."""
    for row, (space, values) in zip(rows, numbers, strict=True):
        if values and space is not GivenAs.SPECTRUM:
            problem = _(
                "nobody says which illuminant and observer this colour is for; say it in the file, or with "
                "--illuminant and --observer"
            )
            faults.add(row.line, SPACES[space][0], problem)
            return False
    return True


def _check_ids(faults: Faults, rows: Sequence[TableRow]) -> None:
    seen: dict[str, int] = {}
    for row in rows:
        if row["id"] and row["id"] in seen:
            faults.add(
                row.line,
                "id",
                _("{id} is in row {line} already; an id is used once", id=as_typed(row["id"]), line=seen[row["id"]]),
            )
        seen.setdefault(row["id"], row.line)


def _shared_conditions(faults: Faults, rows: Sequence[TableRow], defaults: ReadingDefaults) -> Conditions | None:
    """Return the one light and observer of a file; None where it says nothing and nothing was given for it."""
    said = {column: [(row.line, row[column]) for row in rows if row[column]] for column in ("illuminant", "observer")}
    for column, cells in said.items():
        for line, cell in cells[1:]:
            if cell != cells[0][1]:
                faults.add(
                    line,
                    column,
                    _(
                        "{cell} where row {line} has {shared}; a file has one",
                        cell=as_typed(cell),
                        line=cells[0][0],
                        shared=as_typed(cells[0][1]),
                    ),
                )
    first = {column: cells[0] for column, cells in said.items() if cells}
    light = parse_light(faults, *first["illuminant"]) if "illuminant" in first else ""
    observer = parse_observer(faults, *first["observer"]) if "observer" in first else ""
    given = defaults.conditions
    light, observer = light or (given.illuminant if given else ""), observer or (str(given.observer) if given else "")
    return Conditions(light, observer_from(observer)) if light and observer else None


def parse_light(faults: Faults, line: int, text: str) -> str:
    """Return an illuminant's name as Tenter has it, F11 as FL11; notes a fault where nobody knows it."""
    name = text.strip().upper()
    name = f"FL{name[1:]}" if name[:1] == "F" and name[1:].isdecimal() else name
    known = next((n for n in (text.strip(), name) if _is_light(n)), "")
    if not known:
        faults.add(line, "illuminant", _light_problem(text))
    return known


def _is_light(name: str) -> bool:
    try:
        return bool(illuminant_power(name).size)
    except TenterError:
        return False


def _light_problem(text: str) -> str:
    try:
        illuminant_power(text)
    except TenterError as error:
        return str(error)
    return ""


def parse_observer(faults: Faults, line: int, text: str) -> str:
    """Return "2" or "10" of an observer as files write it: 10, 10°, 10 degree, 10_Degree; notes a fault otherwise."""
    digits = text.strip().lower().replace("_", " ").replace("°", " ").replace("degree", " ").strip(" s")
    try:
        return str(observer_from(digits))
    except TenterError as error:
        faults.add(line, "observer", str(error))
        return ""


def _numbers(faults: Faults, row: TableRow, spectrum: Mapping[str, float]) -> tuple[GivenAs, list[float]]:
    """Return what a row gives of its colour, and as what."""
    columns: dict[GivenAs, tuple[str, ...]] = {GivenAs.SPECTRUM: tuple(spectrum), **SPACES}
    space = next((s for s, names in columns.items() if names and any(row[n] for n in names[-2:])), None)
    if space is None:
        faults.add(row.line, "L", _("the row gives no colour; it needs a spectrum, or L, a, b, or L, C, h, or X, Y, Z"))
        return GivenAs.LAB, []
    before = len(faults.found)
    values = [parse_cell(faults, row, name, parse_decimal, 0.0) for name in columns[space]]
    return space, values if len(faults.found) == before else []


def parse_decimal(text: str) -> float:
    """Return a finite number written with a decimal point or a decimal comma, in whatever units its column has."""
    return parse_number(text.replace(",", ".") if text.count(",") == 1 and "." not in text else text)


def _scales(given: RowsOfReadings, numbers: Sequence[tuple[GivenAs, list[float]]]) -> dict[GivenAs, float]:
    """Return what the numbers of a file are multiplied by."""
    stated = {GivenAs.SPECTRUM: given.scale, GivenAs.XYZ: given.xyz_scale}
    scales = dict.fromkeys(GivenAs, 1.0)
    for space, scale in stated.items():
        found = [values for kind, values in numbers if kind is space and values]
        scales[space] = shared_scale(found) if scale is None else scale
    return scales


def _reading(
    given: RowsOfReadings,
    conditions: Conditions | None,
    row: TableRow,
    cloth: str,
    how: ReadingCircumstances,
    space: GivenAs,
    values: list[float],
    scale: float,
) -> ClothReading:
    if space is GivenAs.SPECTRUM:
        order = np.argsort(list(given.spectrum.values()))
        nm, risen = np.array(list(given.spectrum.values()))[order], np.array(values)[order]
        spectrum = reflectance_given(risen.tolist(), nm.tolist(), scale)
        return spectral_reading(cloth, spectrum, how, conditions or D65_10, given.source, row.line)
    light = conditions or D65_10  # not None: `_need_no_light` has seen to it
    return ClothReading(
        cloth=cloth,
        lab=lab_given(space, values, light, scale),
        conditions=light,
        how=how,
        given_as=space,
        source=given.source,
        row=row.line,
    )


def _where(space: GivenAs, given: RowsOfReadings, error: TenterError) -> str:
    """Return the column that a fault of a colour is said of: that of the number at fault, or else the first."""
    if space is GivenAs.SPECTRUM:
        columns = {reflectance_words(nm): column for column, nm in given.spectrum.items()}
        first = next(iter(given.spectrum), "")
    else:
        columns, first = {_(name): column for name, column in _COLUMN_OF[space].items()}, SPACES[space][0]
    return columns.get(error.what, first) if isinstance(error, NumberOutside) else first
