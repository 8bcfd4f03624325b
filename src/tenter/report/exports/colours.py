"""What a palette hands to other programs: each colour with its name, its part, and what a screen makes of it."""

from dataclasses import dataclass

import numpy as np

from tenter.colorimetry.measurement import D65_2, Colours, Conditions
from tenter.consultation.personal.colours import PaletteColour, PersonalPalette
from tenter.report.palette_words import basis_words, colours_to, part_words

SCREEN = D65_2


@dataclass(frozen=True, slots=True)
class ExportColour:
    """One colour. hex: sRGB, clipped where `in_srgb` is false. part, basis: in words. colour: as the palette has it."""

    colour: PaletteColour
    part: str
    basis: str
    hex: str
    in_srgb: bool

    @property
    def name(self) -> str:
        return self.colour.name

    @property
    def rgb(self) -> tuple[int, int, int]:
        """Red, green and blue, 0 to 255."""
        red, green, blue = bytes.fromhex(self.hex[1:])
        return red, green, blue


@dataclass(frozen=True, slots=True)
class ExportPalette:
    """A palette ready to be written. title: what the file is called inside. date: of the palette, YYYY-MM-DD."""

    title: str
    date: str
    conditions: Conditions
    colours: tuple[ExportColour, ...]


def export_palette(palette: PersonalPalette, title: str, date: str) -> ExportPalette:
    """Return the counted colours of a palette in their order, then its metals, then what it borrows.

    Raises
    ------
    TenterError
        If the palette has no colours.
    """
    rows = colours_to("export", palette)
    shown, in_srgb = Colours(np.array([row.lab for row in rows]), palette.conditions).on_screen()
    colours = tuple(
        ExportColour(row, part_words(row), basis_words(row), screen, inside)
        for row, screen, inside in zip(rows, shown, in_srgb, strict=True)
    )
    return ExportPalette(title, date, palette.conditions, colours)
