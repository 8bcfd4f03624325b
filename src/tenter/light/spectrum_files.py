"""Spectra of lights from files: CSV, CGATS.17 text and its kin (.sp), IES TM-27-14 XML.

Each fault names its row and what to do, and of a faulty file nothing is used.
"""

import re
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path

from tenter.consultation.cloths.spectrum_table import number_in, spectrum_pairs
from tenter.consultation.cloths.tables import Faults, read_content, text_in
from tenter.consultation.readings.cgats import CgatsTable, looks_like_cgats, parse_cgats
from tenter.consultation.readings.plain_xml import local_name, looks_like_xml, parse_xml
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_path
from tenter.language import N_, _, as_typed
from tenter.light.lamp_spectrum import LampSpectrum, lamp_spectrum

_REMEDY = N_(
    "A spectrum of a light is a table of two columns, wavelength in nm and power, from 400 to 700 nm or more; a CGATS "
    "text (.sp); or an IES TM-27 XML file. Export it again, or pass the meter's values with --meter."
)
_BAND = re.compile(r"(?:SPECTRAL_NM_?|SPECTRAL_|SPEC_|NM_?|W_?)(\d{3,4}(?:\.\d+)?)(?:_?NM)?", re.IGNORECASE)
# Quantities of IES TM-27-14 that describe a surface or a filter, and so no light.
_NO_LIGHT = {"absorptance", "transmittance", "reflectance", "r-values", "t-values"}


def read_lamp_spectrum(path: str | Path) -> LampSpectrum:
    """Return the spectrum of a light from a file, told by what is in it.

    Raises
    ------
    UnreadableInput
        If it is none of the formats, breaks off, is hostile, or holds no light from 400 to 700 nm.
    TenterError
        If `path` names no file.
    """
    return parse_lamp_spectrum(read_content(given_path(path)), str(path))


def demo_light() -> LampSpectrum:
    """Return the light of the invented studio: an LED lamp beside a window."""
    file = files("tenter.demo_studio") / "light.csv"
    return parse_lamp_spectrum(file.read_bytes(), file.name)


def parse_lamp_spectrum(content: bytes, source: str) -> LampSpectrum:
    """Return the spectrum of a light from a file's content, as `read_lamp_spectrum` does.

    Raises
    ------
    UnreadableInput
        If it is none of the formats, breaks off, is hostile, or holds no light from 400 to 700 nm.
    """
    if looks_like_xml(content):
        return _of_xml(content, source)
    text = text_in(content, source)
    if looks_like_cgats(text):
        return _of_cgats(parse_cgats(text, source), source)
    return parse_spectrum_csv(text, source)


def parse_spectrum_csv(text: str, source: str) -> LampSpectrum:
    """Return the spectrum of a table of wavelengths and powers, a pair a line.

    As `spectrum_pairs` reads them.

    Raises
    ------
    UnreadableInput
        If a row below the headings is no pair, or the pairs are no light's.
    """
    nm, values = spectrum_pairs(text, source, _("a power"), _(_REMEDY))
    return _checked(nm, values, source)


def _of_cgats(tables: Sequence[CgatsTable], source: str) -> LampSpectrum:
    """Return the spectrum of the first table that has one."""
    for table in tables:
        columns = [(column, found) for column, name in enumerate(table.fields) if (found := _BAND.fullmatch(name))]
        if not columns:
            continue
        if len(table.rows) != 1:
            problem = _("it holds {count} spectra where one is wanted", count=len(table.rows))
            raise UnreadableInput(source, problem, _("Export one measurement of the light."))
        faults, values = Faults(source), []
        for column, _found in columns:
            value = number_in(table.rows[0][column])
            if value is None:
                problem = _("{text} is not a number", text=as_typed(table.rows[0][column]))
                faults.add(table.lines[0], table.fields[column], problem)
            values.append(value or 0.0)
        faults.raise_any()
        return _checked([float(found.group(1)) for _column, found in columns], values, source)
    raise UnreadableInput(source, _("no table in it has spectral fields such as SPEC_400"), _(_REMEDY))


def _of_xml(content: bytes, source: str) -> LampSpectrum:
    """Return the spectrum of an IES TM-27-14 document."""
    root = parse_xml(content, source)
    if "tm27" not in local_name(root).lower():
        raise UnreadableInput(source, _("this is XML of another kind ({name})", name=local_name(root)[:40]), _(_REMEDY))
    quantity, data = "", []
    for element in root.iter():
        name = local_name(element)
        if name == "SpectralQuantity":
            quantity = (element.text or "").strip().lower()
        elif name == "SpectralData":
            data.append(element)
    if quantity in _NO_LIGHT:
        raise UnreadableInput(
            source,
            _("it holds {quantity}, which is no light's power", quantity=quantity),
            _("Export the light itself."),
        )
    nm, values, faults = [], [], Faults(source)
    for place, element in enumerate(data, 1):
        pair = number_in(element.get("wavelength", "")), number_in(element.text or "")
        if pair[0] is None or pair[1] is None:
            faults.add(place, "SpectralData", _("wavelength and value are numbers; one of them is not"))
            continue
        nm.append(pair[0])
        values.append(pair[1])
    faults.raise_any()
    if not nm:
        raise UnreadableInput(source, _("there is no SpectralData in it"), _(_REMEDY))
    return _checked(nm, values, source, quantity == "irradiance")


def _checked(nm: Sequence[float], values: Sequence[float], source: str, irradiance: bool = False) -> LampSpectrum:
    try:
        return lamp_spectrum(nm, values, source, irradiance)
    except UnreadableInput:
        raise
    except TenterError as error:
        raise UnreadableInput(source, str(error), _(_REMEDY)) from None
