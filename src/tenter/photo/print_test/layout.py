"""The test sheet by which a printer is corrected: where its patches and corner marks lie, and what is sent of each.

Eight by eight cells: a mark in each corner, greys, and colours of eight hues at five lightnesses. Millimetres, x to the
right and y down from the upper left corner of what is printed.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import in_srgb_gamut, lch_to_lab, srgb_hex

SHEET_COLUMNS = SHEET_ROWS = 8  # of patches and corner marks
SHEET_PITCH_MM, SHEET_PATCH_MM, SHEET_MARKER_MM, SHEET_MARGIN_MM = 20.5, 17.0, 17.0, 4.0
SIDE_MM = 2 * SHEET_MARGIN_MM + SHEET_COLUMNS * SHEET_PITCH_MM
FIRST_MARK = 4  # of the marks of 4 × 4 squares; 0 to 3 stand on our own card, which may lie beside the sheet
_LIGHTNESSES = (25.0, 40.0, 55.0, 70.0, 85.0)  # L* of the greys
_HUES = tuple(22.5 + 45.0 * k for k in range(8))  # degrees, eight around
_STRONG, _MOST, _SOFT = 0.85, 62.0, 18.0  # part of the chroma that sRGB has, the most of it, and that of soft colours
_GREYS = ("#000000", "#303030", "#555555", "#7a7a7a", "#9e9e9e", "#c3c3c3", "#e4e4e4", "#ffffff")


@dataclass(frozen=True, slots=True)
class SentPatch:
    """A patch: what is sent to the printer, and its cell."""

    hex: str
    column: int
    row: int

    @property
    def quad_mm(self) -> FloatArray:
        """Corners (4, 2), clockwise from the upper left."""
        return _square(self.column, self.row, SHEET_PATCH_MM)


def _square(column: int, row: int, side_mm: float) -> FloatArray:
    middle = SHEET_MARGIN_MM + SHEET_PITCH_MM * np.array([column + 0.5, row + 0.5])
    corners: FloatArray = middle + side_mm / 2 * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    return corners


def _most_chroma(lightness: float, hue: float) -> float:
    """Return the chroma of sRGB at a lightness and hue, to a quarter."""
    steps = np.arange(0.0, 140.0, 0.25)
    lab = lch_to_lab(np.stack([np.full_like(steps, lightness), steps, np.full_like(steps, hue)], axis=1))
    return float(steps[in_srgb_gamut(lab)].max())


def _sent() -> list[str]:
    """Return the 60 colours: strong ones, soft ones, and greys, mixed so that no corner of the sheet is all dark."""
    strong = [
        (lightness, min(_MOST, _STRONG * _most_chroma(lightness, hue)), hue)
        for lightness in _LIGHTNESSES
        for hue in _HUES
    ]
    soft = [(lightness, _SOFT, hue + 22.5) for lightness in (35.0, 60.0, 80.0) for hue in _HUES[::2]]
    colours = [*srgb_hex(lch_to_lab(np.array([*strong, *soft]))), *_GREYS]
    return [colours[(37 * k) % len(colours)] for k in range(len(colours))]


# Columns and rows of the marks, by their numbers.
_CORNERS = {(0, 0): 0, (SHEET_COLUMNS - 1, 0): 1, (SHEET_COLUMNS - 1, SHEET_ROWS - 1): 2, (0, SHEET_ROWS - 1): 3}
_CELLS = [
    (column, row) for row in range(SHEET_ROWS) for column in range(SHEET_COLUMNS) if (column, row) not in _CORNERS
]
SHEET_PATCHES = tuple(SentPatch(colour, *cell) for colour, cell in zip(_sent(), _CELLS, strict=True))
SHEET_MARKERS_MM = {FIRST_MARK + number: _square(*cell, SHEET_MARKER_MM) for cell, number in _CORNERS.items()}
SHEET_CORNERS_MM: FloatArray = SIDE_MM * np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


def sent_codes() -> FloatArray:
    """Return what is sent of each patch (60, 3), sRGB code values 0-1."""
    return np.array([list(bytes.fromhex(patch.hex[1:])) for patch in SHEET_PATCHES]) / 255


def bare_sheet_mm() -> FloatArray:
    """Return the quads (49, 4, 2) of bare paper where the gaps between the patches cross."""
    inner = SHEET_MARGIN_MM + SHEET_PITCH_MM * np.arange(1, SHEET_COLUMNS)
    middles = np.stack(np.meshgrid(inner, inner), axis=-1).reshape(-1, 1, 2)
    half = (SHEET_PITCH_MM - SHEET_PATCH_MM) / 2
    quads: FloatArray = middles + half * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    return quads
