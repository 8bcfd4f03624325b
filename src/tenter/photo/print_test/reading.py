"""Read a printed test sheet in a photograph with a card: the colour of each patch under D65.

The card says what the picture's colours are. Light falls off between card and sheet, which the bare paper between the
patches shows: its fall-off is carried on to the card and taken off every patch. Marks: cv2.aruco of OpenCV.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.errors import TenterError
from tenter.language import N_, _, as_typed
from tenter.photo.cards import CardChoice, ChartKind, look_for_card
from tenter.photo.cloth.measure import require_card, said_of_card, usable_correction
from tenter.photo.files.loading import Photo
from tenter.photo.own_card.marks import DICTIONARY, carried
from tenter.photo.patches.chart import HIGH_CODE, LOW_CODE, patch_pixels
from tenter.photo.patches.correction import D65_WHITE, Correction
from tenter.photo.print_test import layout

_DETECTION_SIDES = (1600, 2400, 3200)  # long side in pixels: small marks need the larger
_STRAY_MM = 2.0  # how far a mark's corner may lie from its place: more, and the sheet is bent
_LEAST_PIXELS = 40  # in the middle of a patch
_MOST_CLIPPED = 0.1  # part of a patch's pixels with a channel at white or, in all three, at black


@dataclass(frozen=True, slots=True, eq=False)
class SheetReading:
    """What was read of a test sheet: the numbers of the patches, their CIELAB (n, 3) D65/2°, and what is to be said.

    lab is empty where the sheet or the card could not be read; `reasons` then say why and what to do.
    """

    patches: tuple[int, ...]
    lab: FloatArray
    reasons: tuple[str, ...]


def read_test_sheet(photo: Photo, choice: CardChoice) -> SheetReading:
    """Return the colours of a test sheet's patches.

    Raises
    ------
    TenterError
        If the choice names no card, or one that does not show how the camera bends colours.
    """
    card = look_for_card(photo, require_patches(choice))
    said = tuple(reason.text for reason in said_of_card(card))
    correction = usable_correction(card)
    if card.finding.corners_px is None:
        return _nothing(*said, _(_NO_CARD))
    if correction is None:
        return _nothing(*said, _(_ANOTHER_CARD))
    from_sheet = find_sheet(photo.rgb)
    if from_sheet is None:
        return _nothing(*said, _(_NO_SHEET))
    at_card = card.finding.corners_px.mean(axis=0) / photo.reduction
    light = _light(photo, correction, from_sheet, at_card)
    found: dict[int, FloatArray] = {}
    for number, patch in enumerate(layout.SHEET_PATCHES):
        quad = carried(patch.quad_mm, from_sheet)
        lab = _colour(photo, correction, quad)
        if lab is not None:
            found[number] = _lit_as_the_card(lab, float(np.append(1.0, quad.mean(axis=0) - at_card) @ light))
    return SheetReading(tuple(found), np.array(list(found.values())).reshape(-1, 3), said)


def require_patches(choice: CardChoice) -> CardChoice:
    """Return the choice of a card of patches; raise `TenterError` where there is none.

    In simulated photographs whose tones a phone had bent, sheets beside a grey or a white were misread by ΔE00 3 to 4,
    most of what a printer misses by, and sheets beside either card of patches by 1 to 2.
    """
    if require_card(choice).kind in (ChartKind.GREY, ChartKind.PAPER):
        raise TenterError(
            _(
                "a printer cannot be learned beside chart {kind}: one grey or white does not show how the "
                "camera bends colours, and that would be taken for the printer's doing. Lay a 24-patch card "
                "beside the test sheet (--chart classic24), or a card of our own that was measured once "
                "(--chart own)",
                kind=as_typed(choice.kind.value),
            )
        )
    return choice


def _nothing(*reasons: str) -> SheetReading:
    return SheetReading((), np.empty((0, 3)), reasons)


_NO_CARD = N_("No card was found that colours can be read by. Lay it beside the test sheet, in the same light.")
_ANOTHER_CARD = N_(
    "So nothing was learned of the printer. Lay a 24-patch card beside the test sheet, or a card of our own that was "
    "measured once (tenter card calibrate)."
)
_NO_SHEET = N_(
    "The four corner marks of the test sheet were not found, or the sheet is bent. Lay it flat, and photograph all of "
    "it from above, with the card beside it."
)


def find_sheet(rgb: ByteArray) -> FloatArray | None:
    """Return the homography (3, 3) from millimetres on the test sheet to pixels of a picture (height, width, 3).

    None where not all four marks are seen.
    """
    known = cv2.aruco.getPredefinedDictionary(DICTIONARY)
    numbers = list(layout.SHEET_MARKERS_MM)
    own = cv2.aruco.Dictionary(known.bytesList[numbers[0] : numbers[-1] + 1].copy(), known.markerSize, 1)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    detector = cv2.aruco.ArucoDetector(own, settings)
    grey = cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY)
    for side in _DETECTION_SIDES:
        scale = min(2.0, side / max(grey.shape))
        corners, seen, _ = detector.detectMarkers(
            cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC)
        )
        places = {
            numbers[int(k)]: (np.asarray(quad, dtype=float).reshape(4, 2) + 0.5) / scale - 0.5
            for k, quad in zip([] if seen is None else seen.ravel(), corners, strict=True)
        }
        if len(places) == len(numbers):
            return _placed(places)
    return None


def _placed(places: dict[int, FloatArray]) -> FloatArray | None:
    """Return the homography of the marks' corners, or None where they do not lie as on a flat sheet."""
    on_sheet = np.concatenate([layout.SHEET_MARKERS_MM[number] for number in places])
    in_picture = np.concatenate(list(places.values()))
    found, _ = cv2.findHomography(on_sheet, in_picture)
    if found is None:
        return None
    stray = carried(in_picture, np.linalg.inv(found)) - on_sheet
    return None if np.abs(stray).max() > _STRAY_MM else np.asarray(found, dtype=float)


def _colour(photo: Photo, correction: Correction, quad: FloatArray) -> FloatArray | None:
    """Return the Lab (3,) of a patch, or None where it leaves the picture, is tiny, or overexposed."""
    pixels = patch_pixels(photo, quad)
    if len(pixels) < _LEAST_PIXELS:
        return None
    lost = (pixels >= HIGH_CODE).any(axis=1) | (pixels <= LOW_CODE).all(axis=1)
    return None if lost.mean() > _MOST_CLIPPED else correction.lab(pixels, skin=False)


def _light(photo: Photo, correction: Correction, from_sheet: FloatArray, at_card: FloatArray) -> FloatArray:
    """Return the plane (3,) of the logarithm of light over the sheet: 1, x and y in pixels from the card; 0 at it."""
    rows, levels = [], []
    for quad in carried(layout.bare_sheet_mm(), from_sheet):
        pixels = patch_pixels(photo, quad)
        if len(pixels) and (pixels < HIGH_CODE).all():
            lightness = float(lab_to_xyz(correction.lab(pixels, skin=False), D65_WHITE)[1])
            rows.append([1.0, *(quad.mean(axis=0) - at_card)])
            levels.append(np.log(max(lightness, 1e-3)))
    if len(rows) < layout.SHEET_COLUMNS:
        return np.zeros(3)
    plane, *_ = np.linalg.lstsq(np.array(rows), np.array(levels), rcond=None)
    return np.array([0.0, *plane[1:]])


def _lit_as_the_card(lab: FloatArray, log_light: float) -> FloatArray:
    return xyz_to_lab(lab_to_xyz(lab, D65_WHITE) * np.exp(-log_light), D65_WHITE)
