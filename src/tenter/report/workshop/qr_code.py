"""A QR code (ISO/IEC 18004:2015, level M) of a short text, as dark and light squares.

Ours, because OpenCV's encoder takes 30 to 100 ms for a code: ten seconds for a kit.
"""

from functools import cache
from typing import Final, NamedTuple

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from tenter.arrays import BoolArray, IntArray
from tenter.errors import TenterError
from tenter.language import _
from tenter.report.workshop.qr_words import codewords, version_for

QUIET_SQUARES: Final = 4  # ISO/IEC 18004: the light rim that a code needs on every side, in its own squares
LEAST_SQUARE_MM: Final = 0.4  # of a square's side that a phone at hand's length reads; common practice, no source
_LONGEST: Final = 200  # bytes: a code of more is too fine for a label
# Annex E: where the middles of a version's alignment patterns are, in rows and columns.
_MIDDLES: Final = {
    1: (), 2: (6, 18), 3: (6, 22), 4: (6, 26), 5: (6, 30), 6: (6, 34),
    7: (6, 22, 38), 8: (6, 24, 42), 9: (6, 26, 46), 10: (6, 28, 50),
}  # fmt: skip
_FINDER, _ALIGNMENT = (True, True, False, True), (True, False, True)  # dark or light at each distance from the middle
_LEVEL_M: Final = 0b00  # Table 12
_FORMAT: Final = (10, 0x537, 0x5412)  # 7.9.1: bits of correction, their generator, what is added to them
_VERSION: Final = (12, 0x1F25)  # 7.10
_VERSION_FROM: Final = 7  # the first version that says which it is
# 7.8.3.1, Table 11: points for rows of one shade, for blocks, for what looks like a finder, for an uneven share.
_N1, _N2, _N3, _N4 = 3, 3, 40, 10
_LIKE_A_FINDER: Final = np.array([0, 0, 0, 0, 1, 0, 1, 1, 1, 0, 1], dtype=bool)


def qr_squares(text: str) -> BoolArray:
    """Return a code as dark squares, shape (n, n), without its light rim; the same text gives the same code.

    Its correction is of level M, which reads through 15 % of damage.

    Raises
    ------
    TenterError
        If the text is empty or longer than 200 bytes.
    """
    given = text.encode()
    if not 0 < len(given) <= _LONGEST:
        raise TenterError(
            _(
                "a label's code holds 1 to {longest} bytes of text and this has {count}; give a shorter address",
                longest=_LONGEST,
                count=len(given),
            )
        )
    version = version_for(len(given))
    frame = _frame(version)
    drawn = np.repeat(frame.dark[None], len(frame.masks), axis=0)
    bits = np.unpackbits(codewords(given, version).astype(np.uint8)).astype(bool)
    rows, columns = frame.order[: bits.size].T
    drawn[:, rows, columns] = bits
    drawn ^= frame.masks
    for mask, squares in enumerate(drawn):
        _write_format(squares, mask)
    best: BoolArray = drawn[int(np.argmin([_points(squares) for squares in drawn]))]
    return best


def qr_path(squares: BoolArray) -> str:
    """Return the dark squares (n, n) as one SVG path, of units of a square; neighbours in a row are drawn as one."""
    parts = []
    for y, row in enumerate(squares):
        edges = np.flatnonzero(np.diff(np.concatenate([[False], row, [False]]).astype(int)))
        parts += [f"M{start} {y}h{end - start}v1H{start}Z" for start, end in edges.reshape(-1, 2)]
    return "".join(parts)


# -- what every code of a version has ----------------------------------------------------------------------------------


class _Frame(NamedTuple):
    """Of a version: its patterns, dark (n, n), where data go, as rows and columns in their order (m, 2), the masks."""

    dark: BoolArray
    order: IntArray
    masks: BoolArray


@cache
def _frame(version: int) -> _Frame:
    size = 17 + 4 * version
    dark, taken = np.zeros((size, size), dtype=bool), np.zeros((size, size), dtype=bool)
    dark[6, ::2] = dark[::2, 6] = True  # the timing patterns
    taken[6] = taken[:, 6] = True
    for row, column in ((3, 3), (3, size - 4), (size - 4, 3)):
        _put(dark, taken, row, column, (*_FINDER, False))
    middles, at_finders = _MIDDLES[version], {(6, 6), (6, size - 7), (size - 7, 6)}
    for row, column in {(r, c) for r in middles for c in middles} - at_finders:
        _put(dark, taken, row, column, _ALIGNMENT)
    taken[8, :9] = taken[:9, 8] = taken[8, -8:] = taken[-8:, 8] = True  # the format
    dark[-8, 8] = True
    if version >= _VERSION_FROM:
        _write_version(dark, taken, version)
    i, j = np.indices((size, size))
    return _Frame(dark, _order(taken), np.stack(_masks(i, j)) & ~taken)


def _put(dark: BoolArray, taken: BoolArray, row: int, column: int, rings: tuple[bool, ...]) -> None:
    """Draw squares about a middle, dark or light by how far each ring is off it."""
    away = np.max(np.abs(np.indices(dark.shape) - np.array([row, column])[:, None, None]), axis=0)
    for distance, is_dark in enumerate(rings):
        dark[away == distance] = is_dark
        taken[away == distance] = True


def _order(taken: BoolArray) -> IntArray:
    """Return the free squares (m, 2): columns by twos from the right, the first pair upwards, the next downwards."""
    size = len(taken)
    found, up = [], True
    for right in (c if c > 6 else c - 1 for c in range(size - 1, 0, -2)):  # the timing column counts in no pair
        rows = range(size - 1, -1, -1) if up else range(size)
        found += [(row, column) for row in rows for column in (right, right - 1) if not taken[row, column]]
        up = not up
    return np.array(found)


def _masks(i: IntArray, j: IntArray) -> list[BoolArray]:
    """Return the eight masks of Table 10, by row i and column j."""
    both = i * j
    values = (
        (i + j) % 2,
        i % 2,
        j % 3,
        (i + j) % 3,
        (i // 2 + j // 3) % 2,
        both % 2 + both % 3,
        (both % 2 + both % 3) % 2,
        ((i + j) % 2 + both % 3) % 2,
    )
    return [value == 0 for value in values]


# -- what a code says of itself ----------------------------------------------------------------------------------------


def _with_correction(value: int, bits: int, generator: int) -> int:
    rest = value
    for _bit in range(bits):
        rest = rest << 1 ^ (rest >> bits - 1) * generator
    return value << bits | rest


def _write_format(squares: BoolArray, mask: int) -> None:
    """Write level and mask, twice (7.9.1, Figure 25)."""
    bits, generator, added = _FORMAT
    said = _with_correction(_LEVEL_M << 3 | mask, bits, generator) ^ added
    down = (0, 1, 2, 3, 4, 5, 7, 8, -7, -6, -5, -4, -3, -2, -1)
    along = (-1, -2, -3, -4, -5, -6, -7, -8, 7, 5, 4, 3, 2, 1, 0)
    for k, (row, column) in enumerate(zip(down, along, strict=True)):
        squares[row, 8] = squares[8, column] = bool(said >> k & 1)


def _write_version(dark: BoolArray, taken: BoolArray, version: int) -> None:
    """Write the version, twice (7.10)."""
    said = _with_correction(version, *_VERSION)
    for k in range(18):
        near, far = k // 3, len(dark) - 11 + k % 3
        dark[near, far] = dark[far, near] = bool(said >> k & 1)
        taken[near, far] = taken[far, near] = True


def _points(squares: BoolArray) -> int:
    """Return how hard a masked code is to read: the mask with the fewest points is taken (7.8.3)."""
    points = 0
    for lines in (squares, squares.T):
        runs = sliding_window_view(lines, 5, axis=1)
        alike: BoolArray = np.logical_or(runs.all(axis=2), ~runs.any(axis=2))
        same = alike[:, 1:] & alike[:, :-1] & (lines[:, 5:] == lines[:, 4:-1])
        points += int(_N1 * alike.sum() - (_N1 - 1) * same.sum())
        windows = sliding_window_view(lines, _LIKE_A_FINDER.size, axis=1)
        for pattern in (_LIKE_A_FINDER, _LIKE_A_FINDER[::-1]):
            points += _N3 * int((windows == pattern).all(axis=2).sum())
    blocks = sliding_window_view(squares, (2, 2)).sum(axis=(2, 3))
    points += _N2 * int(((blocks == 0) | (blocks == 4)).sum())
    return points + _N4 * int(abs(squares.mean() - 0.5) * 20)
