"""The client's own palette on the studio's sheet: the colours of the client's paper, with their numbers and whence."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tenter.consultation.colours.colours import Basis, PaletteColour, Part, PersonalPalette
from tenter.language import N_, _, local_number
from tenter.report.client_paper.shades import Shade, on_rails, shades
from tenter.report.words.swatches import Swatch
from tenter.report.words.wording import plain_number

_BASICS = (Part.NEUTRAL, Part.WHITE)
_TITLES = (N_("Neutrals, whites"), N_("Metals"), N_("To borrow"))


@dataclass(frozen=True, slots=True)
class KnownColour:
    """One colour as the client's paper names and draws it.

    numbers: its Lab. known: the cloth that was held, or how well the colour is expected to suit; "" by convention.
    """

    shade: Shade
    numbers: str
    known: str


@dataclass(frozen=True, slots=True)
class ColourRow:
    """Colours that hang side by side."""

    title: str
    colours: tuple[KnownColour, ...]


def colour_rows(palette: PersonalPalette, cloths: Mapping[str, Swatch]) -> tuple[ColourRow, ...]:
    """Return the palette rail by rail, as the client's paper hangs it; `cloths` are those of the kit by id."""
    coloured = [c for c in palette.colours if c.part not in _BASICS]
    known = _known(coloured, palette, cloths)
    by_shade = {id(one.shade): one for one in known}
    rails = [
        ColourRow(row.title, tuple(by_shade[id(s)] for s in row.shades)) for row in on_rails(k.shade for k in known)
    ]
    basics = tuple(c for part in _BASICS for c in palette.of_part(part))
    parts = (basics, palette.metals, palette.borrowed)
    apart = [
        ColourRow(_(title), _known(part, palette, cloths)) for title, part in zip(_TITLES, parts, strict=True) if part
    ]
    return (*rails, *apart)


def _known(
    colours: Sequence[PaletteColour], palette: PersonalPalette, cloths: Mapping[str, Swatch]
) -> tuple[KnownColour, ...]:
    drawn = shades(colours, palette.conditions)
    return tuple(
        KnownColour(shade, ", ".join(plain_number(v) for v in colour.lab), _whence(colour, cloths))
        for shade, colour in zip(drawn, colours, strict=True)
    )


def _whence(colour: PaletteColour, cloths: Mapping[str, Swatch]) -> str:
    """Return the cloth of a colour that was held, how well any other is expected to suit, or "" by convention."""
    if colour.basis is Basis.CONVENTION:  # a metal may be a cloth of the kit that was not held
        return ""
    held = cloths.get(colour.cloth or "")
    return local_number(colour.suitability, 2) if held is None else held.name
