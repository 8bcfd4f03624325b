"""Readings from a photograph: the JSON of `tenter cloth measure` and `tenter cloth rack`, or cloths put into a kit.

A photograph gives D65/2° with a 90 % interval. What it refused is no reading.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import D65_2, Conditions
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.photographed import PhotographedCloth
from tenter.consultation.cloths.tables import Faults, json_of
from tenter.consultation.readings.cloth_reading import ClothReading, GivenAs, ReadingCircumstances
from tenter.consultation.readings.reading_rows import ReadingDefaults
from tenter.errors import TenterError, UnreadableInput
from tenter.language import N_, _, in_a_row

_FORM = N_("It is the JSON of 'tenter cloth measure' or 'tenter cloth rack'.")
_WITHOUT_WHITE = "relative"  # the basis of a photograph without a card: its colours are no Lab
_BY_CAMERA = "photograph"


def photo_readings(text: str, source: str, defaults: ReadingDefaults) -> tuple[tuple[ClothReading, ...], list[str]]:
    """Return the readings of a photographed cloth or rack, and remarks on places without a colour.

    Raises
    ------
    UnreadableInput
        If it is not that JSON, the photograph was refused, or a cloth of it is at fault.
    """
    document = json_of(text, source, _(_FORM))
    if not isinstance(document, Mapping) or not ({"cloth", "cells"} & document.keys()):
        raise UnreadableInput(source, _("this is no measured cloth or rack"), _(_FORM))
    if document.get("accepted") is not True or document.get("basis") == _WITHOUT_WHITE:
        raise UnreadableInput(
            source, _("the photograph was refused, or gives no colours"), _("Take it again with a card.")
        )
    cells = document["cells"] if "cells" in document else [{"name": defaults.cloth, "cloth": document["cloth"]}]
    if not isinstance(cells, list) or not all(isinstance(cell, Mapping) for cell in cells):
        raise UnreadableInput(source, _("the cells of the rack are no list of cloths"), _(_FORM))
    conditions = _conditions(document, source)
    faults, readings, left = Faults(source), list[ClothReading](), list[str]()
    for row, cell in enumerate(cells, 1):
        if cell.get("cloth") is None:
            left.append(str(cell.get("name", row))[:40])
            continue
        try:
            readings.append(_reading(row, cell, conditions, source, defaults))
        except TenterError as error:
            faults.add(row, "cloth", str(error))
    faults.raise_any()
    if not readings:
        raise UnreadableInput(source, _("no cloth in it has a colour"), _("Take the photograph again."))
    return tuple(readings), [_("No colour was read at {names}.", names=in_a_row(left))] if left else []


def readings_of_cloths(cloths: Iterable[PhotographedCloth], day: str) -> tuple[ClothReading, ...]:
    """Return what photographed cloths are as readings of a day (ISO date).

    Raises
    ------
    TenterError
        If the day is none, or a colour or an interval is no cloth's.
    """
    return tuple(
        ClothReading(
            cloth=one.id,
            lab=_three(one.lab),
            conditions=D65_2,
            how=ReadingCircumstances(day=day, instrument=_BY_CAMERA, note=one.doubt),
            given_as=GivenAs.PHOTOGRAPH,
            half_width_90=_three(one.half_width_90),
        )
        for one in cloths
    )


def _three(values: Iterable[float]) -> Lab:
    L, a, b = (float(value) for value in values)
    return L, a, b


def _conditions(document: Mapping[str, Any], source: str) -> Conditions:
    try:
        return Conditions(str(document.get("illuminant")), observer_from(document.get("observer")))
    except TenterError as error:
        raise UnreadableInput(source, str(error), _(_FORM)) from None


def _reading(
    row: int, cell: Mapping[str, Any], conditions: Conditions, source: str, defaults: ReadingDefaults
) -> ClothReading:
    found = cell["cloth"]
    lab, interval = (found.get(name) for name in ("lab", "lab_interval_90")) if isinstance(found, Mapping) else (0, 0)
    L, a, b = _numbers(lab, _("the Lab of a cloth"))
    half: Lab | None = None
    if interval is not None:
        ends = [_numbers(pair, _("an interval"), 2) for pair in _listed(interval, 3)]
        half = tuple((high - low) / 2 for low, high in ends)  # type: ignore[assignment]  # three of them
    how = defaults.how
    note = "; ".join(part for part in (how.note, str(cell.get("doubt") or "")) if part)
    how = replace(how, instrument=how.instrument or _BY_CAMERA, note=note)
    return ClothReading(
        cloth=str(cell.get("name") or defaults.cloth), lab=(L, a, b), conditions=conditions, how=how,
        given_as=GivenAs.PHOTOGRAPH, half_width_90=half, source=source, row=row,
    )  # fmt: skip


def _listed(value: object, length: int) -> list[Any]:
    if not isinstance(value, list) or len(value) != length:
        raise TenterError(_("a list of {length} is needed", length=length))
    return value


def _numbers(value: object, what: str, length: int = 3) -> tuple[float, ...]:
    """Return a list of finite numbers, or raise `TenterError`."""
    found = _listed(value, length)
    if not all(isinstance(v, int | float) and not isinstance(v, bool) and math.isfinite(v) for v in found):
        raise TenterError(_("{what} is {length} finite numbers", what=what, length=length))
    return tuple(float(v) for v in found)
