"""The one door to files of readings: what a file is, its content says, and not its name."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from importlib.resources import files
from pathlib import Path

from tenter.consultation.cloths.tables import read_content, text_in
from tenter.consultation.readings.cgats import looks_like_cgats
from tenter.consultation.readings.cgats_readings import cgats_readings
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.consultation.readings.csv_readings import csv_readings
from tenter.consultation.readings.cxf import cxf_readings
from tenter.consultation.readings.photo_readings import photo_readings
from tenter.consultation.readings.plain_xml import looks_like_xml
from tenter.consultation.readings.reading_rows import ReadingDefaults, require_surfaces
from tenter.errors import UnreadableInput
from tenter.given import given_path
from tenter.language import _, as_written, in_a_row, ngettext

_DARKEST = 0.02  # reflectance: a good black cloth has 0.02 to 0.04 somewhere; common practice, no source
_MOST_NAMED = 6  # rows in one sentence


@dataclass(frozen=True, slots=True)
class ReadingsFile:
    """The readings of a file, and remarks on what in it was not read or not understood."""

    readings: tuple[ClothReading, ...]
    remarks: tuple[str, ...]


def read_readings(path: str | Path, defaults: ReadingDefaults) -> ReadingsFile:
    """Return the readings of a CSV, CGATS.17, CxF3 or measured-photograph file.

    A file of one reading that names no cloth (a .sp, a photographed cloth) is of the cloth that the defaults name, or
    else of the one that the file is named after.

    Raises
    ------
    TenterError
        For what is no path.
    UnreadableInput
        If it cannot be read; every faulty row is named, and none of the file is returned.
    """
    file = given_path(path)
    own = defaults if defaults.cloth else replace(defaults, cloth=file.stem)
    return parse_readings(read_content(file), str(file), own, named_in_file=not defaults.cloth)


def demo_readings() -> tuple[ClothReading, ...]:
    """Return the invented studio's readings of some of its cloths, on three days; one of the cloths has faded."""
    file = files("tenter.demo_studio") / "readings.csv"
    how = ReadingDefaults(ReadingCircumstances(day="2026-03-10"))  # every row says its own
    return parse_readings(file.read_bytes(), file.name, how, named_in_file=True).readings


def parse_readings(content: bytes, source: str, defaults: ReadingDefaults, named_in_file: bool = False) -> ReadingsFile:
    """Return the readings of a file's content, as `read_readings` does.

    named_in_file: whether a table has to name its cloths itself, as nobody has said which cloth it is of. Raises
    `UnreadableInput` as `read_readings` does.
    """
    if looks_like_xml(content):
        readings, remarks = cxf_readings(content, source, defaults)
    elif (text := _text(content, source)).lstrip()[:1] == "{":
        readings, remarks = photo_readings(text, source, defaults)
    elif looks_like_cgats(text):
        readings, remarks = cgats_readings(text, source, defaults)
    else:
        readings, remarks = csv_readings(text, source, replace(defaults, cloth="") if named_in_file else defaults), []
    require_surfaces(readings, source)
    return ReadingsFile(readings, (*remarks, *_remark_on_dark(readings)))


def _remark_on_dark(readings: Sequence[ClothReading]) -> list[str]:
    """Return what is to be said of readings darker than nearly any cloth: percent and parts of one may be mixed up."""
    dark = [one.row for one in readings if one.reflectance is not None and max(one.reflectance) < _DARKEST]
    if not dark:
        return []
    rows, more = in_a_row([str(row) for row in dark[:_MOST_NAMED]]), len(dark) - _MOST_NAMED
    if len(dark) == len(readings):
        which = _("Every reading")
    elif more > 0:
        which = _("Rows {rows} and {more} more", rows=rows, more=more)
    else:
        which = ngettext("Row {rows}", "Rows {rows}", len(dark), rows=rows)
    return [
        _(
            "{which}: every reflectance is below {least}; hardly a cloth is so dark. Check that the whole file is in "
            "parts of one, or the whole file in percent.",
            which=which,
            least=as_written(f"{_DARKEST:g}"),
        )
    ]


def _text(content: bytes, source: str) -> str:
    try:
        text = text_in(content, source)
    except UnreadableInput:
        text = content.decode("latin-1")
        if not looks_like_cgats(text):  # which older programs write in the letters of their country
            raise
    if "\0" in text:
        raise UnreadableInput(source, _("there is a NUL byte in it"), _("Save it as text and read it again."))
    return text
