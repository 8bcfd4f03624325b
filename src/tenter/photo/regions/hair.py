"""A patch that may be hair, proposed above the forehead. It is measured only when a person says that it is hair.

A band around the top of the face is sorted into a few colours. What is like the forehead is skin; what is like the
picture farther out is wall. The largest of what is left, in one piece, is proposed: hair, but as well a cap or a scarf.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import cv2
import numpy as np

from tenter.arrays import AnyArray, BoolArray, ByteArray, FloatArray
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.language import N_, _
from tenter.measured.written_numbers import WrittenSection
from tenter.photo.files.loading import Photo
from tenter.photo.regions.landmarks import face_width
from tenter.photo.regions.regions import Patch, Region, region_patch
from tenter.photo.regions.request import FaceRequest, HairChoice

_UPPER_CONTOUR = (162, 21, 54, 103, 67, 109, 10, 338, 297, 332, 284, 251, 389)  # from the right temple to the left
_BETWEEN_EYES = 168  # point of the face mesh
_BAND = (1.12, 1.6)  # distances from between the eyes, of the face's own contour
_FARTHER = (2.3, 2.8)  # where the wall shows
_FACE_WIDTH = 200.0  # pixels; a larger picture is looked through at this size
_COLOURS = 4  # groups of pixels above the forehead, of which one may be hair
_UNLIKE = 10.0  # distance in the picture's own Lab from which a colour is neither skin nor wall
_MIN_PART = 0.06  # of the band
_BORDER = 0.02  # of the face's width: what lies this near to the patch's border is mixed


class HairStatus(StrEnum):
    """How it stands with the hair."""

    PROPOSED = "proposed"
    CONFIRMED = "confirmed"
    MARKED = "marked"
    NONE = "none"
    NOT_FOUND = "not_found"


_NOTES = {
    HairStatus.PROPOSED: N_("this patch may be hair, or a cap or a scarf. It is measured once it is confirmed"),
    HairStatus.CONFIRMED: N_("the proposed patch was confirmed to be hair"),
    HairStatus.MARKED: N_("the patch was marked by hand"),
    HairStatus.NONE: N_("you said that no hair shows"),
    HairStatus.NOT_FOUND: N_("nothing above the forehead stands out from skin and wall. Mark a patch by hand"),
}


@dataclass(frozen=True, slots=True)
class HairFinding:
    """How it stands with the hair, and its outlines (n, 2) in pixels of the upright original."""

    status: HairStatus
    outlines: tuple[FloatArray, ...] = ()

    @property
    def measured(self) -> bool:
        """Whether a person stands for the patch, so that its colour may be used."""
        return self.status in {HairStatus.CONFIRMED, HairStatus.MARKED}

    @property
    def note(self) -> str:
        """The status in plain words."""
        return _(_NOTES[self.status])

    @classmethod
    def of_written(cls, written: WrittenSection | None) -> "HairFinding":
        """Return the status in a section that `to_json` has written; the outlines are those of one photograph alone.

        Raises
        ------
        KeyError, ValueError
            If there is no such section.
        """
        return cls(HairStatus((written or {})["status"]))

    def to_json(self) -> dict[str, Any]:
        """Return how it stands with the hair, the note, and the outlines in pixels of the upright original."""
        return {
            "status": str(self.status),
            "note": self.note,
            "outlines_px": [np.round(outline, 1).tolist() for outline in self.outlines],
        }


NO_HAIR_FOUND = HairFinding(HairStatus.NOT_FOUND)


def look_for_hair(photo: Photo, mesh_px: FloatArray, request: FaceRequest) -> tuple[HairStatus, Patch | None]:
    """Return how it stands with the hair by what was said of it, and the patch of the picture that is meant.

    mesh_px: (478, 2).
    """
    if request.hair_at is not None:
        outline = np.array(request.hair_at, dtype=float) / photo.reduction
        return HairStatus.MARKED, Patch.of_polygon(photo.rgb.shape, outline)
    if request.hair is HairChoice.NONE:
        return HairStatus.NONE, None
    patch = propose_hair(photo.rgb, mesh_px)
    if patch is None:
        return HairStatus.NOT_FOUND, None
    return (HairStatus.CONFIRMED if request.hair is HairChoice.CONFIRMED else HairStatus.PROPOSED), patch


def propose_hair(rgb: ByteArray, mesh_px: FloatArray) -> Patch | None:
    """Return the patch of a picture (height, width, 3) that may be hair, or None where nothing stands out."""
    smaller = min(1.0, _FACE_WIDTH / face_width(mesh_px))
    small = cv2.resize(rgb, None, fx=smaller, fy=smaller, interpolation=cv2.INTER_AREA) if smaller < 1 else rgb
    found = _proposed(small, smaller * mesh_px)
    return found if found is None or smaller == 1 else _enlarged(found, 1 / smaller, rgb.shape)


def _enlarged(patch: Patch, factor: float, shape: tuple[int, ...]) -> Patch:
    """Return the patch in a picture of the shape (height, width, ...), that many times as large."""
    rows, columns = (
        slice(int(s.start * factor), min(int(s.stop * factor), side))
        for s, side in zip(patch.window, shape, strict=False)
    )
    size = (columns.stop - columns.start, rows.stop - rows.start)
    mask = cv2.resize(patch.mask.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST) > 0
    return Patch((rows, columns), mask)


def _proposed(rgb: ByteArray, mesh_px: FloatArray) -> Patch | None:
    band = _ring(rgb.shape, mesh_px, _BAND)
    if not band.mask.any():
        return None
    lab = _picture_lab(rgb, band.window)
    skin = _colours_of(rgb, region_patch(rgb.shape, mesh_px, Region.FOREHEAD))
    wall = _colours_of(rgb, _ring(rgb.shape, mesh_px, _FARTHER))
    others = [colour for colour in (skin, wall) if len(colour)]
    labels, centres = _sorted_colours(lab[band.mask])
    found: list[BoolArray] = []
    for k, centre in enumerate(centres):
        if all(np.linalg.norm(np.median(colour, axis=0) - centre) > _UNLIKE for colour in others):
            here = np.zeros(band.mask.shape, dtype=bool)
            here[band.mask] = labels == k
            found.append(here)
    return _largest_piece(band, found, mesh_px) if found else None


def _ring(shape: tuple[int, ...], mesh_px: FloatArray, between: tuple[float, float]) -> Patch:
    """Return the band around the top of the face between two distances."""
    middle = mesh_px[_BETWEEN_EYES]
    inner, outer = (middle + part * (mesh_px[list(_UPPER_CONTOUR)] - middle) for part in between)
    return Patch.of_polygon(shape, np.concatenate([inner, outer[::-1]]))


def _picture_lab(rgb: ByteArray, window: tuple[slice, slice]) -> FloatArray:
    return srgb_to_lab(cv2.GaussianBlur(rgb[window], (0, 0), 1.5) / 255.0)


def _colours_of(rgb: ByteArray, patch: Patch) -> FloatArray:
    return _picture_lab(rgb, patch.window)[patch.mask] if patch.mask.any() else np.empty((0, 3))


def _sorted_colours(lab: FloatArray) -> tuple[AnyArray, FloatArray]:
    """Return a number for each colour (n, 3) and the colours these stand for; the same every time."""
    samples = lab.astype(np.float32)
    start = np.digitize(lab[:, 0], np.quantile(lab[:, 0], np.linspace(0, 1, _COLOURS + 1)[1:-1])).astype(np.int32)
    criteria = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.2)
    _, labels, centres = cv2.kmeans(samples, _COLOURS, start, criteria, 1, cv2.KMEANS_USE_INITIAL_LABELS)
    return labels.ravel(), centres.astype(float)


def _largest_piece(band: Patch, found: list[BoolArray], mesh_px: FloatArray) -> Patch | None:
    together = np.any(found, axis=0).astype(np.uint8)
    width = face_width(mesh_px)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * max(1, round(_BORDER * width)) + 1,) * 2)
    _, pieces, sizes, _ = cv2.connectedComponentsWithStats(cv2.erode(together, kernel))
    if len(sizes) == 1:
        return None
    largest = 1 + int(np.argmax(sizes[1:, cv2.CC_STAT_AREA]))
    mask: BoolArray = pieces == largest
    return Patch(band.window, mask) if mask.sum() > _MIN_PART * band.mask.sum() else None
