"""The order of four corners in a picture."""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import FloatArray, steady


def from_top_left(corners: Sequence[Sequence[float]] | FloatArray) -> FloatArray:
    """Return corners (4, 2), however they came (4, 2): top left first, then clockwise on the screen.

    `corners` are places x, y in pixels. On a square that stands on its tip, top and left are equally near the top left:
    there the top is first.
    """
    points = np.asarray(corners, dtype=float)
    x, y = steady(points - points.mean(axis=0)).T
    around = np.argsort(np.arctan2(y, x), kind="stable")  # from just above the left, which is last, over the top
    first = int(steady(x + y)[around].argmin())
    found: FloatArray = points[np.roll(around, -first)]
    return found
