"""Regions of a face, cut out along the mesh, and the pixels of them that speak for the skin.

Left and right are the person's own. The mesh numbers its points from the viewer's left, so the person's right cheek has
the low numbers.
"""

from dataclasses import dataclass
from enum import StrEnum

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import SRGB_TO_XYZ, decode_srgb
from tenter.photo.chart import HIGH_CODE, LOW_CODE
from tenter.photo.landmarks import iris_circle
from tenter.photo.loading import Photo


class Region(StrEnum):
    """The regions that are measured."""

    FOREHEAD = "forehead"
    CHEEK_LEFT = "cheek_left"
    CHEEK_RIGHT = "cheek_right"
    NOSE = "nose"
    CHIN = "chin"
    JAW_LEFT = "jaw_left"
    JAW_RIGHT = "jaw_right"
    LIPS = "lips"
    BROW_LEFT = "brow_left"
    BROW_RIGHT = "brow_right"
    IRIS_LEFT = "iris_left"
    IRIS_RIGHT = "iris_right"


SKIN = (
    Region.FOREHEAD,
    Region.CHEEK_LEFT,
    Region.CHEEK_RIGHT,
    Region.NOSE,
    Region.CHIN,
    Region.JAW_LEFT,
    Region.JAW_RIGHT,
)

# Mesh points around each region, in order.
_OUTLINE: dict[Region, tuple[int, ...]] = {
    Region.FOREHEAD: (67, 109, 10, 338, 297, 299, 337, 336, 9, 107, 108, 69),
    Region.CHEEK_RIGHT: (101, 36, 206, 216, 213, 147, 123),
    Region.CHEEK_LEFT: (330, 266, 426, 436, 433, 376, 352),
    Region.NOSE: (122, 6, 351, 456, 440, 4, 45, 51, 3, 196),
    Region.CHIN: (194, 201, 200, 421, 418, 377, 152, 148),
    Region.JAW_RIGHT: (172, 138, 202, 204, 149, 150, 136),
    Region.JAW_LEFT: (397, 367, 422, 424, 378, 379, 365),
    # A ring inside the lips' border, whose edge is skin by half.
    Region.LIPS: (74, 73, 72, 11, 302, 303, 304, 320, 404, 315, 16, 85, 180, 90),
    Region.BROW_RIGHT: (70, 63, 105, 66, 107, 55, 65, 52, 53, 46),
    Region.BROW_LEFT: (300, 293, 334, 296, 336, 285, 295, 282, 283, 276),
}
_WIDENED = {Region.NOSE: 1.25}  # the mesh has no points half-way down the sides of the nose
_MOUTH_OPENING = (78, 95, 88, 178, 87, 14, 317, 402, 318, 324, 308, 415, 310, 311, 312, 13, 82, 81, 80, 191)
_EYE_OPENING = {
    Region.IRIS_RIGHT: (33, 7, 163, 144, 145, 153, 154, 155, 133, 173, 157, 158, 159, 160, 161, 246),
    Region.IRIS_LEFT: (263, 249, 390, 373, 374, 380, 381, 382, 362, 398, 384, 385, 386, 387, 388, 466),
}
_IRIS_PART = (0.5, 0.85)  # of the radius: inside lies the pupil, outside the rim and the lid's shadow
MIN_IRIS_RADIUS_PX = 25.0
MIN_PIXELS = 60
_TRIM = 0.15  # darkest and lightest part of a region that is not read: hair, pores' shadows, gloss
_MAX_CLIPPED = 0.1  # part of a region beyond which what is left is no longer a fair sample of it


@dataclass(frozen=True, slots=True)
class RegionPixels:
    """The pixels of one region that are read, sRGB code 0-1, shape (n, 3).

    reason: why the region cannot be used, in plain words, or None. overexposed: whether that is why.
    log_spread: standard deviation of the log of luminance over the pixels read: how much the light changes across it.
    """

    region: Region
    code: FloatArray
    reason: str | None
    overexposed: bool
    log_spread: float


def read_region(photo: Photo, mesh_px: FloatArray, region: Region) -> RegionPixels:
    """Return the pixels of a region in a picture with a face mesh (478, 2)."""
    if region in _EYE_OPENING:
        _, radius = iris_circle(mesh_px, _side(region))
        if radius < MIN_IRIS_RADIUS_PX:
            return _unusable(region, f"the iris is {radius:.0f} pixels in radius; {MIN_IRIS_RADIUS_PX:.0f} are needed")
    pixels = photo.code(region_mask(photo.rgb.shape, mesh_px, region))
    clipped = (pixels >= HIGH_CODE).any(axis=1)
    if len(pixels) and clipped.mean() > _MAX_CLIPPED:
        return _unusable(region, f"{clipped.mean():.0%} of it is overexposed", overexposed=True)
    kept = pixels[~clipped]
    if len(kept) < MIN_PIXELS:
        return _unusable(region, f"only {len(kept)} pixels of it can be read; {MIN_PIXELS} are needed")
    if (kept <= LOW_CODE).all(axis=1).mean() > _MAX_CLIPPED:
        return _unusable(region, "it is too dark in the picture to be read")
    return _trimmed(region, kept)


def _trimmed(region: Region, code: FloatArray) -> RegionPixels:
    luminance = decode_srgb(code) @ SRGB_TO_XYZ[1]
    cut = int(_TRIM * len(code))
    order = np.argsort(luminance, kind="stable")[cut : len(code) - cut]
    log_spread = float(np.log(np.maximum(luminance[order], 1e-4)).std())
    return RegionPixels(region, code[order], None, False, log_spread)


def _unusable(region: Region, reason: str, overexposed: bool = False) -> RegionPixels:
    return RegionPixels(region, np.empty((0, 3)), reason, overexposed, 0.0)


def _side(region: Region) -> str:
    return "left" if region is Region.IRIS_LEFT else "right"


def region_mask(shape: tuple[int, ...], mesh_px: FloatArray, region: Region) -> BoolArray:
    """Return the pixels of a region, shape (height, width), before any is dropped."""
    if region in _EYE_OPENING:
        return _iris_mask(shape, mesh_px, region)
    mask = _filled(shape, _outline(mesh_px, region))
    if region is Region.LIPS:
        mask &= ~_filled(shape, mesh_px[list(_MOUTH_OPENING)])
    return mask


def _outline(mesh_px: FloatArray, region: Region) -> FloatArray:
    """Return the corners (n, 2) of a region, widened about its middle where the mesh is too coarse."""
    points = mesh_px[list(_OUTLINE[region])]
    middle = points.mean(axis=0)
    stretched: FloatArray = middle + (points - middle) * (_WIDENED.get(region, 1.0), 1.0)
    return stretched


def _filled(shape: tuple[int, ...], outline: FloatArray) -> BoolArray:
    """Return the inside of a polygon; mesh positions have pixel (0, 0) spanning 0..1, OpenCV's have it at 0."""
    mask = np.zeros(shape[:2], dtype=np.uint8)
    fixed_point = np.round((outline - 0.5) * 16).astype(np.int32)
    cv2.fillPoly(mask, [fixed_point], 1, shift=4)
    return mask > 0


def _iris_mask(shape: tuple[int, ...], mesh_px: FloatArray, region: Region) -> BoolArray:
    centre, radius = iris_circle(mesh_px, _side(region))
    y, x = np.ogrid[: shape[0], : shape[1]]
    distance = np.hypot(x + 0.5 - centre[0], y + 0.5 - centre[1])
    ring: BoolArray = (distance > _IRIS_PART[0] * radius) & (distance < _IRIS_PART[1] * radius)
    return ring & _filled(shape, mesh_px[list(_EYE_OPENING[region])])
