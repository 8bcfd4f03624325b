"""What a palette takes out of the drawers, and which of its colours are to be printed.

Each colour gets the nearest snippet of the stock, and each drawer gives one piece: the closest pairs are taken first.
A snippet may be as far from its colour as half of what two colours of a palette are apart at the least: 6 ΔE00, and 4
among neutrals and whites. Then no snippet is nearer to another colour of the palette than to the one that it is for.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.consultation.colours.colours import PaletteColour, Part, PersonalPalette
from tenter.consultation.personal.choosing import APART, NEUTRALS_APART
from tenter.consultation.stock.snippets import Snippet, Stock, drawer_order
from tenter.consultation.words.difference_words import SAME, difference
from tenter.given import given_number
from tenter.language import Sentence, _

WITHIN, WITHIN_NEUTRAL = APART / 2, NEUTRALS_APART / 2  # ΔE00
MOST_WITHIN = 20.0  # a snippet further off is another colour by any name
_NEUTRALS = (Part.NEUTRAL, Part.WHITE)


class WhyPrinted(StrEnum):
    """Why a colour is not taken from a drawer."""

    NOT_IN_STOCK = "not in stock"  # no snippet is near enough
    DRAWER_EMPTY = "drawer empty"  # one would be, and there is no piece left
    TAKEN = "taken"  # one would be, and is for a colour that is closer to it


@dataclass(frozen=True, slots=True)
class NearestSnippet:
    """A snippet beside the colour that it is for. told: how the snippet differs. delta_e: ΔE00."""

    snippet: Snippet
    delta_e: float
    told: Sentence

    @property
    def difference(self) -> str:
        """How it differs, in words of the language that is written."""
        return str(self.told)

    @property
    def is_same(self) -> bool:
        """Whether it looks the same."""
        return self.told == SAME


@dataclass(frozen=True, slots=True)
class Pick:
    """One piece to take out of a drawer."""

    colour: PaletteColour
    of: NearestSnippet

    @property
    def drawer(self) -> str:
        """Where it is."""
        return self.of.snippet.drawer

    @property
    def left(self) -> int:
        """How many pieces remain when it is taken."""
        return self.of.snippet.count - 1

    @property
    def is_low_after(self) -> bool:
        """Whether the drawer is to be reordered then."""
        return replace(self.of.snippet, count=self.left).is_low


@dataclass(frozen=True, slots=True)
class ToPrint:
    """A colour to print. nearest: the snippet that came closest, None where there is no stock."""

    colour: PaletteColour
    why: WhyPrinted
    nearest: NearestSnippet | None


@dataclass(frozen=True, slots=True)
class PickList:
    """What to take out, what to print, and what to look for by eye.

    picks: by drawer, as they are walked along. to_print: in the palette's order. by_hand: metals, for a metal cannot be
    judged by one colour value. within: the tolerance asked for, in ΔE00, None for the usual ones.
    """

    picks: tuple[Pick, ...]
    to_print: tuple[ToPrint, ...]
    by_hand: tuple[PaletteColour, ...]
    within: float | None = None

    @property
    def drawers(self) -> tuple[str, ...]:
        """Which drawers give a piece, in order."""
        return tuple(pick.drawer for pick in self.picks)


def tolerance(colour: PaletteColour, within: float | None = None) -> float:
    """Return by how much, in ΔE00, a snippet may differ from a colour.

    within: ΔE00 that is asked for, from 0 to `MOST_WITHIN`; raises `TenterError` for any other.
    """
    if within is not None:
        return given_number(within, _("how far a snippet may be from its colour, in ΔE00,"), 0, MOST_WITHIN)
    return WITHIN_NEUTRAL if colour.part in _NEUTRALS else WITHIN


def pick_list(palette: PersonalPalette, stock: Stock, within: float | None = None) -> PickList:
    """Return what a palette takes out of a stock.

    within: ΔE00, the same for every colour, in place of `WITHIN` and `WITHIN_NEUTRAL`.
    """
    colours = palette.colours
    apart, lab = _apart(palette, stock)
    limits = np.array([tolerance(colour, within) for colour in colours])
    taken = _closest_first(apart, limits, [one.count > 0 for one in stock])
    picks = [Pick(colours[row], _nearest(lab[row], stock, column, apart[row])) for row, column in taken.items()]
    left = [row for row in range(len(colours)) if row not in taken]
    used = set(taken.values())
    printed = [_printed(colours[row], lab[row], stock, apart[row], limits[row], used) for row in left]
    picks.sort(key=lambda pick: drawer_order(pick.drawer))
    return PickList(tuple(picks), tuple(printed), palette.metals, within)


def _apart(palette: PersonalPalette, stock: Stock) -> tuple[FloatArray, FloatArray]:
    """Return ΔE00 of every colour (rows) to every snippet (columns), and the colours' Lab under D65/10°."""
    if not palette.colours:
        return np.zeros((0, len(stock))), np.zeros((0, 3))
    lab = Colours(np.array([colour.lab for colour in palette.colours]), palette.conditions).under(D65_10).lab
    return steady(delta_e_2000(lab[:, None], stock.lab[None])), lab


def _closest_first(apart: FloatArray, limits: FloatArray, in_stock: Sequence[bool]) -> dict[int, int]:
    """Return which colour gets which snippet: pair by pair, the closest of all that are left and near enough."""
    near = (apart <= limits[:, None]) & np.array(in_stock, dtype=bool)[None]
    pairs = sorted((float(apart[row, column]), int(row), int(column)) for row, column in np.argwhere(near))
    taken: dict[int, int] = {}
    for _apart, row, column in pairs:
        if row not in taken and column not in taken.values():
            taken[row] = column
    return taken


def _nearest(lab: FloatArray, stock: Stock, column: int, apart: FloatArray) -> NearestSnippet:
    return NearestSnippet(stock.snippets[column], float(apart[column]), difference(lab, stock.lab[column]))


def _printed(
    colour: PaletteColour, lab: FloatArray, stock: Stock, apart: FloatArray, limit: float, used: set[int]
) -> ToPrint:
    if not len(stock):
        return ToPrint(colour, WhyPrinted.NOT_IN_STOCK, None)
    column = int(np.argmin(apart))
    nearest = _nearest(lab, stock, column, apart)
    if nearest.delta_e > limit:
        return ToPrint(colour, WhyPrinted.NOT_IN_STOCK, nearest)
    return ToPrint(colour, WhyPrinted.TAKEN if column in used else WhyPrinted.DRAWER_EMPTY, nearest)
