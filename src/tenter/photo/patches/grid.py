"""Where the patches of a card stand: which cells of a grid of equal pitches they take, and which stand side by side."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from tenter.arrays import FloatArray, IntArray


@dataclass(frozen=True, slots=True)
class CardGrid:
    """Columns and rows, and the cell (column, row) of each patch, in the card's order. A cell may hold no patch."""

    columns: int
    rows: int
    cells: tuple[tuple[int, int], ...]

    @property
    def middle(self) -> FloatArray:
        """Return the middle (2,) of the card, in pitches from its first corner, columns before rows."""
        return np.array([self.columns, self.rows]) / 2

    @property
    def centres(self) -> FloatArray:
        """Return the middles (n, 2) of the patches, in pitches."""
        return np.array(self.cells) + 0.5

    @property
    def pairs(self) -> tuple[IntArray, IntArray]:
        """Return the patches on either side of each of k gaps, (k,) each: first side by side, then above and below."""
        return _pairs(self.cells)


@cache
def _pairs(cells: tuple[tuple[int, int], ...]) -> tuple[IntArray, IntArray]:
    at = {cell: patch for patch, cell in enumerate(cells)}
    beside = [(patch, at[(c + 1, r)]) for (c, r), patch in at.items() if (c + 1, r) in at]
    below = [(patch, at[(c, r + 1)]) for (c, r), patch in at.items() if (c, r + 1) in at]
    one, other = np.array(beside + below).T
    return one, other


def full_grid(columns: int, rows: int) -> CardGrid:
    """Return a grid with a patch in every cell, row by row."""
    return CardGrid(columns, rows, tuple((column, row) for row in range(rows) for column in range(columns)))
