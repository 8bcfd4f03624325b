"""Hues that a client wears in no version, and which of their own colours takes the place of each.

Common practice, no source: which hues those are, and what a cool client wears for orange, stand in the method file.
"""

import re
from collections.abc import Iterator, Sequence

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.colour_words import word_lab
from tenter.consultation.colours.colours import MissingHue, PaletteColour, Part
from tenter.consultation.personal.suitability import Known
from tenter.consultation.words.traits import UndertoneSide
from tenter.numerals import listed

_QUIET = (Part.NEUTRAL, Part.WHITE, Part.METAL)  # none of these stands for a hue
_BETWEEN_NAMES = re.compile(r",? or |, ")


def missing_hues(known: Known, colours: Sequence[PaletteColour], side: UndertoneSide | None) -> tuple[MissingHue, ...]:
    """Return the hue families of which a client of a side has no version, and what is worn instead.

    It is the client's own: for each colour that the method names, the nearest of theirs that is of the same hue family
    and of their side. A family for which the palette has nothing of that kind is left out: nothing is said of it.
    """
    if side is None:
        return ()
    held = {c.hue_family for c in colours}
    sided = [c for c in colours if c.part not in _QUIET and _is_of(side, c, known)]
    return tuple(
        MissingHue(HueFamily(family), listed(own, "or"))
        for family, version in known.method.versions.of.items()
        if family not in held and (own := _own(version.instead(side), sided))
    )


def _own(words: str, sided: Sequence[PaletteColour]) -> list[str]:
    """Return the names of the client's own colours that are nearest to those that a method names, each once."""
    return list(dict.fromkeys(name for lab in _colours_in(words) if (name := _nearest(lab, sided))))


def _colours_in(words: str) -> Iterator[FloatArray]:
    """Yield the typical colours (3,) of the names in a method's words; a name that nobody here knows is left out."""
    for name in _BETWEEN_NAMES.split(words):
        lab = word_lab(name)
        if lab is not None:
            yield lab


def _nearest(lab: FloatArray, sided: Sequence[PaletteColour]) -> str:
    alike = [c for c in sided if c.hue_family is hue_family(lab)]
    if not alike:
        return ""
    apart = np.asarray(delta_e_2000(np.array([c.lab for c in alike]), lab))
    return alike[int(np.argmin(steady(apart)))].name


def _is_of(side: UndertoneSide, colour: PaletteColour, known: Known) -> bool:
    """Tell whether a colour is of a side: by its place within its hue family, or else by its undertone."""
    lab, version = np.array(colour.lab), known.method.versions.of.get(colour.hue_family)
    place = None if version is None else version.place(lab)
    if place is None:
        place = known.places(lab[None], [colour.hue_family])[0, Axis.UNDERTONE.column]
    return bool(steady(place) > 0 if side is UndertoneSide.WARM else steady(place) < 0)
