"""Where in a photograph the cloth is: given by hand, or the largest region of one colour beside the card."""

from collections.abc import Sequence

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.errors import TenterError
from tenter.language import _
from tenter.photo.cloth.print_palette import colour_groups, features, shrunk
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import D65_WHITE, Correction

_SIDE = 320  # long side in pixels at which regions are looked for
_MIN_AREA = 0.015  # of the picture
_SURROUND_EDGES = 3  # a region that runs along so many edges of the picture is the wall or the table
_CARD_MARGIN = 1.15  # of the card's size: its frame and its shadow are no cloth


def outline_mask(photo: Photo, outline: FloatArray) -> BoolArray:
    """Return the pixels (height, width) inside an outline (n, 2), given in pixels of the upright original.

    Raises
    ------
    TenterError
        If it has fewer than three corners or leaves the picture.
    """
    points = np.asarray(outline, dtype=float)
    if points.ndim != 2 or points.shape[1] != 2 or len(points) < 3:
        raise TenterError(
            _("an outline of {count} points came; give at least three, as x,y in pixels", count=len(points))
        )
    height, width = (round(side * photo.reduction) for side in photo.rgb.shape[:2])
    if (points < -1).any() or (points > np.array([width, height]) + 1).any():
        x, y = points.max(axis=0)
        raise TenterError(
            _(
                "the outline reaches to {x},{y} or below 0, and the upright picture has {width} × {height} "
                "pixels; give positions inside it, x to the right and y down",
                x=f"{x:.0f}",
                y=f"{y:.0f}",
                width=width,
                height=height,
            )
        )
    return filled(photo.rgb.shape[:2], points / photo.reduction)


def filled(shape: tuple[int, ...], outline: FloatArray) -> BoolArray:
    """Return the inside (height, width) of a polygon (n, 2), x and y; pixel (0, 0) spans 0 to 1."""
    mask = np.zeros(shape[:2], dtype=np.uint8)
    cv2.fillPoly(mask, [np.round((outline - 0.5) * 16).astype(np.int32)], 1, shift=4)
    return mask > 0


def grown(corners: FloatArray, factor: float) -> FloatArray:
    """Return corners (n, 2) moved away from their middle by a factor, in their shape; 1 leaves them as they are."""
    middle = corners.mean(axis=0)
    moved: FloatArray = middle + factor * (corners - middle)
    return moved


def small_lab(photo: Photo, correction: Correction, side: int = _SIDE) -> FloatArray:
    """Return the picture in Lab (height, width, 3), reduced."""
    height, width = photo.rgb.shape[:2]
    everything = np.ones((height, width), dtype=bool)
    linear, _ = shrunk(correction.tone.linear(photo.code((slice(0, height), slice(0, width)))), everything, side)
    return xyz_to_lab(np.maximum(correction.for_dyes.xyz(linear), 1e-5), D65_WHITE)


def find_cloth(photo: Photo, correction: Correction, card_corners_px: FloatArray | None) -> BoolArray | None:
    """Return the pixels (height, width) of the largest region of one colour beside the card, or None.

    What surrounds everything is passed over when anything else is there. card_corners_px: (4, 2), in the upright
    original.
    """
    lab = small_lab(photo, correction)
    shape = lab.shape[:2]
    free = ~card_mask(shape, photo, card_corners_px)
    group = np.full(shape, -1)
    group[free] = colour_groups(features(lab)[free])
    regions = [region for k in range(int(group.max()) + 1) for region in _regions(group == k)]
    if not regions:
        return None
    inner = [region for region in regions if _edges(region) < _SURROUND_EDGES]
    best = max(inner or regions, key=np.count_nonzero)
    core = cv2.erode(best.astype(np.uint8), np.ones((3, 3), np.uint8))
    full = cv2.resize(core, photo.rgb.shape[1::-1], interpolation=cv2.INTER_NEAREST)
    found: BoolArray = full > 0
    return found


def card_mask(shape: Sequence[int], photo: Photo, card_corners_px: FloatArray | None) -> BoolArray:
    """Return where the card lies (height, width), a little more than it covers, in a picture reduced to `shape`.

    card_corners_px: (4, 2), in the upright original; None for no card.
    """
    if card_corners_px is None:
        return np.zeros(tuple(shape[:2]), dtype=bool)
    scale = shape[0] / (photo.rgb.shape[0] * photo.reduction)
    return filled(tuple(shape), grown(card_corners_px, _CARD_MARGIN) * scale)


def _regions(where: BoolArray) -> list[BoolArray]:
    opened = cv2.morphologyEx(where.astype(np.uint8), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    _, labels, stats, _ = cv2.connectedComponentsWithStats(opened, connectivity=4)
    return [labels == k for k in range(1, len(stats)) if stats[k, cv2.CC_STAT_AREA] >= _MIN_AREA * where.size]


def _edges(region: BoolArray) -> int:
    """Return along how many edges of the picture a region runs for a fifth of their length or more."""
    return sum(float(edge.mean()) > 0.2 for edge in (region[1], region[-2], region[:, 1], region[:, -2]))


def outline_of(mask: BoolArray, reduction: float) -> FloatArray:
    """Return a few corners (n, 2) of the largest part of a mask (height, width), in pixels of the upright original.

    reduction: how many pixels of the original one of the mask stands for, along each side.
    """
    contours, _ = cv2.findContours(mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
    largest = max(contours, key=cv2.contourArea)
    few = cv2.approxPolyDP(largest, 0.01 * cv2.arcLength(largest, True), True)
    corners: FloatArray = (few.reshape(-1, 2) + 0.5) * reduction
    return corners
