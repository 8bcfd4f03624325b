"""Find our own card in a photograph by its corner marks, and read its patches and its serial.

Any way up, at any tilt; a mirrored card is found as well. Three marks of four will do, if the fourth is hidden and not
cut off. Detection: cv2.aruco of OpenCV.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.spaces import decode_srgb
from tenter.photo import own_card_layout as layout
from tenter.photo.chart import ChartReading, patch_pixels, read_patches
from tenter.photo.loading import Photo

DICTIONARY = cv2.aruco.DICT_4X4_50
MIN_MARKERS = 3
_MISREAD_SQUARES = 2
_DETECTION_SIDES = (1000, 1600, 2400)  # long side in pixels that the picture is brought to: small marks need the larger
_STRAY_MM = 1.5  # a corner of a mark that lies further from its place than this: the card is bent, or it is none
_UNSURE_CONTRAST = 0.25  # linear: of the strip's black against its white


@dataclass(frozen=True, slots=True)
class OwnCardSighting:
    """What there is of our own card in a picture.

    markers: corner marks seen, 0 to 4. reading: the patches in the order of `own_card_layout.PATCHES`; none with fewer
    than three marks, or where the marks do not lie as on a flat card. serial: none where the strip cannot be read. cut:
    whether a mark that is not seen would lie outside the picture.
    """

    markers: int
    reading: ChartReading | None
    serial: int | None
    flat: bool = True
    cut: bool = False


def find_own_card(photo: Photo) -> OwnCardSighting:
    """Return what there is of our own card in a picture."""
    seen: dict[int, FloatArray] = {}
    for side in _DETECTION_SIDES:
        found = _markers(photo.rgb, side, mirrored=False) or _markers(photo.rgb, side, mirrored=True)
        seen = found if len(found) > len(seen) else seen
        if len(seen) == len(layout.MARKERS_MM):
            break
    if len(seen) < MIN_MARKERS:
        return OwnCardSighting(len(seen), None, None)
    on_card = np.concatenate([layout.MARKERS_MM[number] for number in seen])
    in_picture = np.concatenate(list(seen.values()))
    from_card, _ = cv2.findHomography(on_card, in_picture)
    if from_card is None or _stray_mm(from_card, on_card, in_picture) > _STRAY_MM:
        return OwnCardSighting(len(seen), None, None, flat=False)
    corners = _moved(layout.CORNERS_MM, from_card)
    quads = _moved(np.stack([patch.quad_mm for patch in layout.PATCHES]), from_card)
    height, width = photo.rgb.shape[:2]
    marks = _moved(np.stack(list(layout.MARKERS_MM.values())), from_card)
    cut = bool((marks < 0).any() or (marks > (width - 1, height - 1)).any())
    return OwnCardSighting(len(seen), read_patches(photo, corners, quads), _serial(photo, from_card), cut=cut)


def _markers(rgb: ByteArray, side: int, mirrored: bool) -> dict[int, FloatArray]:
    """Return the corners (4, 2) in the picture of the marks that are seen once, by number, in the mark's own order."""
    scale = min(3.0, side / max(rgb.shape[:2]))
    interpolation = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    grey = cv2.resize(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), None, fx=scale, fy=scale, interpolation=interpolation)
    detector = _detector()
    corners, numbers, _ = detector.detectMarkers(np.ascontiguousarray(grey[:, ::-1]) if mirrored else grey)
    found: dict[int, FloatArray] = {}
    twice: set[int] = set()
    for number, quad in zip([] if numbers is None else numbers.ravel(), corners, strict=True):
        place = np.asarray(quad, dtype=float).reshape(4, 2)
        if mirrored:
            place[:, 0] = grey.shape[1] - 1 - place[:, 0]
        (twice if number in found else set()).add(int(number))
        found[int(number)] = (place + 0.5) / scale - 0.5
    return {number: found[number] for number in layout.MARKERS_MM if number in found and number not in twice}


def _detector() -> cv2.aruco.ArucoDetector:
    """Return a detector of the four corner marks alone, which may have two squares misread and still differ."""
    known = cv2.aruco.getPredefinedDictionary(DICTIONARY)
    ours = cv2.aruco.Dictionary(known.bytesList[: len(layout.MARKERS_MM)].copy(), known.markerSize, _MISREAD_SQUARES)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    # The middle of each square alone is read: with the border, blurred marks of 30 pixels are missed by the half.
    settings.perspectiveRemovePixelPerCell, settings.perspectiveRemoveIgnoredMarginPerCell = 8, 0.3
    return cv2.aruco.ArucoDetector(ours, settings)


def _moved(points: FloatArray, homography: FloatArray) -> FloatArray:
    """Return points (..., 2) carried through a homography (3, 3)."""
    carried = cv2.perspectiveTransform(points.reshape(1, -1, 2), homography)
    return np.asarray(carried, dtype=float).reshape(points.shape)


def _stray_mm(from_card: FloatArray, on_card: FloatArray, in_picture: FloatArray) -> float:
    back = _moved(in_picture, np.asarray(np.linalg.inv(from_card), dtype=float))
    return float(np.linalg.norm(back - on_card, axis=1).max())


def _serial(photo: Photo, from_card: FloatArray) -> int | None:
    levels = []
    for quad in _moved(layout.strip_mm(), from_card):
        pixels = patch_pixels(photo, quad)
        if not len(pixels):
            return None
        levels.append(float(decode_srgb(pixels).mean()))
    dark, light = levels[:2]
    if dark > (1 - _UNSURE_CONTRAST) * light:
        return None
    return layout.serial_of(np.array(levels) < ((dark**0.5 + light**0.5) / 2) ** 2)
