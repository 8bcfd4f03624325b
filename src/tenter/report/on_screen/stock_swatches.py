"""Snippets as they are drawn on a page: by drawer, with their colour in plain words."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.colorimetry.measurement import D65_10, Colours, Conditions
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.colours.colours import PaletteColour
from tenter.consultation.stock.snippets import Stock
from tenter.report.words.swatches import lab_numbers, plain_words


@dataclass(frozen=True, slots=True)
class SnippetSwatch:
    """One snippet as it is drawn and named.

    hex: sRGB, '#rrggbb', clipped where `shown_truly` is false. words: the colour without its hue being seen. carried:
    its colour was measured under another light or observer.
    """

    drawer: str
    name: str
    hex: str
    words: str
    numbers: str
    shown_truly: bool
    carried: bool


def colour_hexes(colours: Sequence[PaletteColour], conditions: Conditions = D65_10) -> list[str]:
    """Return '#rrggbb' of each colour of a palette."""
    return Colours(np.array([colour.lab for colour in colours]), conditions).on_screen()[0] if colours else []


def snippet_swatches(stock: Stock) -> tuple[SnippetSwatch, ...]:
    """Return the swatch of every snippet, by drawer."""
    if not len(stock):
        return ()
    hexes, truly = Colours(stock.lab, D65_10).on_screen()
    return tuple(
        SnippetSwatch(
            drawer=one.drawer,
            name=one.name,
            hex=screen,
            words=plain_words(lab, hue_family(lab)),
            numbers=lab_numbers(lab, D65_10),
            shown_truly=shown_truly,
            carried=one.conditions != D65_10,
        )
        for one, lab, screen, shown_truly in zip(stock, stock.lab, hexes, truly, strict=True)
    )
