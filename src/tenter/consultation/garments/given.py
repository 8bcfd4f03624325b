"""A garment as it is given in words or numbers: "52,30,14", the name of a colour, or a file with its spectrum."""

import csv
import io
import re
from pathlib import Path

import numpy as np

from tenter.colorimetry.measurement import D65_10, Conditions
from tenter.colorimetry.reflectance import resample
from tenter.consultation.garments.garment import Garment, from_name, from_reading, from_spectrum
from tenter.consultation.personal.colours import PersonalPalette
from tenter.consultation.personal.names import known_names, typical_lab
from tenter.consultation.tables import read_text
from tenter.errors import TenterError, UnreadableInput

_NUMBER = re.compile(r"[-+−]?\d+(\.\d+)?")
_NAMES_REACH = (7.0, 8.0, 8.0)  # half-widths of what is sold under one name: ours, from how far apart names lie
_LEAST_SAMPLES, _RANGE = 16, (430.0, 650.0)  # of a spectrum that can be used, in nm


def is_reading(text: str) -> bool:
    """Tell whether a text is meant as L*, a*, b*: it begins with a number and has commas."""
    return "," in text and bool(_NUMBER.match(text.strip()))


def parse_reading(text: str, conditions: Conditions = D65_10) -> Garment:
    """Return the garment of a reading such as "52,30,14"; raises `TenterError` for anything but three numbers."""
    parts = [part.strip().replace("−", "-") for part in text.split(",")]
    if len(parts) != 3 or not all(_NUMBER.fullmatch(part) for part in parts):
        raise TenterError(
            f"a reading is L*, a* and b* with commas between and points in the numbers, as in 52,30,14; got {text!r}"
        )
    return from_reading([float(part) for part in parts], conditions, "")


def named_garment(name: str, palette: PersonalPalette) -> Garment:
    """Return a garment of which a colour's name is known: the palette's own colour of the name or title, or a plain name.

    Raises
    ------
    TenterError
        If nobody here knows the name; it says which are alike.
    """
    wanted = " ".join(name.lower().split())
    for colour in (*palette.colours, *palette.borrowed):
        if wanted and wanted in (colour.name.lower(), colour.title.lower()):
            return from_name(colour.lab, _NAMES_REACH, wanted)
    lab = typical_lab(wanted)
    if lab is None:
        raise TenterError(_unknown(name, wanted))
    L, a, b = (float(v) for v in lab)
    return from_name((L, a, b), _NAMES_REACH, wanted)


def _unknown(name: str, wanted: str) -> str:
    alike = [known for known in known_names() if set(known.split()) & set(wanted.split())][:6]
    near = f"; names that are known: {', '.join(alike)}" if alike else "; names are such as coral, navy, olive or cream"
    return f"no colour {name!r} is known{near}. Give a photograph, a reading such as 52,30,14, or another name"


def read_spectrum(path: Path) -> Garment:
    """Return the garment of a CSV file of wavelengths in nm and reflectance factors from 0 to 1, a pair a line."""
    rows = list(csv.reader(io.StringIO(read_text(path), newline="")))
    try:
        pairs = [(float(nm), float(factor)) for nm, factor in (row for row in rows if row and _is_number(row[0]))]
    except ValueError:
        raise UnreadableInput(str(path), "a line is no wavelength with a reflectance factor", _SPECTRUM) from None
    if len(pairs) < _LEAST_SAMPLES or pairs[0][0] > _RANGE[0] or pairs[-1][0] < _RANGE[1]:
        raise UnreadableInput(str(path), f"{len(pairs)} usable lines do not cover the light that is seen", _SPECTRUM)
    nm, factors = np.array(pairs).T
    try:
        return from_spectrum(resample(factors, nm), path.stem)
    except TenterError as error:
        raise UnreadableInput(str(path), str(error), _SPECTRUM) from None


_SPECTRUM = "A spectrum is a CSV of two columns, wavelength in nm and reflectance from 0 to 1, from 400 to 700 nm or more."


def _is_number(text: str) -> bool:
    return bool(_NUMBER.fullmatch(text.strip()))
