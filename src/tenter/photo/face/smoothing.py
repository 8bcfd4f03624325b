"""Whether a filter went over the face: its fine grain held against that of the card and the background.

A sensor's noise lies on skin as on a card's patches of the same brightness, and as on the neck below. A beauty filter
or a portrait mode that smooths the face takes it away there and leaves it elsewhere; one that blurs the background
takes it away behind the person only. No texture of skin is looked for: real pores only add grain.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import BoolArray, ByteArray, FloatArray
from tenter.language import _
from tenter.numerals import whole_percent
from tenter.photo import reasons
from tenter.photo.files.loading import Photo
from tenter.photo.regions.landmarks import FaceSearch
from tenter.photo.regions.regions import SKIN, Region, region_mask

# Immerkær's operator leaves out everything but grain: planes and straight edges cancel.
# J. Immerkær (1996), Fast noise variance estimation, Comput. Vis. Image Underst. 64(2), 300-302 (from memory).
_GRAIN = np.array([[1, -2, 1], [-2, 4, -2], [1, -2, 1]], dtype=np.float32) / 6
_MEAN_OF_NINE_TENTHS = 0.658  # mean size of a standard normal deviate whose tenth of largest sizes is left out
_FLAT = 1.6  # code values a pixel: steeper places, edges and creases, are not read
_LEVEL = 16  # code values: grain depends on brightness, so like is compared with like
_NEAR = 2  # levels
_LEAST_SIDE = 32
_ALL_OF_IT = 0.99
_LEAST_PIXELS = 120
# JPEG and a camera's own smoothing take the finest grain first, so coarser bands are read too: the picture, its half
# and its quarter. By band: code values below which rounding and JPEG have taken the grain everywhere, and what a face
# has of the card's grain at least. Set on exposures of `./run bench filter`: no untouched one lay below.
_LEAST_GRAIN = {1: 0.4, 2: 0.25, 4: 0.2}
SMOOTHED_BELOW = {1: 0.55, 2: 0.58, 4: 0.62}
BLURRED_BELOW = 0.35
UNCARDED_BELOW = 0.5  # of the neck's or the background's grain, where no card tells: neither is as even as a card
_HARD_JPEG = 30.0  # mean step of a JPEG's luminance table: a quality of about 74


@dataclass(frozen=True, slots=True)
class Grain:
    """Grain of the skin, and of the background, as shares of the card's at the same brightness; None where unknown.

    Without a card the skin's is a share of the neck's, and of the background's where that has less grain. smoothed: how
    far the skin's share lies below what is ever left to plain faces in some band, as a share of that; 1 is the limit.
    """

    skin: float | None
    background: float | None
    smoothed: float | None = None
    carded: bool = True


def grain(photo: Photo, mesh_px: FloatArray, card_corners_px: FloatArray | None) -> Grain:
    """Return the grain of a photograph with a face mesh (478, 2), by a card with corners (4, 2), all in its pixels."""
    grey = cv2.cvtColor(photo.rgb, cv2.COLOR_RGB2GRAY).astype(np.float32)
    skin = np.zeros(grey.shape, dtype=bool)
    for region in SKIN:
        skin |= region_mask(photo.rgb.shape, mesh_px, region)
    likely = _like_skin(photo.rgb)
    nowhere = np.zeros((4, 2))
    card = _inside(grey.shape, nowhere if card_corners_px is None else card_corners_px)
    places = {
        "skin": skin & likely,
        "card": card & likely,
        "neck": region_mask(photo.rgb.shape, mesh_px, Region.NECK) & likely,
        "background": _beside(grey, mesh_px, nowhere if card_corners_px is None else card_corners_px) & likely,
    }
    if card_corners_px is None:
        shares = {band: _beside_the_face(_of_band(grey, places, band), band) for band in _LEAST_GRAIN}
        limits = dict.fromkeys(_LEAST_GRAIN, UNCARDED_BELOW)
        background = None
    else:
        found = {band: _of_band(grey, places, band) for band in _LEAST_GRAIN}
        shares = {band: _share(by["skin"], by["card"], _LEAST_GRAIN[band]) for band, by in found.items()}
        limits = SMOOTHED_BELOW
        of_background = (_share(by["background"], by["card"], _LEAST_GRAIN[band]) for band, by in found.items())
        background = next((share for share in of_background if share is not None), None)
    known = {band: share for band, share in shares.items() if share is not None}
    if not known:
        return Grain(None, background, None, card_corners_px is not None)
    band = min(known, key=lambda band: known[band] / limits[band])
    return Grain(known[band], background, known[band] / limits[band], card_corners_px is not None)


def filter_reasons(photo: Photo, search: FaceSearch, card_corners_px: FloatArray | None) -> list[reasons.Reason]:
    """Return a note where a filter is likely, or cannot be judged.

    card_corners_px: (4, 2), in pixels of the upright original; None without a card.
    """
    if search.mesh_px is None:
        return []
    corners = None if card_corners_px is None else card_corners_px / photo.reduction
    found = grain(photo, search.mesh_px, corners)
    text = suspicion(found)
    if text is not None:
        return [reasons.Reason(reasons.Code.FILTER_SUSPECTED, text)]
    if found.skin is None and photo.jpeg_step > _HARD_JPEG:
        return [
            reasons.Reason(
                reasons.Code.FILTER_UNKNOWN,
                _(
                    "The picture is compressed hard, as messengers do, and its fine grain is gone: whether a filter "
                    "smoothed the face cannot be judged. Ask for the file as it came from the camera."
                ),
            )
        ]
    return []


def suspicion(found: Grain) -> str | None:
    """Return what a filter's traces are, in plain words and with what to do, or None."""
    if found.skin is not None and found.smoothed is not None and found.smoothed < 1:
        percent = whole_percent(found.skin)
        smoothed = (
            _(
                "The face looks smoothed: it has {percent} of the grain that the card has at the same brightness.",
                percent=percent,
            )
            if found.carded
            else _(
                "The face looks smoothed: it has {percent} of the grain that the neck and the background have.",
                percent=percent,
            )
        )
        what_next = _(
            "A filter or a portrait mode may also have changed its colour. Turn both off, use the plain photo mode, "
            "and take it again."
        )
        return f"{smoothed} {what_next}"
    if found.background is not None and found.background < BLURRED_BELOW:
        return _(
            "The background looks blurred by the camera: it has {percent} of the card's grain. A portrait mode often "
            "smooths and colours the face as well. Use the plain photo mode.",
            percent=whole_percent(found.background),
        )
    return None


_ByLevel = dict[int, tuple[float, int]]


def _of_band(grey: FloatArray, places: Mapping[str, BoolArray], band: int) -> dict[str, _ByLevel]:
    """Return the grain of each place by level of brightness, in the picture reduced by `band`."""
    size = (grey.shape[1] // band, grey.shape[0] // band)
    if min(size) < _LEAST_SIDE:
        return {name: {} for name in places}
    reduced = grey if band == 1 else cv2.resize(grey, size, interpolation=cv2.INTER_AREA)
    fine = np.abs(cv2.filter2D(reduced, -1, _GRAIN))
    smooth = cv2.GaussianBlur(reduced, (0, 0), 2.0)
    flat = _flat(smooth)
    level = np.clip(smooth / _LEVEL, 0, 255 // _LEVEL).astype(np.int8)
    found = {}
    for name, place in places.items():
        whole = place.astype(np.float32)
        inside = whole if band == 1 else cv2.resize(whole, size, interpolation=cv2.INTER_AREA)
        found[name] = _by_level(fine, level, (inside > _ALL_OF_IT) & flat)
    return found


def _beside_the_face(by: Mapping[str, _ByLevel], band: int) -> float | None:
    """Return the skin's grain over the neck's, or over the background's where that has less: walls have their own."""
    of_neck = _share(by["skin"], by["neck"], _LEAST_GRAIN[band])
    if of_neck is None:
        return None
    return max(of_neck, _share(by["skin"], by["background"], _LEAST_GRAIN[band]) or 0.0)


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


def _by_level(fine: FloatArray, level: FloatArray, where: BoolArray) -> _ByLevel:
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


def _share(of: _ByLevel, card: _ByLevel, least: float) -> float | None:
    """Return grain over the card's, both at like brightness, weighted by pixels; None where the card shows none."""
    pairs = []
    for step, (sd, count) in of.items():
        near = [known for other, (known, _) in card.items() if abs(other - step) <= _NEAR]
        if near and min(near) >= least:  # JPEG may take the grain at one brightness and leave it at the next
            pairs.append((sd / float(np.mean(near)), count))
    if not pairs:
        return None
    ratios, counts = np.array(pairs).T
    return float(np.average(ratios, weights=counts))
