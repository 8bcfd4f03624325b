"""What a palette hands to other programs: each colour with its name, its part, and what a screen makes of it.

The staples, which are colours of a shop and not the client's own, come last and in a group of their own.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.colorimetry.measurement import D65_2, Colours, Conditions
from tenter.colorimetry.spaces import Lab
from tenter.consultation.colours.colours import PaletteColour, PersonalPalette, Staple
from tenter.language import _
from tenter.report.words.palette_words import basis_words, colours_to, part_words, staple_words

SCREEN = D65_2


class ColourGroup(StrEnum):
    """Where a colour belongs. The colours are those that a palette counts, and the others are not counted."""

    COLOURS = "colours"
    METALS = "metals"
    BORROWED = "borrowed"
    STAPLES = "staples"


@dataclass(frozen=True, slots=True)
class ExportColour:
    """One colour. lab: under the palette's conditions. hex: sRGB, clipped where `in_srgb` is false.

    title, part, basis: in words; a staple has no title and no basis. of: the palette's colour, None for a staple.
    """

    name: str
    title: str
    group: ColourGroup
    part: str
    basis: str
    lab: Lab
    hex: str
    in_srgb: bool
    of: PaletteColour | None

    @property
    def rgb(self) -> tuple[int, int, int]:
        """Red, green and blue, 0 to 255."""
        red, green, blue = bytes.fromhex(self.hex[1:])
        return red, green, blue


@dataclass(frozen=True, slots=True)
class ExportPalette:
    """A palette ready to be written. title: what the file is called inside. date: of the palette, YYYY-MM-DD.

    colours: those of every group, one group after the other.
    """

    title: str
    date: str
    conditions: Conditions
    colours: tuple[ExportColour, ...]

    @property
    def own(self) -> tuple[ExportColour, ...]:
        """All but the staples."""
        return tuple(colour for colour in self.colours if colour.group is not ColourGroup.STAPLES)

    @property
    def staples(self) -> tuple[ExportColour, ...]:
        """What every shop sells, and what the client does about it."""
        return tuple(colour for colour in self.colours if colour.group is ColourGroup.STAPLES)


def export_palette(palette: PersonalPalette, title: str, date: str) -> ExportPalette:
    """Return the counted colours of a palette in their order, then its metals, what it borrows, and the staples.

    date: YYYY-MM-DD. Raises `TenterError` where the palette has no colours.
    """
    colours_to(_("export"), palette)
    groups: dict[ColourGroup, tuple[PaletteColour | Staple, ...]] = {
        ColourGroup.COLOURS: palette.colours,
        ColourGroup.METALS: palette.metals,
        ColourGroup.BORROWED: palette.borrowed,
        ColourGroup.STAPLES: palette.staples,
    }
    rows = [(group, row) for group, some in groups.items() for row in some]
    screens, in_srgb = Colours(np.array([row.lab for _, row in rows]), palette.conditions).on_screen()
    colours = tuple(
        _export_colour(group, row, screen, inside)
        for (group, row), screen, inside in zip(rows, screens, in_srgb, strict=True)
    )
    return ExportPalette(title, date, palette.conditions, colours)


def _export_colour(group: ColourGroup, row: PaletteColour | Staple, screen: str, inside: bool) -> ExportColour:
    if isinstance(row, Staple):
        return ExportColour(row.name, "", group, f"staple, {staple_words(row)}", "", row.lab, screen, inside, None)
    words = row.name, row.title, group, part_words(row), basis_words(row)
    return ExportColour(*words, row.lab, screen, inside, row)
