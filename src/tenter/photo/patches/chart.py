"""Find the 24-patch card in a photograph and read its patches.

The card may stand upright or lie, at any tilt; it is read in its own order (dark skin first, black last). A mirrored
card is found as well, and said to be one. Detection: cv2.mcc of OpenCV contrib, whose corners are then refined on the
patches themselves.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import BoolArray, ByteArray, FloatArray
from tenter.colorimetry.spaces import decode_srgb, encode_srgb
from tenter.photo.files.loading import Photo
from tenter.photo.patches.reference import PATCH_COUNT

_DETECTION_SIDES = (1000, 1600)  # long side in pixels: the first is fast, the second finds smaller cards
_LARGEST_MAGNIFIED = 2.0  # a small picture is made larger for the second, as the detector wants a card of 100 pixels
_PATCH_TO_SAMPLE = 1.95  # cv2.mcc returns the middle of each patch; this many times its side is the patch
_CORE = 0.5  # part of a patch's width that is read: its border mixes with the frame
HIGH_CODE, LOW_CODE = 250 / 255, 3 / 255  # code values from which a channel counts as clipped
# Of the unit square, clockwise from the top left.
_CARD_CORNERS = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


@dataclass(frozen=True, slots=True)
class ChartReading:
    """The patches of a card as the camera saw them, in the card's own order.

    corners_px: (4, 2), x right and y down, beginning at the dark skin patch's corner, then along its row.
    centres_px: (24, 2). code: (24, 3), sRGB code of the mean linear light, 0-1. spread: (24, 3), standard deviation of
    the code within the patch. clipped: (24,), whether a channel reached white. crushed: (24, 3), channels that
    reached black. outside: (24,), whether the patch leaves the picture.
    """

    corners_px: FloatArray
    centres_px: FloatArray
    code: FloatArray
    spread: FloatArray
    clipped: BoolArray
    crushed: BoolArray
    outside: BoolArray
    patch_side_px: float

    @property
    def mirrored(self) -> bool:
        """Whether the card is seen as in a mirror: its rows run the wrong way round."""
        along, down = self.corners_px[1] - self.corners_px[0], self.corners_px[3] - self.corners_px[0]
        return bool(along[0] * down[1] < along[1] * down[0])

    def turned_half(self) -> "ChartReading":
        """The same reading with the card taken the other way up."""
        return ChartReading(
            np.roll(self.corners_px, 2, axis=0),
            self.centres_px[::-1],
            self.code[::-1],
            self.spread[::-1],
            self.clipped[::-1],
            self.crushed[::-1],
            self.outside[::-1],
            self.patch_side_px,
        )


def find_chart(photo: Photo) -> ChartReading | None:
    """Return the reading of the 24-patch card in a picture, or None when there is none.

    Which end of the card is up is left open: compare with `turned_half`.
    """
    rgb = photo.rgb
    for side, largest in zip(_DETECTION_SIDES, (1.0, _LARGEST_MAGNIFIED), strict=True):
        scale = min(largest, side / max(rgb.shape[:2]))
        interpolation = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
        scaled = rgb if scale == 1 else cv2.resize(rgb, None, fx=scale, fy=scale, interpolation=interpolation)
        found = _detected_quads(scaled)
        if found is not None:
            box, quads = (_rescaled(points, scale) for points in found)
            return read_patches(photo, *_refined(rgb, box, quads))
    return None


def _rescaled(points: FloatArray, scale: float) -> FloatArray:
    """Return pixel positions in the full picture of positions in the reduced one (pixel centres at whole numbers)."""
    full: FloatArray = (points + 0.5) / scale - 0.5
    return full


def _detected_quads(rgb: ByteArray) -> tuple[FloatArray, FloatArray] | None:
    detector = cv2.mcc.CCheckerDetector.create()
    if not detector.process(cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR), cv2.mcc.MCC24, nc=1):
        return None
    checker = detector.getBestColorChecker()
    samples = np.asarray(checker.getColorCharts(), dtype=float).reshape(PATCH_COUNT, 4, 2)
    quads = np.stack([_shrunk(sample, _PATCH_TO_SAMPLE) for sample in samples])
    return np.asarray(checker.getBox(), dtype=float), quads


def _refined(rgb: ByteArray, box: FloatArray, quads: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the corners (4, 2) and patch quads (24, 4, 2), moved so that the patches sit on their own centres.

    The detector is off by up to a tenth of a patch pitch. Each patch is grown from its centre over pixels of its
    colour; the centres of the patches that grow to a plausible size fix the homography anew.
    """
    to_card, _ = cv2.findHomography(box, _CARD_CORNERS)
    card_quads = cv2.perspectiveTransform(quads.reshape(1, -1, 2), to_card).reshape(PATCH_COUNT, 4, 2)
    grown = [_grown_centre(rgb, quad) for quad in quads]
    usable = [k for k, centre in enumerate(grown) if centre is not None]
    if len(usable) < 12:
        return box, quads
    from_card, _ = cv2.findHomography(
        card_quads[usable].mean(axis=1), np.array([grown[k] for k in usable]), cv2.RANSAC, 0.05 * _side(quads)
    )
    if from_card is None:
        return box, quads
    corners = cv2.perspectiveTransform(_CARD_CORNERS[None], from_card)[0]
    moved = cv2.perspectiveTransform(card_quads.reshape(1, -1, 2), from_card).reshape(PATCH_COUNT, 4, 2)
    if np.abs(moved - quads).max() > _side(quads):
        return box, quads
    return corners, moved


def _side(quads: FloatArray) -> float:
    """Return the mean side of the patches in pixels."""
    return float(np.linalg.norm(quads - np.roll(quads, 1, axis=1), axis=2).mean())


def _grown_centre(rgb: ByteArray, quad: FloatArray) -> FloatArray | None:
    side = _side(quad[None])
    x0, y0 = np.maximum(np.floor(quad.mean(axis=0) - 0.9 * side).astype(int), 0)
    x1, y1 = np.ceil(quad.mean(axis=0) + 0.9 * side).astype(int)
    window = rgb[y0:y1, x0:x1].astype(float)
    if min(window.shape[:2]) < 4:
        return None
    core = _inside(window.shape[:2], _shrunk(quad, 0.4) - (x0, y0))
    if not core.any():
        return None
    colour = np.median(window[core], axis=0)
    alike = np.abs(window - colour).max(axis=2) < 14 + 2 * np.abs(window[core] - colour).mean()
    _, labels, _, centroids = cv2.connectedComponentsWithStats(alike.astype(np.uint8), connectivity=4)
    component = np.bincount(labels[core & alike], minlength=len(centroids))
    component[0] = 0
    best = int(component.argmax())
    area = np.count_nonzero(labels == best)
    if component[best] == 0 or not 0.6 < area / cv2.contourArea(quad.astype(np.float32)) < 1.7:
        return None
    centre: FloatArray = centroids[best] + (x0, y0)
    return centre


def _shrunk(quad: FloatArray, part: float) -> FloatArray:
    """Return the quad (4, 2) with its sides multiplied by `part`, about its centre."""
    centre = quad.mean(axis=0)
    smaller: FloatArray = centre + part * (quad - centre)
    return smaller


def _inside(shape: tuple[int, ...], polygon: FloatArray) -> BoolArray:
    mask = np.zeros(shape[:2], dtype=np.uint8)
    cv2.fillConvexPoly(mask, np.round(polygon).astype(np.int32), 1)
    return mask > 0


def read_patches(photo: Photo, corners: FloatArray, quads: FloatArray) -> ChartReading:
    """Return what the patches of a card show whose corners (4, 2) and patch quads (n, 4, 2) are known in pixels."""
    n = len(quads)
    code, spread, high, low = (np.zeros((n, 3)) for _ in range(4))
    outside = np.zeros(n, dtype=bool)
    height, width = photo.rgb.shape[:2]
    for k, quad in enumerate(quads):
        pixels = patch_pixels(photo, quad)
        whole = _shrunk(quad, 0.9)
        outside[k] = len(pixels) < 4 or (whole < 0).any() or (whole > (width - 1, height - 1)).any()
        if not outside[k]:
            code[k] = encode_srgb(trimmed_mean(decode_srgb(pixels)))
            spread[k] = pixels.std(axis=0)
            high[k], low[k] = (pixels >= HIGH_CODE).mean(axis=0), (pixels <= LOW_CODE).mean(axis=0)
    return ChartReading(
        corners, quads.mean(axis=1), code, spread, np.any(high > 0.1, axis=1), low > 0.3, outside, _side(quads)
    )


def patch_pixels(photo: Photo, quad: FloatArray) -> FloatArray:
    """Return the code values (n, 3) of the middle of a patch, whose corners are `quad` (4, 2) in pixels."""
    core = _shrunk(quad, _CORE)
    x0, y0 = np.maximum(np.floor(core.min(axis=0)).astype(int), 0)
    x1, y1 = np.maximum(np.ceil(core.max(axis=0)).astype(int) + 1, 0)
    window = photo.code((slice(y0, y1), slice(x0, x1)))
    return window[_inside(window.shape, core - (x0, y0))] if window.size else window.reshape(-1, 3)


def trimmed_mean(linear: FloatArray) -> FloatArray:
    """Return the mean (3,) of each channel of pixels (n, 3) without its lowest and highest tenth: dust and glints."""
    ordered = np.sort(linear, axis=0)
    cut = len(ordered) // 10
    mean: FloatArray = ordered[cut : len(ordered) - cut].mean(axis=0)
    return mean
