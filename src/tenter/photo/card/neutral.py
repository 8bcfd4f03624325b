"""A grey card or a sheet of white paper beside the face: found, read, and what of the camera can be known from it.

One neutral tells the colour of the light and the exposure. It does not tell the camera's tone curve, nor how the camera
mixes its colours: sRGB is taken for both, and the intervals are wider for it (docs/studies/photo-study.md).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import BoolArray, ByteArray, FloatArray
from tenter.colorimetry.spaces import SRGB_TO_XYZ, decode_srgb
from tenter.language import _, local_number
from tenter.measured.basis import CalibrationBasis
from tenter.numerals import whole_percent
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import HIGH_CODE, patch_pixels, trimmed_mean
from tenter.photo.patches.corners import from_top_left
from tenter.photo.patches.correction import SRGB_TONE, ColourMap, Correction, Terms
from tenter.photo.places import Box
from tenter.photo.reasons import Code, Reason

# Office paper reflects 80 to 92 %, a little blue of its brighteners: common practice, no source.
PAPER_REFLECTANCE = 0.85
_WORKING_SIDE = 500  # long side in pixels of the picture that is searched
_FLATNESS = (3.0, 5.0, 8.0)  # code values between neighbours up to which pixels belong to one surface
_MIN_AREA, _MAX_AREA = 0.004, 0.25  # parts of the picture
_MIN_FILLED = 0.9  # part of the quadrilateral that the flat surface fills
_MAX_LONG = 3.0  # the longer side over the shorter one
_MIN_EDGE = 5.0  # code values between a side's inside and its outside
_SAME_PLACE = 0.5  # overlap over union from which two finds are one
_GRID = 4  # the surface is read in so many rows and columns
# A surface under any common lamp, as a camera writes it without white balance: never this green or magenta, nor this
# blue or orange (logarithms of ratios of linear RGB).
_MAX_TINT, _MAX_WARMTH = 0.6, 2.6
# ΔE00 that a neutral leaves on rendered faces, the median: all that one surface can say of its own error.
GREY_ERROR, PAPER_ERROR = 3.3, 3.8
_MAX_CLIPPED = 0.02  # part of the surface with a channel at white
_MAX_SLOPE = 2.0  # the light on the surface changes by no more; on rendered cards by 1.5 at the most
_MAX_ROUGHNESS = 0.085  # a shadow that takes a quarter of the light is above it, 800 rendered neutrals below 0.065
_MIN_LIGHT = 0.015  # linear, in the brightest channel


@dataclass(frozen=True, slots=True)
class NeutralReading:
    """A neutral surface as the camera saw it.

    corners_px: (4, 2), x right and y down. linear: (3,), mean linear sRGB. clipped: part of its pixels, 0 to 1, with a
    channel at white. slope: how many times lighter its lightest end is than its darkest, along the plane that fits
    best. roughness: how far its parts are off that plane, largest, as a part of the light.
    """

    corners_px: FloatArray
    linear: FloatArray
    clipped: float
    slope: float
    roughness: float

    @property
    def could_be_neutral(self) -> bool:
        """Whether any common light makes a neutral surface look like this."""
        return _could_be_neutral(self.linear)


def corners_of(box_px: Box, reduction: float) -> FloatArray:
    """Return the corners (4, 2) of a box in pixels of a reduced picture; the box is in pixels of the upright original.

    reduction: how many pixels of the original one of the reduced picture stands for, along each side; 1 or more.
    """
    left, top, width, height = box_px
    box = np.array([[left, top], [left + width, top], [left + width, top + height], [left, top + height]])
    corners: FloatArray = box / reduction - 0.5
    return corners


def look_for_neutral(
    photo: Photo, name: str, at: FloatArray | None = None
) -> tuple[NeutralReading | None, list[Reason]]:
    """Return the neutral surface of a photograph and what is wrong with it, or None and how to do better.

    name: what the surface is called in reasons. at: its corners (4, 2) in pixels, where they are known.
    """
    places = find_neutrals(photo) if at is None else [at]
    readings = [reading for place in places if (reading := read_neutral(photo, place)) is not None]
    even = [reading for reading in readings if reading.roughness < _MAX_ROUGHNESS]
    candidates = even or readings
    if not candidates:
        return None, [_not_found(name, at is not None)]
    if len(candidates) > 1:
        return None, [_several(name, candidates, photo.reduction)]
    return candidates[0], _faults(candidates[0], name)


def find_neutrals(photo: Photo) -> list[FloatArray]:
    """Return the corners (4, 2) in pixels of every flat, even, colourless quadrilateral with an edge all around it.

    The largest comes first. What touches the picture's border is background.
    """
    rgb = photo.rgb
    scale = min(1.0, _WORKING_SIDE / max(rgb.shape[:2]))
    small = cv2.resize(rgb, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else rgb
    calm = cv2.bilateralFilter(cv2.medianBlur(small, 5), 5, 12, 3)
    found: list[FloatArray] = []
    for limit in _FLATNESS:
        for quad in _flat_quads(calm, limit):
            if all(_overlap(quad, other, calm.shape) < _SAME_PLACE for other in found):
                found.append(quad)
    found.sort(key=lambda quad: -float(cv2.contourArea(quad.astype(np.float32))))
    return [(quad + 0.5) / scale - 0.5 for quad in found]


def read_neutral(photo: Photo, corners_px: FloatArray) -> NeutralReading | None:
    """Return the reading of the surface between four corners (4, 2), or None where it has too few pixels to read."""
    cells = [patch_pixels(photo, cell) for cell in _cells(corners_px)]
    if min(len(cell) for cell in cells) < 4:
        return None
    pixels = np.concatenate(cells)
    light = np.log(np.maximum([trimmed_mean(decode_srgb(cell)) @ SRGB_TO_XYZ[1] for cell in cells], 1e-4))
    steps = (np.indices((_GRID, _GRID)).reshape(2, -1).T - (_GRID - 1) / 2) / (_GRID - 1)
    plane = np.column_stack([np.ones(len(steps)), steps])
    fitted = np.linalg.lstsq(plane, light, rcond=None)[0]
    return NeutralReading(
        np.asarray(corners_px, dtype=float),
        trimmed_mean(decode_srgb(pixels)),
        float((pixels >= HIGH_CODE).any(axis=1).mean()),
        float(np.exp(np.abs(fitted[1:]).sum())),
        float(np.abs(np.expm1(light - plane @ fitted)).max()),
    )


def neutral_correction(reading: NeutralReading, reflectance: float, error: float) -> Correction:
    """Return the correction that makes the neutral what it is: grey of its reflectance (0 to 1) under D65.

    error: the mean that is left with such a neutral, in ΔE00.
    """
    gains = reflectance / reading.linear
    as_balanced = ColourMap(Terms.LINEAR, gains[:, None] * SRGB_TO_XYZ.T)
    return Correction(CalibrationBasis.GREY, SRGB_TONE, as_balanced, as_balanced, error)


def _cells(corners_px: FloatArray) -> list[FloatArray]:
    """Return the quads (4, 2) of a grid over the middle nine tenths of a quadrilateral, row by row."""
    at = np.linspace(0.05, 0.95, _GRID + 1)
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32)
    to_picture = cv2.getPerspectiveTransform(unit, np.asarray(corners_px, dtype=np.float32))
    boxes = [
        [[at[c], at[r]], [at[c + 1], at[r]], [at[c + 1], at[r + 1]], [at[c], at[r + 1]]]
        for r in range(_GRID)
        for c in range(_GRID)
    ]
    quads: FloatArray = cv2.perspectiveTransform(np.array(boxes, dtype=float).reshape(1, -1, 2), to_picture)
    return list(quads.reshape(-1, 4, 2))


def _could_be_neutral(linear: FloatArray) -> bool:
    red, green, blue = np.log(np.maximum(linear, 1e-4))
    return bool(abs(red + blue - 2 * green) / 2 < _MAX_TINT and abs(red - blue) < _MAX_WARMTH)


def _flat_quads(rgb: ByteArray, limit: float) -> list[FloatArray]:
    """Return the quadrilaterals (4, 2) in pixels of surfaces on which neighbours differ by no more than a limit."""
    kernel = np.ones((3, 3), dtype=np.uint8)
    steps = (cv2.dilate(rgb, kernel).astype(np.int16) - cv2.erode(rgb, kernel)).max(axis=2)
    count, labels, stats, _ = cv2.connectedComponentsWithStats((steps <= limit).astype(np.uint8), connectivity=4)
    height, width = labels.shape
    quads = []
    for k in range(1, count):
        x, y, w, h, area = stats[k]
        inside = x > 1 and y > 1 and x + w < width - 1 and y + h < height - 1
        if inside and _MIN_AREA <= area / labels.size <= _MAX_AREA:
            quad = _as_quad(labels == k)
            if quad is not None and _stands_out(rgb, quad, labels == k):
                quads.append(quad)
    return quads


def _as_quad(surface: BoolArray) -> FloatArray | None:
    """Return the quadrilateral (4, 2) that a surface fills, or None when it has another shape."""
    contours, _ = cv2.findContours(surface.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    hull = cv2.convexHull(max(contours, key=cv2.contourArea))
    around = cv2.arcLength(hull, True)
    quad = next((q for part in (0.02, 0.03, 0.05) if len(q := cv2.approxPolyDP(hull, part * around, True)) == 4), None)
    if quad is None:
        return None
    corners: FloatArray = from_top_left(quad.reshape(4, 2).astype(float))
    sides = np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1)
    filled = np.count_nonzero(surface) / max(float(cv2.contourArea(corners.astype(np.float32))), 1.0)
    turns = _turns(corners)
    if sides.max() > _MAX_LONG * sides.min() or not _MIN_FILLED <= filled <= 1.15 or turns.max() > 0.4:
        return None
    return corners


def _turns(corners: FloatArray) -> FloatArray:
    """Return the cosines (4,) of a quadrilateral's angles, without sign: 0 for right angles."""
    one, other = np.roll(corners, -1, axis=0) - corners, np.roll(corners, 1, axis=0) - corners
    cosines: FloatArray = (
        np.abs((one * other).sum(axis=1)) / np.linalg.norm(one, axis=1) / np.linalg.norm(other, axis=1)
    )
    return cosines


def _stands_out(rgb: ByteArray, quad: FloatArray, surface: BoolArray) -> bool:
    """Whether a surface could be neutral and differs from its surround along all four sides."""
    values = rgb.astype(float)
    mean = values[surface].mean(axis=0)
    if not _could_be_neutral(decode_srgb(mean / 255)):
        return False
    centre = quad.mean(axis=0)
    reach = 0.12 * float(np.sqrt(cv2.contourArea(quad.astype(np.float32)))) + 3
    for corner, following in zip(quad, np.roll(quad, -1, axis=0), strict=True):
        outwards = (corner + following) / 2 - centre
        step = reach * outwards / np.linalg.norm(outwards)
        along = np.linspace(0.2, 0.8, 13)[:, None]
        line = corner + along * (following - corner)
        inner, outer = _sampled(values, line - step), _sampled(values, line + step)
        if np.median(np.abs(outer - inner).max(axis=1)) < _MIN_EDGE:
            return False
    return True


def _sampled(values: FloatArray, places: FloatArray) -> FloatArray:
    height, width = values.shape[:2]
    x, y = np.clip(np.round(places).astype(int), 0, (width - 1, height - 1)).T
    found: FloatArray = values[y, x]
    return found


def _overlap(quad: FloatArray, other: FloatArray, shape: tuple[int, ...]) -> float:
    masks: list[BoolArray] = []
    for corners in (quad, other):
        mask = np.zeros(shape[:2], dtype=np.uint8)
        cv2.fillConvexPoly(mask, np.round(corners).astype(np.int32), 1)
        masks.append(mask > 0)
    return float((masks[0] & masks[1]).sum() / max((masks[0] | masks[1]).sum(), 1))


def _not_found(name: str, place_given: bool) -> Reason:
    if place_given:
        text = _(
            "Nothing can be read where the {surface} was said to be. Give left, top, width and height in pixels of the "
            "upright picture, well inside the surface.",
            surface=name,
        )
    else:
        text = _(
            "No {surface} was found. Hold it flat beside the jaw, parallel to the face, whole in the picture, before "
            "something lighter or darker than itself, so that it has an edge all around; or give its place in the "
            "picture.",
            surface=name,
        )
    return Reason(Code.NEUTRAL_NOT_FOUND, text)


def _several(name: str, candidates: Sequence[NeutralReading], reduction: float) -> Reason:
    middles = [(found.corners_px.mean(axis=0) + 0.5) * reduction for found in candidates]
    places = "; ".join(f"{x:.0f}, {y:.0f}" for x, y in middles)
    return Reason(
        Code.NEUTRAL_SEVERAL,
        _(
            "{count} surfaces could be the {surface}: their middles are at {places} (pixels from the left, from the "
            "top). Take away what else is flat and even, or give the place of the right one.",
            count=len(candidates),
            surface=name,
            places=places,
        ),
    )


def _faults(reading: NeutralReading, name: str) -> list[Reason]:
    """Return what is wrong with a neutral surface that was found."""
    if reading.clipped > _MAX_CLIPPED:
        return [
            Reason(
                Code.NEUTRAL_CLIPPED,
                _(
                    "The {surface} is overexposed: {percent} of it has run into white. Lower the exposure by about one "
                    "stop, until it is light grey on the screen.",
                    surface=name,
                    percent=whole_percent(reading.clipped),
                ),
            )
        ]
    if reading.linear.max() < _MIN_LIGHT:
        return [
            Reason(
                Code.TOO_DARK,
                _(
                    "The picture is underexposed: the {surface} reaches {percent} % of full light. Add light or raise "
                    "the exposure.",
                    surface=name,
                    percent=local_number(100 * reading.linear.max(), 1),
                ),
            )
        ]
    if reading.roughness > _MAX_ROUGHNESS or reading.slope > _MAX_SLOPE:
        return [
            Reason(
                Code.NEUTRAL_UNEVEN,
                _(
                    "The light on the {surface} is uneven: a shadow, a finger, a fold or a glare is on it, or the lamp "
                    "is too near. Hold it by its edge, flat, in the light that falls on the face.",
                    surface=name,
                ),
            )
        ]
    if not reading.could_be_neutral:
        return [
            Reason(
                Code.NEUTRAL_NOT_FOUND,
                _(
                    "What is at the place of the {surface} is coloured, not grey or white under any common lamp. Check "
                    "the place, and that nothing bright and coloured stands beside it.",
                    surface=name,
                ),
            )
        ]
    return []
