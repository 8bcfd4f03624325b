"""Whether a filter went over the face: its fine grain held against that of the card and the background.

A sensor's noise lies on skin as on a card's patches of the same brightness. A beauty filter or a portrait mode that
smooths the face takes it away there and leaves it elsewhere; one that blurs the background takes it away behind the
person and leaves it on the card. No texture of skin is looked for: real pores only add grain.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import BoolArray, ByteArray, FloatArray
from tenter.photo import gate
from tenter.photo.landmarks import FaceSearch
from tenter.photo.loading import Photo
from tenter.photo.regions import SKIN, region_mask

# Immerkær's operator leaves out everything but grain: planes and straight edges cancel.
# J. Immerkær (1996), Fast noise variance estimation, Comput. Vis. Image Underst. 64(2), 300-302 (from memory).
_GRAIN = np.array([[1, -2, 1], [-2, 4, -2], [1, -2, 1]], dtype=np.float32) / 6
_MEAN_OF_NINE_TENTHS = 0.658  # mean size of a standard normal deviate whose tenth of largest sizes is left out
_FLAT = 1.6  # code values a pixel: steeper places, edges and creases, are not read
_LEVEL = 16  # code values: grain depends on brightness, so like is compared with like
_NEAR = 2  # levels
_LEAST_PIXELS = 120
_LEAST_GRAIN = 0.4  # code values: below it rounding and JPEG have taken the grain everywhere
# Set on `./run bench filter`: no untouched exposure lay below.
SMOOTHED_BELOW, BLURRED_BELOW = 0.55, 0.35


@dataclass(frozen=True, slots=True)
class Grain:
    """Grain of the skin, and of the background, as shares of the card's at the same brightness; None where unknown."""

    skin: float | None
    background: float | None


def grain(photo: Photo, mesh_px: FloatArray, card_corners_px: FloatArray) -> Grain:
    """Return the grain of a photograph with a face mesh (478, 2) and a card's corners (4, 2), both in its pixels."""
    grey = cv2.cvtColor(photo.rgb, cv2.COLOR_RGB2GRAY)
    fine = np.abs(cv2.filter2D(grey.astype(np.float32), -1, _GRAIN))
    smooth = cv2.GaussianBlur(grey.astype(np.float32), (0, 0), 2.0)
    flat = _flat(smooth)
    like_skin = _like_skin(photo.rgb)
    card = _inside(grey.shape, card_corners_px) & flat & like_skin
    skin = np.zeros_like(flat)
    for region in SKIN:
        skin |= region_mask(photo.rgb.shape, mesh_px, region)
    background = _beside(grey, mesh_px, card_corners_px) & flat & like_skin
    level = np.clip(smooth / _LEVEL, 0, 255 // _LEVEL).astype(np.int8)
    of_card = _by_level(fine, level, card)
    return Grain(
        _share(_by_level(fine, level, skin & flat), of_card), _share(_by_level(fine, level, background), of_card)
    )


def filter_reasons(photo: Photo, search: FaceSearch, card_corners_px: FloatArray | None) -> list[gate.Reason]:
    """Return a note where a filter is likely; corners in pixels of the upright original, None without a card."""
    if search.mesh_px is None or card_corners_px is None:
        return []
    text = suspicion(grain(photo, search.mesh_px, card_corners_px / photo.reduction))
    return [] if text is None else [gate.Reason(gate.Code.FILTER_SUSPECTED, text)]


def suspicion(found: Grain) -> str | None:
    """Return what a filter's traces are, in plain words and with what to do, or None."""
    if found.skin is not None and found.skin < SMOOTHED_BELOW:
        return (
            f"The face looks smoothed: it has {found.skin:.0%} of the grain that the card has at the same brightness. "
            "A filter or a portrait mode may also have changed its colour. Turn both off, use the plain photo mode, "
            "and take it again."
        )
    if found.background is not None and found.background < BLURRED_BELOW:
        return (
            f"The background looks blurred by the camera: it has {found.background:.0%} of the card's grain. A "
            "portrait mode often smooths and colours the face as well. Use the plain photo mode."
        )
    return None


def _flat(smooth: FloatArray | ByteArray) -> BoolArray:
    down, across = (cv2.Sobel(smooth, cv2.CV_32F, *order, scale=1 / 8) for order in ((0, 1), (1, 0)))
    steep = (np.hypot(down, across) > _FLAT).astype(np.uint8)
    lit = (smooth > 12) & (smooth < 243)
    calm: BoolArray = lit & (cv2.dilate(steep, np.ones((5, 5), np.uint8)) == 0)
    return calm


def _like_skin(rgb: ByteArray) -> BoolArray:
    """Return where a colour is a grey or a skin's: saturated colours have other grain, as one channel is near black."""
    red, green, blue = np.moveaxis(cv2.GaussianBlur(rgb.astype(np.float32), (0, 0), 2.0), 2, 0)
    likely: BoolArray = (green > 0.6 * red) & (green < 1.15 * red) & (blue > 0.6 * green) & (blue < 1.15 * green)
    return likely


def _inside(shape: tuple[int, ...], corners: FloatArray) -> BoolArray:
    mask = np.zeros(shape[:2], dtype=np.uint8)
    cv2.fillConvexPoly(mask, np.round(corners).astype(np.int32), 1)
    return mask > 0


def _beside(grey: ByteArray, mesh: FloatArray, corners: FloatArray) -> BoolArray:
    """Return the picture beside the head and above the shoulders, without the card and what lies close to it."""
    low, high = mesh.min(axis=0), mesh.max(axis=0)
    rim = 0.5 * (high[0] - low[0])
    found = np.ones(grey.shape, dtype=bool)
    found[:, max(0, int(low[0] - rim)) : max(0, int(high[0] + rim))] = False
    found[max(0, int((low[1] + high[1]) / 2)) :] = False
    return found & ~_inside(grey.shape, corners.mean(axis=0) + 1.3 * (corners - corners.mean(axis=0)))


def _by_level(fine: FloatArray, level: FloatArray, where: BoolArray) -> dict[int, tuple[float, int]]:
    """Return mean grain and number of pixels by level of brightness."""
    found = {}
    for step in np.unique(level[where]):
        values = fine[where & (level == step)]
        if len(values) >= _LEAST_PIXELS:
            found[int(step)] = (_spread(values), len(values))
    return found


def _spread(values: FloatArray) -> float:
    """Return a standard deviation from the sizes of normal deviates, without the tenth that edges enlarge."""
    ordered = np.sort(values)
    kept = ordered[: int(0.9 * len(ordered)) + 1]
    return float(kept.mean()) / _MEAN_OF_NINE_TENTHS


def _share(of: dict[int, tuple[float, int]], card: dict[int, tuple[float, int]]) -> float | None:
    """Return grain over the card's, both at like brightness, weighted by pixels; None where the card shows none."""
    pairs = []
    for step, (sd, count) in of.items():
        near = [known for other, (known, _) in card.items() if abs(other - step) <= _NEAR]
        if near and min(near) >= _LEAST_GRAIN:  # JPEG may take the grain at one brightness and leave it at the next
            pairs.append((sd / float(np.mean(near)), count))
    if not pairs:
        return None
    ratios, counts = np.array(pairs).T
    return float(np.average(ratios, weights=counts))
