"""Readings in CGATS.17 text and its kin: which fields are a cloth's colour, and what the keywords say of all of them.

Sources: as of `cgats.py`. A .ti3 gives XYZ and Lab for D50 by the 2 degree observer unless it says otherwise, and
values in percent: from memory of ArgyllCMS's documentation. M1 and M2 are the measurement conditions of ISO 13655.
"""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from tenter.colorimetry.illuminants import Observer
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.cloths.tables import Faults, TableRow
from tenter.consultation.readings.cgats import CgatsTable, parse_cgats
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances, Ultraviolet, day_from
from tenter.consultation.readings.given_colour import OF_PERCENT
from tenter.consultation.readings.reading_rows import (
    ReadingDefaults,
    RowsOfReadings,
    parse_decimal,
    parse_light,
    parse_observer,
    readings_of_rows,
)
from tenter.errors import TenterError, UnreadableInput
from tenter.language import _, as_typed

_FIELDS = {
    **{f"LAB_{axis}": column for axis, column in (("L", "L"), ("A", "a"), ("B", "b"), ("C", "C"), ("H", "h"))},
    **{f"LCH_{axis}": column for axis, column in (("L", "L"), ("C", "C"), ("H", "h"))},
    **{f"XYZ_{axis}": axis for axis in "XYZ"},
    "SAMPLE_NAME": "cloth",
    "SAMPLE_ID": "id",
}
_SPECTRAL = re.compile(r"(?:SPEC|SPECTRAL|NM|R)_?(?:NM|PCT|DEC)?_?(\d{3}(?:\.\d+)?)", re.IGNORECASE)
_IN_PARTS_OF_ONE = "SPECTRAL_DEC"
_LIGHT, _TI3 = "SPECT", "CTI3"
_OF_TI3 = Conditions("D50", Observer.CIE_1931_2)
_WITHOUT_UV = ("m2", "uvcut", "uvexcluded", "uvout", "uvfilter")
_WITH_UV = ("m1", "uvincluded", "uvin", "d65", "filteruvd65")
_DATES = ("%a %b %d %H:%M:%S %Y", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M:%S", "%B %d, %Y", "%b %d, %Y")


def cgats_readings(text: str, source: str, defaults: ReadingDefaults) -> tuple[tuple[ClothReading, ...], list[str]]:
    """Return the readings of the one table that gives colours, and remarks on what was not understood.

    Raises
    ------
    UnreadableInput
        If no table or more than one gives colours, they are a light's, or a row is at fault.
    """
    tables = [
        table for table in parse_cgats(text, source) if _spectrum(table) or _columns(table).keys() & {"a", "C", "X"}
    ]
    if len(tables) != 1:
        problem = _("no table in it gives a colour") if not tables else _("more than one table gives colours")
        raise UnreadableInput(source, problem, _("Export the readings as one table with a spectrum, Lab, LCh or XYZ."))
    [table] = tables
    _refuse_light(table, source)
    columns, spectrum = _columns(table), _spectrum(table)
    if len(spectrum) < len(_wavelengths(table)):
        raise UnreadableInput(
            source, _("two fields give the spectrum at one wavelength"), _("Export one spectrum a row.")
        )
    remarks: list[str] = []
    how = circumstances_said(table.keywords, defaults.how, remarks)
    own = replace(defaults, how=how, conditions=_conditions(table, source) or defaults.conditions)
    rows = [
        TableRow(
            line, {column: dict(zip(table.fields, cells, strict=True))[field] for column, field in columns.items()}
        )
        for line, cells in zip(table.lines, table.rows, strict=True)
    ]
    given = RowsOfReadings(source, rows, spectrum, _scale(table, source), OF_PERCENT)
    return readings_of_rows(given, own), remarks


def _columns(table: CgatsTable) -> dict[str, str]:
    """Return the field of each column of a reading."""
    named = {_FIELDS[field.upper()]: field for field in table.fields if field.upper() in _FIELDS}
    return {**named, **{f"{nm:g}": field for field, nm in _wavelengths(table)}}


def _spectrum(table: CgatsTable) -> dict[str, float]:
    return {f"{nm:g}": nm for _field, nm in _wavelengths(table)}


def _wavelengths(table: CgatsTable) -> list[tuple[str, float]]:
    return [(field, float(found[1])) for field in table.fields if (found := _SPECTRAL.fullmatch(field))]


def _refuse_light(table: CgatsTable, source: str) -> None:
    kind = table.said("MEAS_TYPE").upper()
    is_light = kind.startswith(("EMISSION", "EMISSIVE", "AMBIENT", "TRANSMISSIVE"))
    if is_light or table.said("DEVICE_CLASS").upper() == "DISPLAY":
        said = (
            _("these are measurements of the type {kind}, not of a cloth", kind=kind)
            if is_light
            else _("these are measurements of a display, not of a cloth")
        )
        raise UnreadableInput(source, said, _("Read the cloth by reflection."))


def _conditions(table: CgatsTable, source: str) -> Conditions | None:
    """Return the light and observer that a table states for its Lab or XYZ."""
    weighting = ", ".join(table.keywords.get("WEIGHTING_FUNCTION", ()))
    light = table.said("ILLUMINANT", "ILLUMINATION_NAME") or _word_after("ILLUMINANT", weighting)
    observer = table.said("OBSERVER", "OBSERVER_ANGLE") or _word_after("OBSERVER", weighting)
    if not light and not observer:
        return _OF_TI3 if table.kind == _TI3 else None
    faults = Faults(source)
    names = parse_light(faults, 1, light), parse_observer(faults, 1, observer)
    faults.raise_any()
    return Conditions(*names)  # type: ignore[arg-type]  # the observer's name becomes an observer


def _word_after(name: str, text: str) -> str:
    found = re.search(rf"\b{name}\s*[,=]\s*([^,;\s]+)", text, re.IGNORECASE)
    return found[1] if found else ""


def _scale(table: CgatsTable, source: str) -> float | None:
    """Return what the spectra are multiplied by, where the file says what a perfect white is."""
    if any(field.upper().startswith(_IN_PARTS_OF_ONE) for field in table.fields):
        return 1.0
    norm = table.said("SPECTRAL_NORM")
    try:
        white = parse_decimal(norm) if norm else 0.0
    except ValueError as error:
        raise UnreadableInput(
            source, _("SPECTRAL_NORM: {error}", error=error), _("Nothing was read; export the file again.")
        ) from None
    return 1 / white if white > 0 else None


def circumstances_said(
    keywords: Mapping[str, tuple[str, ...]], how: ReadingCircumstances, remarks: list[str]
) -> ReadingCircumstances:
    """Return how the readings of a file were taken, by its keywords; what is not understood goes to the remarks."""

    def said(*names: str) -> str:
        return next((value.strip() for name in names for value in keywords.get(name, ()) if value.strip()), "")

    light = ultraviolet_said(said("MEASUREMENT_CONDITION", "FILTER", "MEASUREMENT_FILTER", "DEVICE_FILTER"))
    return replace(
        how,
        day=day_said(said("CREATED"), how.day, remarks),
        instrument=said("INSTRUMENTATION", "TARGET_INSTRUMENT", "INSTRUMENT") or how.instrument,
        backing=said("SAMPLE_BACKING", "BACKING") or how.backing,
        uv=how.uv if light is Ultraviolet.UNKNOWN else light,
    )


def ultraviolet_said(text: str) -> Ultraviolet:
    """Return what a filter's or a condition's name says of ultraviolet: M1, M2, UV-cut, UV included."""
    plain = re.sub(r"[^a-z0-9]", "", text.lower())
    if any(word in plain for word in _WITHOUT_UV):
        return Ultraviolet.WITHOUT
    return Ultraviolet.WITH if any(word in plain for word in _WITH_UV) else Ultraviolet.UNKNOWN


def day_said(text: str, otherwise: str, remarks: list[str]) -> str:
    """Return the day that a file says it was made on, or else the other one, with a remark where it is not understood.

    The day of 11/12/2026 is not understood, as it may be two days.
    """
    if not text:
        return otherwise
    for form in _DATES:
        try:
            return datetime.strptime(" ".join(text.split()), form).date().isoformat()
        except ValueError:
            continue
    try:
        return day_from(text.partition("T")[0])
    except TenterError:
        remarks.append(
            _(
                "The file's date {date} was not understood, so the readings have {day}.",
                date=as_typed(text),
                day=otherwise,
            )
        )
        return otherwise
