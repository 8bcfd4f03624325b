"""Rows and columns among the cloths that stand out of a wall; a rack may lean, be seen aslant and have empty places."""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import FloatArray, IntArray

_CONE = 0.6  # a neighbour beside lies this little up or down for each step aside, at most: racks lean by less than 30°
_NEIGHBOURS = 1.3  # beyond this times the usual shorter distances lies a gap, and not a neighbour
_STRAY = 0.3  # of the shorter step: so far from where it is expected a neighbour may hang
# Steps from a cloth to those around it, by column and row.
_HOPS = ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1), (2, 0), (-2, 0), (0, 2), (0, -2))
_MOST_STRAYS = 0.2  # part of what stands out that may be no cloth of the rack


@dataclass(frozen=True, slots=True)
class Grid:
    """Which of the blobs (n,) are cloths of a rack, their column and row (n, 2) from 0, and both steps (2, 2)."""

    blobs: IntArray
    places: IntArray
    steps: FloatArray

    @property
    def size(self) -> tuple[int, int]:
        """How many columns and rows there are."""
        columns, rows = self.places.max(axis=0) + 1
        return int(columns), int(rows)

    def homography(self, middles: FloatArray) -> FloatArray | None:
        """Return the map (3, 3) from columns and rows to the picture; None where the cloths do not follow one.

        The middle of the first cloth is at 0.5, 0.5. middles: (n, 2), of all blobs.
        """
        hung = middles[self.blobs]
        lattice = self.places + 0.5
        for axis in np.flatnonzero(np.array(self.size) == 1):  # along one row or column alone, what lies across it
            lattice = np.concatenate([lattice, lattice + np.eye(2)[axis]])
            hung = np.concatenate([hung, hung + self.steps[axis]])
        if len(hung) < 4:
            return None
        reach = _STRAY / 2 * float(np.linalg.norm(self.steps, axis=1).min())
        found, inside = cv2.findHomography(lattice, hung, cv2.RANSAC, reach)
        return None if found is None or inside.mean() < 1 - _MOST_STRAYS else np.asarray(found, dtype=float)


def grid_of(middles: FloatArray, extent: FloatArray) -> Grid | None:
    """Return the grid that blobs lie in by their middles (n, 2), or None. extent: a blob's usual width and height (2,).

    From a cloth that is placed its neighbours are, step by step, so that what leans or narrows is followed.
    """
    steps = _steps(middles, extent)
    reach = _STRAY * float(np.linalg.norm(steps, axis=1).min())
    placed: dict[int, tuple[int, int]] = {0: (0, 0)}
    waiting = [0]
    while waiting:
        one = waiting.pop(0)
        for across, down in _HOPS:
            off = np.linalg.norm(middles - middles[one] - np.array([across, down]) @ steps, axis=1)
            other = int(off.argmin())
            if off[other] <= reach and other not in placed:
                placed[other] = (placed[one][0] + across, placed[one][1] + down)
                waiting.append(other)
    places = np.array(list(placed.values()))
    if len(placed) < (1 - _MOST_STRAYS) * len(middles) or len(np.unique(places, axis=0)) < len(places):
        return None
    return Grid(np.array(list(placed)), places - places.min(axis=0), steps)


def _steps(middles: FloatArray, extent: FloatArray) -> FloatArray:
    """Return the steps (2, 2) from a cloth to the next in its row and in its column.

    Where there is one row or column alone, a cloth's height or width across it stands in for the step that is missing.
    """
    right, below = _step(middles, 0, extent), _step(middles, 1, extent)
    if right is None:
        right = extent[0] * (np.array([1.0, 0.0]) if below is None else _across(-below))
    if below is None:
        below = extent[1] * _across(right)
    return np.stack([right, below])


def _across(step: FloatArray) -> FloatArray:
    """Return the direction (2,) a quarter turn clockwise in the picture from a step."""
    turned: FloatArray = np.array([-step[1], step[0]]) / np.linalg.norm(step)
    return turned


def _step(middles: FloatArray, axis: int, extent: FloatArray) -> FloatArray | None:
    """Return the usual way (2,) from a blob to its nearest neighbour along an axis of the picture."""
    ways = middles[None] - middles[:, None]
    along, aside = ways[..., axis], np.abs(ways[..., 1 - axis])
    length = np.where((along > extent[axis] / 2) & (aside < _CONE * along), np.linalg.norm(ways, axis=2), np.inf)
    nearest = length.argmin(axis=1)
    one = np.flatnonzero(np.isfinite(length.min(axis=1)))
    if not len(one):
        return None
    lengths = length[one, nearest[one]]
    near = lengths <= _NEIGHBOURS * np.quantile(lengths, 0.25)
    step: FloatArray = np.median(ways[one, nearest[one]][near], axis=0)
    return step
