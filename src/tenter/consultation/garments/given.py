"""A garment as it is given in words or numbers: "52,30,14", the name of a colour, or a file with its spectrum."""

import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from tenter.colorimetry.measurement import D65_10, Conditions
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.hue_families import TYPICAL_LAB, HueFamily
from tenter.consultation.cloths.spectrum_table import spectrum_pairs
from tenter.consultation.cloths.tables import read_text
from tenter.consultation.colours.colour_words import is_wide, spelt, word_lab, word_meant
from tenter.consultation.colours.colours import PaletteColour, PersonalPalette
from tenter.consultation.colours.names import known_names
from tenter.consultation.conventions.staple_customs import STAPLES
from tenter.consultation.garments.garment import Garment, from_name, from_reading, from_spectrum
from tenter.consultation.readings.given_colour import reflectance_given, shared_scale
from tenter.errors import TenterError, UnreadableInput
from tenter.language import N_, _, as_typed, in_a_row

_NUMBER = re.compile(r"[-+−]?\d+(\.\d+)?")
_NAMES_REACH = (7.0, 8.0, 8.0)  # half-widths of what is sold under one name: ours, from how far apart names lie
_LEAST_REACH, _REACH_PER_CHROMA = 2.0, 0.5  # of a* and b* where a name stands for hardly any hue: ours
_OWN_REACH = (3.0, 3.0, 3.0)  # of a colour that the palette itself has
_HUES_REACH = (15.0, 15.0, 15.0)  # of all that is called reddish orange: ours, half of a family's and more
_FAMILIES_REACH = (25.0, 25.0, 25.0)  # of all that is called red, or blue
FAMILIES = {str(family) for family in HueFamily} - {str(HueFamily.METAL)}
_GIVE = N_("Give a photograph, a reading such as 52,30,14, or an English colour name such as navy")
# What is sold under such words is not one colour; the palette's own metals are found by their names before.
_NO_COLOUR = {
    frozenset({"nude", "skin", "flesh"}): N_(
        "it is the shade of whatever skin it was made for. Give the shade that it looks like, such as beige, tan or "
        "cocoa, or photograph it beside a colour card"
    ),
    frozenset({"metallic", "gold", "golden", "silver", "platinum", "brass", "sequins", "sequin", "lurex"}): N_(
        "a metal can't be judged by one colour value. Hold it on and look; the palette says which metals are yours"
    ),
    frozenset({"print", "printed", "pattern", "patterned", "floral", "stripes", "striped", "checked", "tartan"}): N_(
        "give each of its colours by itself, or photograph it beside a colour card and read it as a print"
    ),
}


def is_reading(text: str) -> bool:
    """Tell whether a text is meant as L*, a*, b*: it begins with a number and has commas."""
    return "," in text and bool(_NUMBER.match(text.strip()))


def parse_reading(text: str, conditions: Conditions = D65_10) -> Garment:
    """Return the garment of a reading such as "52,30,14" under the conditions named.

    Raises `TenterError` for anything but three numbers that a cloth can have.
    """
    parts = [part.strip().replace("−", "-") for part in text.split(",")]
    if len(parts) != 3 or not all(_NUMBER.fullmatch(part) for part in parts):
        raise TenterError(
            _(
                "a reading is L*, a* and b* with commas between and points in the numbers, as in 52,30,14; got {text}",
                text=as_typed(text),
            )
        )
    return from_reading([float(part) for part in parts], conditions, "")


def reading_of(garment: Garment) -> str:
    """Return the largest colour of a garment as a reading is written, as in 52.0,30.1,14.2."""
    return ",".join(f"{value:.1f}" for value in garment.colours[0].lab)


def named_garment(name: str, palette: PersonalPalette) -> Garment:
    """Return a garment of which a colour's name is known: the palette's own of that name or title, or a plain name.

    Its half-widths are ours: the vaguer the name, the wider.

    Raises
    ------
    TenterError
        If the name is empty, or nobody here knows it; it says which are alike.
    """
    wanted, key = " ".join(name.lower().split()), spelt(name)
    if not wanted:
        raise TenterError(_("no garment was given. {advice}", advice=_(_GIVE)))
    own = (*palette.colours, *palette.borrowed)
    called = _called(key, own)
    if not called:
        key = spelt(word_meant(wanted))
        called = _called(key, own)
    if called:
        return from_name(called[0].lab, _OWN_REACH, wanted)
    if key in STAPLES:
        return from_name(STAPLES[key], _reach(STAPLES[key]), wanted)
    if key in FAMILIES:
        return from_name(TYPICAL_LAB[HueFamily(key)], _FAMILIES_REACH, wanted)
    lab = word_lab(wanted)
    if lab is None:
        raise TenterError(_unknown(name, wanted))
    L, a, b = (float(v) for v in lab)
    return from_name((L, a, b), _HUES_REACH if is_wide(wanted) else _reach((L, a, b)), wanted)


def _called(key: str, own: Sequence[PaletteColour]) -> list[PaletteColour]:
    """Return the colours of a palette that bear a name as it is spelt, or that their client calls so."""
    named = [colour for colour in own if key and spelt(colour.name) == key]
    return named or [colour for colour in own if key and spelt(colour.title) == key]


def _reach(lab: Lab) -> Lab:
    """Return the half-widths of what is sold under the name of a colour; what is sold as black has hardly any hue."""
    lightness, *sides = _NAMES_REACH
    least = _LEAST_REACH + _REACH_PER_CHROMA * float(np.hypot(lab[1], lab[2]))
    a, b = (min(side, least) for side in sides)
    return lightness, a, b


def _unknown(name: str, wanted: str) -> str:
    """Return what is said of a name that is no colour's, and what would do."""
    for words, why in _NO_COLOUR.items():
        if set(wanted.replace("/", " ").split()) & words:
            return _("{name} is no one colour: {why}", name=as_typed(name), why=_(why))
    alike = [known for known in known_names() if set(known.split()) & set(wanted.split())][:6]
    if alike:
        return _(
            "no colour {name} is known; names that are known: {names}. {advice}",
            name=as_typed(name),
            names=in_a_row(alike),
            advice=_(_GIVE),
        )
    return _(
        "no colour {name} is known; names are such as coral, navy, olive or cream. {advice}",
        name=as_typed(name),
        advice=_(_GIVE),
    )


def read_spectrum(path: Path) -> Garment:
    """Return the garment of a CSV file of wavelengths in nm and reflectance factors, a pair a line.

    Read as any spectrum is (`spectrum_pairs`). Percent are told as in a file of readings, and the longest wavelength
    may come first. Raises `UnreadableInput` for a file that is no such table, does not cover 400 to 700 nm in steps of
    20 nm or less, or holds factors that no cloth has.
    """
    nm, factors = spectrum_pairs(read_text(path), str(path), _("a reflectance"), _(_SPECTRUM))
    if nm[0] > nm[-1]:
        nm, factors = nm[::-1], factors[::-1]
    try:
        return from_spectrum(reflectance_given(factors, nm, shared_scale([factors])), path.stem)
    except TenterError as error:
        raise UnreadableInput(str(path), str(error), _(_SPECTRUM)) from None


_SPECTRUM = N_(
    "A spectrum is a CSV of wavelength in nm and reflectance, in percent or parts of one, from 400 to 700 nm."
)
