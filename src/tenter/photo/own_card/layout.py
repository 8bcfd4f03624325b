"""Our own printable card: where its patches, corner marks and serial stand. The sheet and the reader both go by it.

Eight by five cells: a mark in each corner, chromatic patches above, greys in the middle row, skin below, and the serial
in a strip of squares under them. Millimetres, x to the right and y down from the card's upper left corner.
"""

import zlib
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.errors import TenterError
from tenter.language import _
from tenter.photo.patches.grid import CardGrid

_COLUMNS, _ROWS = 8, 5  # of patches and corner marks
CARD_PITCH_MM, CARD_PATCH_MM, CARD_MARKER_MM = 21.5, 18.5, 18.5
CARD_MARGIN_MM = 4.0
BIT_MM, STRIP_MM, STRIP_GAP_MM = 4.5, 5.0, 1.5
WIDTH_MM = 2 * CARD_MARGIN_MM + _COLUMNS * CARD_PITCH_MM
HEIGHT_MM = 2 * CARD_MARGIN_MM + _ROWS * CARD_PITCH_MM + STRIP_GAP_MM + STRIP_MM
MAX_SERIAL = 65_535  # two bytes


class PatchKind(StrEnum):
    """What a patch is there for."""

    CHROMATIC = "chromatic"
    GREY = "grey"
    SKIN = "skin"


@dataclass(frozen=True, slots=True)
class CardPatch:
    """A patch: its name, its colour as sent to the printer, its kind, and its cell."""

    name: str
    hex: str
    kind: PatchKind
    column: int
    row: int

    @property
    def quad_mm(self) -> FloatArray:
        """Corners (4, 2), clockwise from the upper left."""
        return _square(self.column, self.row, CARD_PATCH_MM)

    @property
    def nominal_code(self) -> FloatArray:
        """The sRGB code values (3,), 0-1, that the sheet asks for."""
        return np.array([int(self.hex[k : k + 2], 16) for k in (1, 3, 5)]) / 255


# Vivid, then subdued: the corners of what a printer can do, and the colours of lips, hair and eyes between them.
_ABOVE = ("#d8232a", "#f2a900", "#2f9e44", "#0aa1dd", "#2e3a91", "#c2367f")
_BELOW_THEM = ("#f5e050", "#b9626a", "#8a3b4a", "#c9a0b4", "#5a7d9a", "#6b8f71", "#8a7a3a", "#4a3428")
# White stands near the middle: everything is told relative to the light there, and light falls off over a card.
_GREYS = ("#4b4b4b", "#8b8b8b", "#c9c9c9", "#ffffff", "#e5e5e5", "#ababab", "#6a6a6a", "#2c2c2c")
# The prints that come nearest to the spectra of skin (ink.py): eight measured forearms from the lightest to the
# darkest, three darker by melanin, and three flushed.
_SKIN = ("#d7b5a8", "#d0aa99", "#d1a48c", "#c79a82", "#ad826a", "#ac7e62", "#9e7359", "#8f624f")
_MORE_SKIN = ("#87583f", "#7d4c2d", "#6c3d2b", "#d0996e", "#c48a5b", "#9c673c")


def _patches() -> tuple[CardPatch, ...]:
    rows = (
        (PatchKind.CHROMATIC, 0, 1, _ABOVE),
        (PatchKind.CHROMATIC, 1, 0, _BELOW_THEM),
        (PatchKind.GREY, 2, 0, _GREYS),
        (PatchKind.SKIN, 3, 0, _SKIN),
        (PatchKind.SKIN, 4, 1, _MORE_SKIN),
    )
    numbers = dict.fromkeys(PatchKind, 0)
    patches = []
    for kind, row, first, colours in rows:
        for column, colour in enumerate(colours, first):
            numbers[kind] += 1
            patches.append(CardPatch(f"{kind} {numbers[kind]}", colour, kind, column, row))
    return tuple(patches)


def _square(column: int, row: int, side_mm: float) -> FloatArray:
    """Return the corners (4, 2) of a square in the middle of a cell, clockwise from the upper left."""
    middle = CARD_MARGIN_MM + CARD_PITCH_MM * np.array([column + 0.5, row + 0.5])
    corners: FloatArray = middle + side_mm / 2 * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    return corners


CARD_PATCHES = _patches()
OWN_CARD_GRID = CardGrid(_COLUMNS, _ROWS, tuple((patch.column, patch.row) for patch in CARD_PATCHES))
WHITE = next(k for k, patch in enumerate(CARD_PATCHES) if patch.hex == "#ffffff")  # bare paper
CARD_CORNERS_MM: FloatArray = np.array([[0.0, 0.0], [WIDTH_MM, 0.0], [WIDTH_MM, HEIGHT_MM], [0.0, HEIGHT_MM]])
# Number of the corner mark (dictionary of 4 × 4 squares), which tells the corner and nothing else, to its corners.
CARD_MARKERS_MM: dict[int, FloatArray] = {
    0: _square(0, 0, CARD_MARKER_MM),
    1: _square(_COLUMNS - 1, 0, CARD_MARKER_MM),
    2: _square(_COLUMNS - 1, _ROWS - 1, CARD_MARKER_MM),
    3: _square(0, _ROWS - 1, CARD_MARKER_MM),
}
_START = (True, False)  # black, white: what dark and light look like here


def serial_bits(serial: int) -> BoolArray:
    """Return the squares (26,) of the strip from left to right, True for black.

    Two are to compare with, 16 hold the number, and 8 a check.

    Raises
    ------
    TenterError
        If the serial is not between 1 and `MAX_SERIAL`.
    """
    if not 1 <= serial <= MAX_SERIAL:
        raise TenterError(
            _("a card's serial is a number from 1 to {most}; {number} came", most=MAX_SERIAL, number=serial)
        )
    word = serial << 8 | _check(serial)
    return np.array([*_START, *(bool(word >> k & 1) for k in reversed(range(24)))])


def serial_of(bits: BoolArray) -> int | None:
    """Return the serial of a strip of squares (26,), or None when its check does not come out."""
    word = int("".join("1" if bit else "0" for bit in bits[len(_START) :]), 2)
    serial = word >> 8
    return serial if serial and word & 0xFF == _check(serial) else None


def _check(serial: int) -> int:
    return zlib.crc32(serial.to_bytes(2, "big")) & 0xFF


BITS = len(_START) + 24  # of the strip: its start, two bytes of number and one of check


def bare_card_mm() -> FloatArray:
    """Return the quads (28, 4, 2) of bare paper where the gaps between the patches cross."""
    across = CARD_MARGIN_MM + CARD_PITCH_MM * np.arange(1, _COLUMNS)
    down = CARD_MARGIN_MM + CARD_PITCH_MM * np.arange(1, _ROWS)
    middles = np.stack(np.meshgrid(across, down), axis=-1).reshape(-1, 1, 2)
    half = (CARD_PITCH_MM - CARD_PATCH_MM) / 2
    quads: FloatArray = middles + half * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    return quads


def strip_mm() -> FloatArray:
    """Return the quads (26, 4, 2) of the strip's squares, from left to right."""
    left, top = (
        CARD_MARGIN_MM + (CARD_PITCH_MM - CARD_PATCH_MM) / 2,
        CARD_MARGIN_MM + _ROWS * CARD_PITCH_MM + STRIP_GAP_MM,
    )
    square = np.array([[0.0, 0.0], [BIT_MM, 0.0], [BIT_MM, STRIP_MM], [0.0, STRIP_MM]])
    steps = np.stack([left + BIT_MM * np.arange(BITS), np.full(BITS, top)], axis=1)
    quads: FloatArray = steps[:, None, :] + square
    return quads
