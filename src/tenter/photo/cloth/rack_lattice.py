"""Where the cells of a rack lie: four corners given, or rows and columns of what stands out of the wall."""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray, IntArray
from tenter.errors import TenterError
from tenter.language import _
from tenter.photo.cloth.print_palette import colour_groups, features
from tenter.photo.cloth.rack_grid import grid_of
from tenter.photo.cloth.region import card_mask, small_lab
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import Correction

_SIDE = 480  # long side in pixels at which the wall is looked at
_STANDS_OUT = 2.2  # distance of features from the wall: 6 of L*, or 2 of chroma at L* 35
_MAX_UNEVEN = 0.025  # of log light, robustly: more is no plain wall, or one with shadows
_MIN_WALL = 0.1  # of the picture
_MIN_THING = 0.015  # of it: less is no cloth
_GIVEN_PART, _FOUND_PART = 0.5, 0.7  # of a cell's sides where corners are given, of a cloth's where it was found


@dataclass(frozen=True, slots=True)
class Wall:
    """What the cloths hang on. The light on it, as log light (a parabola in x and y), tells that on the cloths.

    weights: (6,), of the parabola, in units of the reduced picture's long side. even: whether it follows that parabola
    so well that the light may be read from it. seen: whether there is enough of it to say what is not the wall. other:
    where in the reduced picture (height, width) something else is. scale: pixels of the reduced picture to one of the
    upright original.
    """

    weights: FloatArray
    even: bool
    seen: bool
    other: BoolArray
    scale: float

    def log_light(self, at_px: FloatArray) -> FloatArray:
        """Return the logarithm of light (n,) at places (n, 2) in pixels of the upright original."""
        height, width = self.other.shape
        found: FloatArray = _parabola((at_px * self.scale - (width / 2, height / 2)) / _SIDE) @ self.weights
        return found

    def largest(self, shape: Sequence[int]) -> BoolArray | None:
        """Return the largest thing that is not the wall in a picture of a shape (height, width), None without one."""
        whole = cv2.morphologyEx(self.other.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
        count, label, stats, _ = cv2.connectedComponentsWithStats(whole, connectivity=4)
        if count < 2 or stats[1:, cv2.CC_STAT_AREA].max() < _MIN_THING * whole.size:
            return None
        thing = (label == 1 + int(stats[1:, cv2.CC_STAT_AREA].argmax())).astype(np.uint8)
        inner = cv2.erode(thing, np.ones((3, 3), np.uint8))
        found: BoolArray = cv2.resize(inner, (shape[1], shape[0]), interpolation=cv2.INTER_NEAREST) > 0
        return found

    def uncovered(self, outline_px: FloatArray) -> float:
        """Return which part of an outline (n, 2), in pixels of the original, is not the wall."""
        mask = np.zeros(self.other.shape, dtype=np.uint8)
        cv2.fillPoly(mask, [np.round((outline_px * self.scale - 0.5) * 16).astype(np.int32)], 1, shift=4)
        inside = mask > 0
        return float(self.other[inside].mean()) if inside.any() else 1.0


def look_at_wall(photo: Photo, correction: Correction, card_corners_px: FloatArray | None) -> Wall:
    """Return the wall of a picture: its largest colour, with the light that falls off along it.

    card_corners_px: the card's (4, 2) in the upright original, or None; it is no part of the wall.
    """
    lab = small_lab(photo, correction, _SIDE)
    shape = lab.shape[:2]
    card = card_mask(shape, photo, card_corners_px)
    described = features(lab)
    group = np.full(shape, -1)
    group[~card] = colour_groups(described[~card])
    wall = cv2.erode((group == _surround(group)).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    y, x = np.indices(shape)
    places = (np.stack([x + 0.5, y + 0.5], axis=-1) - (shape[1] / 2, shape[0] / 2)) / _SIDE
    log_light = 3 * np.log((lab[..., 0] + 16) / 116)
    weights, unevenness = _fitted(places[wall], log_light[wall])
    # L* + 16 goes with the cube root of light: what the wall would be like here, were it not covered
    expected = 116 * np.exp(_parabola(places.reshape(-1, 2)) @ weights / 3).reshape(shape) - 16
    tint = np.median((lab[..., 1:] / (lab[..., :1] + 16))[wall], axis=0)
    as_wall = np.concatenate([expected[..., None], tint * (expected[..., None] + 16)], axis=-1)
    other = (np.linalg.norm(described - features(as_wall), axis=2) > _STANDS_OUT) & ~card
    other = cv2.morphologyEx(other.astype(np.uint8), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8)) > 0
    seen = bool(wall.mean() >= _MIN_WALL)
    return Wall(
        weights, seen and unevenness <= _MAX_UNEVEN, seen, other, shape[0] / (photo.rgb.shape[0] * photo.reduction)
    )


def _surround(group: IntArray) -> int:
    """Return the group that holds most of the picture's border."""
    border = np.concatenate([group[0], group[-1], group[:, 0], group[:, -1]])
    return int(np.bincount(border[border >= 0]).argmax()) if (border >= 0).any() else 0


def _parabola(at: FloatArray) -> FloatArray:
    x, y = at.T
    return np.column_stack([np.ones(len(at)), x, y, x * x, x * y, y * y])


def _fitted(places: FloatArray, log_light: FloatArray) -> tuple[FloatArray, float]:
    """Return the parabola (6,) through most of the wall, and the spread about it."""
    if len(places) < 50:
        return np.zeros(6), np.inf
    keep = np.ones(len(places), dtype=bool)
    for _step in range(4):
        weights = np.linalg.lstsq(_parabola(places[keep]), log_light[keep], rcond=None)[0]
        off = np.abs(log_light - _parabola(places) @ weights)
        keep = off <= max(3 * 1.48 * float(np.median(off[keep])), 0.005)
    return np.asarray(weights, dtype=float), 1.48 * float(np.median(off))  # cloths of the wall's colour are few


def given_cells(corners: FloatArray, rows: int, columns: int) -> FloatArray:
    """Return the quads (rows, columns, 4, 2) of the middles of a rack's cells, whose four corners are given.

    corners: (4, 2), top left first, then clockwise, at the outer edges of the outermost cloths.

    Raises
    ------
    TenterError
        If they are not four, or not in that order.
    """
    corners = np.asarray(corners, dtype=float)
    if corners.shape != (4, 2) or not _clockwise(corners):
        raise TenterError(
            _(
                "{count} corners came, or not in their order; give four as x,y in pixels: top left, top right, "
                "bottom right, bottom left of the rack",
                count=len(corners),
            )
        )
    unit = np.array([[0, 0], [columns, 0], [columns, rows], [0, rows]], dtype=np.float32)
    to_picture = cv2.getPerspectiveTransform(unit, corners.astype(np.float32))
    half = np.full(2, _GIVEN_PART / 2)
    return _quads(to_picture, rows, columns, half)


def _clockwise(corners: FloatArray) -> bool:
    sides = np.roll(corners, -1, axis=0) - corners
    after = np.roll(sides, -1, axis=0)
    turns = sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0]
    return bool((turns > 0).all())


def _quads(to_picture: FloatArray, rows: int, columns: int, half: FloatArray) -> FloatArray:
    row, column = np.indices((rows, columns))
    centres = np.stack([column + 0.5, row + 0.5], axis=-1)
    square = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half
    corners = (centres[:, :, None] + square).reshape(1, -1, 2)
    return np.asarray(cv2.perspectiveTransform(corners, to_picture), dtype=float).reshape(rows, columns, 4, 2)


def found_cells(wall: Wall, rows: int, columns: int) -> FloatArray | None:
    """Return the quads (rows, columns, 4, 2) of the middles of cells, in pixels of the original; None if not found.

    What stands out of the wall is sorted into rows and columns (`rack_grid.py`). Cells may be empty as long as every
    row and every column holds a cloth. Cloths that touch are told apart by even division.
    """
    count, label, stats, _ = cv2.connectedComponentsWithStats(wall.other.astype(np.uint8), connectivity=4)
    sizes = stats[1:count, cv2.CC_STAT_AREA]
    if not len(sizes):
        return None
    typical = np.median(np.sort(sizes)[::-1][: rows * columns])
    large = np.flatnonzero((sizes > 0.3 * typical) & (sizes < 3 * typical)) + 1
    middles = (stats[large, :2] + stats[large, 2:4] / 2).astype(float)
    grid = grid_of(middles, np.median(stats[large, 2:4], axis=0).astype(float))
    if grid is None or grid.size != (columns, rows):
        return _divided(wall, stats[1:count], rows, columns)
    to_picture = grid.homography(middles)
    if to_picture is None:
        return None
    part = _cloth_part(label, large[grid.blobs], to_picture)
    to_original = np.diag([1 / wall.scale, 1 / wall.scale, 1.0]) @ to_picture
    return _quads(to_original, rows, columns, _FOUND_PART / 2 * part)


def _cloth_part(label: IntArray, cloths: IntArray, to_picture: FloatArray) -> FloatArray:
    """Return which part (2,) of a cell's width and height a cloth usually covers."""
    to_lattice = np.linalg.inv(to_picture)
    parts = []
    for cloth in cloths:
        y, x = np.nonzero(label == cloth)
        at = cv2.perspectiveTransform(np.stack([x + 0.5, y + 0.5], axis=-1)[None].astype(float), to_lattice)[0]
        parts.append(np.ptp(np.percentile(at, [5, 95], axis=0), axis=0) / 0.9)
    covered: FloatArray = np.minimum(np.median(parts, axis=0), 1)
    return covered


def _divided(wall: Wall, stats: IntArray, rows: int, columns: int) -> FloatArray | None:
    """Return cells by even division of the box about all that stands out, if that fills it."""
    large = stats[stats[:, cv2.CC_STAT_AREA] > 0.2 * stats[:, cv2.CC_STAT_AREA].max()]
    left, top = large[:, 0].min(), large[:, 1].min()
    right, bottom = (large[:, 0] + large[:, 2]).max(), (large[:, 1] + large[:, 3]).max()
    box = np.array([[left, top], [right, top], [right, bottom], [left, bottom]], dtype=float)
    filling = large[:, cv2.CC_STAT_AREA].sum() / ((right - left) * (bottom - top))
    height, width = wall.other.shape
    across = (left <= 1 and right >= width - 1) or (top <= 1 and bottom >= height - 1)  # from edge to edge runs a wall
    rest = 1 - large[:, cv2.CC_STAT_AREA].sum() / stats[:, cv2.CC_STAT_AREA].sum()
    if filling < 0.85 or rest > 0.1 or len(large) > rows * columns or across:
        return None
    return given_cells(box / wall.scale, rows, columns)
