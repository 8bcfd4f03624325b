"""What is printed of each colour of a palette: the code that is sent, the words behind it, and what must be said."""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import D65_2, Colours
from tenter.consultation.personal.colours import PaletteColour, PersonalPalette
from tenter.errors import TenterError
from tenter.report.palette_words import basis_words, part_words
from tenter.report.plain_text import one_line

OUTSIDE_SRGB = "≠ print differs"


@dataclass(frozen=True, slots=True)
class PrintSwatch:
    """One swatch. hex: what is sent to the printer. mark: empty, or that it is not printed true, with a sign."""

    name: str
    title: str
    part: str
    basis: str
    hex: str
    mark: str


def palette_rows(palette: PersonalPalette) -> tuple[PaletteColour, ...]:
    """Return the counted colours in their order, then the metals, then what is borrowed.

    Raises
    ------
    TenterError
        If the palette has no colours.
    """
    rows = (*palette.colours, *palette.metals, *palette.borrowed)
    if not rows:
        raise TenterError("this palette has no colours yet, so there is nothing to print; finish the sitting first")
    return rows


def screen_lab(palette: PersonalPalette) -> FloatArray:
    """Return Lab (n, 3) under D65/2° of `palette_rows`, which is what files for screens and printers speak of."""
    return Colours(np.array([row.lab for row in palette_rows(palette)]), palette.conditions).under(D65_2).lab


def print_swatches(palette: PersonalPalette) -> tuple[PrintSwatch, ...]:
    """Return the swatches of a palette as sRGB says them, with those marked that sRGB does not have."""
    rows = palette_rows(palette)
    sent, inside = Colours(screen_lab(palette), D65_2).on_screen()
    return tuple(
        _swatch(row, code, "" if fits else OUTSIDE_SRGB) for row, code, fits in zip(rows, sent, inside, strict=True)
    )


def _swatch(row: PaletteColour, code: str, mark: str) -> PrintSwatch:
    return PrintSwatch(one_line(row.name), one_line(row.title), part_words(row), basis_words(row), code, mark)
