"""A QR code (ISO/IEC 18004) of a short text, as dark and light squares, by OpenCV's encoder."""

from typing import Final

import cv2
import numpy as np

from tenter.arrays import BoolArray
from tenter.errors import TenterError

QUIET_SQUARES: Final = 4  # ISO/IEC 18004: the light rim that a code needs on every side, in its own squares
LEAST_SQUARE_MM: Final = 0.4  # of a square's side that a phone at hand's length reads; common practice, no source
_LONGEST: Final = 200  # bytes: a code of more is too fine for a label


def qr_squares(text: str) -> BoolArray:
    """Return a code as dark squares, shape (n, n), without its light rim; the same text gives the same code.

    Its correction is of level M, which reads through 15 % of damage.

    Raises
    ------
    TenterError
        If the text is empty or longer than 200 bytes.
    """
    size = len(text.encode())
    if not 0 < size <= _LONGEST:
        raise TenterError(
            f"a label's code holds 1 to {_LONGEST} bytes of text and this has {size}; give a shorter address"
        )
    wanted = cv2.QRCodeEncoder.Params()
    wanted.correction_level = cv2.QRCodeEncoder_CORRECT_LEVEL_M
    drawn = np.asarray(cv2.QRCodeEncoder.create(wanted).encode(text)) == 0
    rows, columns = np.flatnonzero(drawn.any(axis=1)), np.flatnonzero(drawn.any(axis=0))
    squares: BoolArray = drawn[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    return squares


def qr_path(squares: BoolArray) -> str:
    """Return the dark squares (n, n) as one SVG path, of units of a square; neighbours in a row are drawn as one."""
    parts = []
    for y, row in enumerate(squares):
        edges = np.flatnonzero(np.diff(np.concatenate([[False], row, [False]]).astype(int)))
        parts += [f"M{start} {y}h{end - start}v1H{start}Z" for start, end in edges.reshape(-1, 2)]
    return "".join(parts)
