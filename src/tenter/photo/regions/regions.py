"""Regions of a face, cut out along the mesh, and the pixels of them that speak for the skin.

Left and right are the person's own. The mesh numbers its points from the viewer's left, so the person's right cheek has
the low numbers.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import SRGB_TO_XYZ, decode_srgb
from tenter.language import N_, _, local_number, ngettext, pgettext
from tenter.numerals import whole_percent
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import HIGH_CODE, LOW_CODE
from tenter.photo.regions.landmarks import iris_circle
from tenter.photo.regions.pollution import MAX_STRAY, stray_share


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
    UNDER_EYE_LEFT = "under_eye_left"
    UNDER_EYE_RIGHT = "under_eye_right"
    NECK = "neck"
    SCLERA_LEFT = "sclera_left"
    SCLERA_RIGHT = "sclera_right"
    HAIR = "hair"


def region_in_words(region: Region) -> str:
    """Return 'cheek left', the person's own left, in the language that is written."""
    return pgettext("region of the face", str(region).replace("_", " "))


SKIN = (
    Region.FOREHEAD,
    Region.CHEEK_LEFT,
    Region.CHEEK_RIGHT,
    Region.NOSE,
    Region.CHIN,
    Region.JAW_LEFT,
    Region.JAW_RIGHT,
)
# Bare skin all the same, but shaded, and small or often covered: measured, and no photograph is judged by it.
SHADED_SKIN = (Region.UNDER_EYE_LEFT, Region.UNDER_EYE_RIGHT, Region.NECK)
OF_MESH = tuple(region for region in Region if region is not Region.HAIR)  # hair lies outside the mesh: see hair.py

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
    Region.UNDER_EYE_RIGHT: (228, 229, 230, 231, 232, 121, 120, 119, 118, 117),
    Region.UNDER_EYE_LEFT: (448, 449, 450, 451, 452, 350, 349, 348, 347, 346),
}
_WIDENED = {Region.NOSE: 1.25}  # the mesh has no points half-way down the sides of the nose
_MOUTH_OPENING = (78, 95, 88, 178, 87, 14, 317, 402, 318, 324, 308, 415, 310, 311, 312, 13, 82, 81, 80, 191)
_LIPS = (61, 146, 91, 181, 84, 17, 314, 405, 321, 375, 291, 409, 270, 269, 267, 0, 37, 39, 40, 185)
_RIGHT_EYE = (33, 7, 163, 144, 145, 153, 154, 155, 133, 173, 157, 158, 159, 160, 161, 246)
_LEFT_EYE = (263, 249, 390, 373, 374, 380, 381, 382, 362, 398, 384, 385, 386, 387, 388, 466)
_EYE_OPENING = {
    Region.IRIS_RIGHT: _RIGHT_EYE,
    Region.IRIS_LEFT: _LEFT_EYE,
    Region.SCLERA_RIGHT: _RIGHT_EYE,
    Region.SCLERA_LEFT: _LEFT_EYE,
}
_RADII = {  # of the iris: inside lies the pupil, outside the rim and the lid's shadow; the sclera's end is the opening
    Region.IRIS_RIGHT: (0.5, 0.85),
    Region.IRIS_LEFT: (0.5, 0.85),
    Region.SCLERA_RIGHT: (1.2, np.inf),
    Region.SCLERA_LEFT: (1.2, np.inf),
}
_OPEN_PART = {Region.SCLERA_RIGHT: 0.75, Region.SCLERA_LEFT: 0.75}  # of the opening's height: the lids lie on the rest
_LOWER_CONTOUR = (136, 150, 149, 176, 148, 152, 377, 400, 378, 379, 365)  # from the right jaw round the chin
_TOP_AND_CHIN = (10, 152)  # points of the face mesh
_BELOW_CHIN = (0.06, 0.13)  # of the face's height: the mesh ends short of the chin, and below the neck is cloth
_NECK_WIDTH = 0.8  # of the jaw's
MIN_IRIS_RADIUS_PX = 25.0  # of an iris; set by judgement
MIN_REGION_PIXELS = 60  # of a region; set by judgement
_TRIM = 0.15  # darkest and lightest part of a region that is not read: hair, pores' shadows, gloss
_MIN_CORNERS = 2  # fewer are no outline
_SMOOTH = frozenset({*SKIN, *SHADED_SKIN})
_WEAK = {
    Region.SCLERA_LEFT: N_("weak: few pixels, in the shade of the lids"),
    Region.SCLERA_RIGHT: N_("weak: few pixels, in the shade of the lids"),
}
_MAX_CLIPPED = 0.1  # part of a region beyond which what is left is no longer a fair sample of it


@dataclass(frozen=True, slots=True)
class RegionPixels:
    """The pixels of one region that are read, sRGB code 0-1, shape (n, 3).

    reason: why the region cannot be used, in plain words, or None. overexposed: whether that is why. log_spread:
    standard deviation of the log of luminance over the pixels read: how much the light changes across it. caution: what
    to keep in mind about a region that is used, or None.
    """

    region: Region
    code: FloatArray
    reason: str | None
    overexposed: bool
    log_spread: float
    caution: str | None = None


@dataclass(frozen=True, slots=True)
class Patch:
    """A part of a picture: the window (rows, columns) that holds it, and its pixels in there."""

    window: tuple[slice, slice]
    mask: BoolArray

    @classmethod
    def of_polygon(cls, shape: tuple[int, ...], outline: FloatArray, around: FloatArray | None = None) -> "Patch":
        """Return the inside of an outline (n, 2) in a picture of the shape (height, width, ...).

        around: places (n, 2) that the window is to hold as well.
        """
        window = _window(shape, outline if around is None else np.concatenate([outline, around]))
        return cls(window, _filled(_size(window), outline - _corner(window)))

    @property
    def corner(self) -> FloatArray:
        """The window's upper left corner (2,), x and y in pixels."""
        return _corner(self.window)

    def without(self, outlines: Sequence[FloatArray]) -> "Patch":
        """Return what is left outside of every outline (n, 2)."""
        mask = self.mask
        for outline in outlines:
            mask = mask & ~_filled(mask.shape, outline - self.corner)
        return Patch(self.window, mask)


def read_region(photo: Photo, mesh_px: FloatArray, region: Region, excluded: Sequence[FloatArray] = ()) -> RegionPixels:
    """Return the pixels of a region in a picture with a face mesh (478, 2), without what lies in excluded outlines."""
    if region in _EYE_OPENING:
        radius = iris_circle(mesh_px, _side(region))[1]
        if radius < MIN_IRIS_RADIUS_PX:
            needed = local_number(MIN_IRIS_RADIUS_PX, 0)
            seen = local_number(radius, 0)
            small = _("the iris is {radius} pixels in radius; {needed} are needed", radius=seen, needed=needed)
            return unusable(region, small)
    return read_patch(photo, region_patch(photo.rgb.shape, mesh_px, region), region, excluded)


def read_patch(photo: Photo, patch: Patch, region: Region, excluded: Sequence[FloatArray] = ()) -> RegionPixels:
    """Return the pixels of a part of a picture that are read for a region.

    excluded: outlines (n, 2) of what is left out, in pixels of the picture.
    """
    left = patch.without(excluded)
    window = photo.code(left.window)
    pixels = window[left.mask]
    clipped = (pixels >= HIGH_CODE).any(axis=1)
    if len(pixels) and clipped.mean() > _MAX_CLIPPED:
        much = _("{percent} of it is overexposed", percent=whole_percent(clipped.mean()))
        return unusable(region, much, overexposed=True)
    kept = pixels[~clipped]
    if len(kept) < MIN_REGION_PIXELS:
        return unusable(region, _too_few(len(kept), left.mask.sum() < patch.mask.sum()))
    if (kept <= LOW_CODE).all(axis=1).mean() > _MAX_CLIPPED:
        return unusable(region, _("it is too dark in the picture to be read"))
    return _judged(_trimmed(region, kept), stray_share(window, left.mask) if region in _SMOOTH else 0.0)


def _too_few(pixels: int, partly_excluded: bool) -> str:
    if partly_excluded:
        return ngettext(
            "only {count} pixel of it can be read outside of what is excluded; {needed} are needed",
            "only {count} pixels of it can be read outside of what is excluded; {needed} are needed",
            pixels,
            needed=MIN_REGION_PIXELS,
        )
    return ngettext(
        "only {count} pixel of it can be read; {needed} are needed",
        "only {count} pixels of it can be read; {needed} are needed",
        pixels,
        needed=MIN_REGION_PIXELS,
    )


def _judged(read: RegionPixels, stray: float) -> RegionPixels:
    """Return the region with what its spread says: refused or with a caution."""
    if read.region is Region.NECK and stray > MAX_STRAY:
        covered = _("cloth, hair or a hard shadow is in it; free the neck, or outline what is there")
        return unusable(read.region, covered)
    weak = _WEAK.get(read.region)
    caution = None if weak is None else _(weak)
    if stray > MAX_STRAY:
        caution = _(
            "{percent} of it is unlike the rest: hair, a beard, glasses or a hard shadow may be in it; look at its "
            "outline, and exclude what is there or drop the region",
            percent=whole_percent(stray),
        )
    return replace(read, caution=caution)


def _trimmed(region: Region, code: FloatArray) -> RegionPixels:
    luminance = decode_srgb(code) @ SRGB_TO_XYZ[1]
    cut = int(_TRIM * len(code))
    order = np.argsort(luminance, kind="stable")[cut : len(code) - cut]
    log_spread = float(np.log(np.maximum(luminance[order], 1e-4)).std())
    return RegionPixels(region, code[order], None, False, log_spread)


def unusable(region: Region, reason: str, overexposed: bool = False) -> RegionPixels:
    """Return a region of which nothing is read, and why."""
    return RegionPixels(region, np.empty((0, 3)), reason, overexposed, 0.0)


def _side(region: Region) -> str:
    return "left" if region in {Region.IRIS_LEFT, Region.SCLERA_LEFT} else "right"


def region_mask(shape: tuple[int, ...], mesh_px: FloatArray, region: Region) -> BoolArray:
    """Return the pixels (height, width) of a region of a mesh (478, 2), before any is dropped."""
    patch = region_patch(shape, mesh_px, region)
    mask = np.zeros(shape[:2], dtype=bool)
    mask[patch.window] = patch.mask
    return mask


def region_patch(shape: tuple[int, ...], mesh_px: FloatArray, region: Region) -> Patch:
    """Return the part of a picture that is a region of the mesh (478, 2), before any pixel is dropped."""
    if region in _EYE_OPENING:
        return _eye_patch(shape, mesh_px, region)
    if region is Region.LIPS:
        opening = mesh_px[list(_MOUTH_OPENING)]
        return Patch.of_polygon(shape, _outline(mesh_px, region), around=opening).without([opening])
    return Patch.of_polygon(shape, _outline(mesh_px, region))


def features_outlines(mesh_px: FloatArray) -> tuple[FloatArray, ...]:
    """Return the outlines (n, 2) of what is no plain skin within a face of mesh (478, 2): lips, eyes and brows."""
    brows = (_OUTLINE[Region.BROW_RIGHT], _OUTLINE[Region.BROW_LEFT])
    return tuple(mesh_px[list(points)] for points in (_LIPS, _RIGHT_EYE, _LEFT_EYE, *brows))


def outlines(patch: Patch, reduction: float = 1.0) -> tuple[FloatArray, ...]:
    """Return the outlines (n, 2) of a part of a picture; what lies in an odd number of them is inside.

    reduction: pixels of the original that one of the picture's stands for; the outlines are in those of the original.
    """
    bordered = np.pad(patch.mask.astype(np.uint8), 1)
    found, _ = cv2.findContours(bordered, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    simpler = [cv2.approxPolyDP(contour, 0.7, closed=True)[:, 0] for contour in found]
    return tuple((c.astype(float) - 0.5 + patch.corner) * reduction for c in simpler if len(c) > _MIN_CORNERS)


def _outline(mesh_px: FloatArray, region: Region) -> FloatArray:
    """Return the corners (n, 2) of a region, widened about its middle where the mesh is too coarse."""
    if region is Region.NECK:
        return _neck(mesh_px)
    points = mesh_px[list(_OUTLINE[region])]
    middle = points.mean(axis=0)
    stretched: FloatArray = middle + (points - middle) * (_WIDENED.get(region, 1.0), 1.0)
    return stretched


def _neck(mesh_px: FloatArray) -> FloatArray:
    """Return the outline of a band below the jaw, which follows it."""
    top, chin = mesh_px[list(_TOP_AND_CHIN)]
    jaw = mesh_px[list(_LOWER_CONTOUR)]
    middle = jaw.mean(axis=0)
    narrowed = middle + (jaw - middle) * (_NECK_WIDTH, 1.0)
    upper, lower = (narrowed + part * (chin - top) for part in _BELOW_CHIN)
    return np.concatenate([upper, lower[::-1]])


def _window(shape: tuple[int, ...], points: FloatArray) -> tuple[slice, slice]:
    """Return the rows and columns of a picture that hold every point (n, 2), with a border."""
    start = np.clip(np.floor(points.min(axis=0)).astype(int) - 1, 0, (shape[1], shape[0]))
    stop = np.clip(np.ceil(points.max(axis=0)).astype(int) + 1, start, (shape[1], shape[0]))
    return slice(int(start[1]), int(stop[1])), slice(int(start[0]), int(stop[0]))


def _size(window: tuple[slice, slice]) -> tuple[int, int]:
    return window[0].stop - window[0].start, window[1].stop - window[1].start


def _corner(window: tuple[slice, slice]) -> FloatArray:
    return np.array([window[1].start, window[0].start], dtype=float)


def _filled(shape: tuple[int, ...], outline: FloatArray) -> BoolArray:
    """Return the inside of a polygon; mesh positions have pixel (0, 0) spanning 0..1, OpenCV's have it at 0."""
    mask = np.zeros(shape[:2], dtype=np.uint8)
    if mask.size:
        fixed_point = np.round((outline - 0.5) * 16).astype(np.int32)
        cv2.fillPoly(mask, [fixed_point], 1, shift=4)
    return mask > 0


def _eye_patch(shape: tuple[int, ...], mesh_px: FloatArray, region: Region) -> Patch:
    opening = mesh_px[list(_EYE_OPENING[region])]
    middle = opening.mean(axis=0)
    patch = Patch.of_polygon(shape, middle + (opening - middle) * (1.0, _OPEN_PART.get(region, 1.0)))
    centre, radius = iris_circle(mesh_px, _side(region))
    rows, columns = _size(patch.window)
    y, x = np.ogrid[:rows, :columns]
    distance = np.hypot(x + 0.5 + patch.corner[0] - centre[0], y + 0.5 + patch.corner[1] - centre[1])
    inner, outer = _RADII[region]
    ring: BoolArray = (distance > inner * radius) & (distance < outer * radius)
    return Patch(patch.window, patch.mask & ring)
