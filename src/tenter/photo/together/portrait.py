"""An accepted portrait in parts: its corrected light, where each place of the face is, and where the cloth is.

For whoever shows what a model makes of it. Nothing is changed here.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb, xyz_to_lab
from tenter.errors import Refused
from tenter.language import _
from tenter.photo.cards import CardChoice, ChartKind, look_for_card
from tenter.photo.cloth.region import card_mask, filled
from tenter.photo.face.measure import measure_found
from tenter.photo.face.result import FaceMeasurement
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import D65_WHITE, Correction
from tenter.photo.regions.landmarks import face_sides, face_width, find_face
from tenter.photo.regions.regions import SKIN, Region, region_patch
from tenter.photo.regions.request import PLAIN_REQUEST, FaceRequest

_READ = (*SKIN, Region.LIPS)
# How far the picture goes from the face's middle, in widths of the face: sideways, up and down; and how far it must.
_WANTED, _NEEDED_DOWN = (0.95, 1.0, 1.35), 0.95
_WIDE = 560  # pixels of the cut-out
_OVAL = (
    *(10, 338, 297, 332, 284, 251, 389, 356, 454, 323, 361, 288, 397, 365, 379, 378, 400, 377),
    *(152, 148, 176, 149, 150, 136, 172, 58, 132, 93, 234, 127, 162, 21, 54, 103, 67, 109),
)  # points of the face mesh around the face
_TOP, _CHIN = 10, 152  # points of the face mesh
_SEED = (0.3, 0.55, 0.2)  # below the chin, from and to in heights of the face, and half as wide: surely cloth
# How much a difference in L* counts beside one of a* and b*, which are taken as at this L* + 16, and how far from the
# seed's colour a pixel may be to be tried as cloth: a fold's shade darkens and leaves the chromaticity.
_SHADE_COUNTS, _MIDDLE_LIGHT, _ALIKE = 0.25, 66.0, 14.0
_LEAST_CLOTH = 0.08  # of the cut-out: less is a collar or a mistake
_FACE_RIM, _CLOTH_RIM = 0.03, 0.004  # widths of the face over which each fades out
_ROUNDS = 5  # of the search for the cloth's edge; practice, no source


@dataclass(frozen=True, eq=False)
class PortraitParts:
    """A cut-out of (height, width) pixels; window: the rows and columns of the photograph that it holds.

    xyz: D65/2°, shape (height, width, 3), Y = 1 for a perfect white. face, cloth: how far each pixel belongs to either,
    0 to 1, (height, width). places: how far each place of the face speaks for a pixel, (height, width), summing to 1.
    """

    xyz: FloatArray
    face: FloatArray
    cloth: FloatArray
    places: Mapping[str, FloatArray]
    measured: FaceMeasurement
    window: tuple[slice, slice]


def portrait_parts(
    photo: Photo, chart: ChartKind | CardChoice = ChartKind.CLASSIC24, request: FaceRequest = PLAIN_REQUEST
) -> PortraitParts:
    """Return a portrait in parts; `request`: what its measurement leaves out, and the hair.

    Raises
    ------
    Refused
        If the photograph is not accepted, has no card of patches, or shows too little cloth below the chin.
    MissingPart
        If the part that finds faces is not installed.
    """
    card, search = look_for_card(photo, chart), find_face(photo.rgb)
    measured = measure_found(photo, card, search, request)
    refused = [reason for reason in measured.reasons if reason.refuses]
    if refused:
        raise Refused(_("The photograph is not accepted. {reason}", reason=refused[0].text))
    if card.correction is None or search.mesh_px is None or measured.ita is None:
        raise Refused(_("The photograph has no colour card to correct its colours by. Take it again beside one."))
    window, scale = _window(photo, search.mesh_px)
    mesh = (search.mesh_px - (window[1].start, window[0].start)) * scale
    xyz = _xyz(photo, window, scale, card.correction)
    hidden = _card(photo, card.finding.corners_px, window, xyz.shape)
    cloth = _cloth(xyz, mesh, hidden)
    if cloth.mean() < _LEAST_CLOTH:
        raise Refused(_("Too little of the cloth can be seen below the chin. Leave room for it, and take it again."))
    width = face_width(mesh)
    face = _faded(filled(xyz.shape[:2], mesh[list(_OVAL)]), _FACE_RIM * width)
    return PortraitParts(xyz, face, _faded(cloth, _CLOTH_RIM * width), _places(xyz.shape, mesh), measured, window)


def _window(photo: Photo, mesh: FloatArray) -> tuple[tuple[slice, slice], float]:
    """Return rows and columns of the cut-out, and by what they are scaled."""
    right, left = face_sides(mesh)
    (x, y), width = (right + left) / 2, face_width(mesh)
    high, wide = photo.rgb.shape[:2]
    if (high - y) / width < _NEEDED_DOWN:
        raise Refused(_("The photograph is cut too close below the chin. Leave room for the cloth, and take it again."))
    room = (min(x, wide - x), y, high - y)
    sideways, up, down = (min(want * width, have) for want, have in zip(_WANTED, room, strict=True))
    rows, columns = slice(round(y - up), round(y + down)), slice(round(x - sideways), round(x + sideways))
    return (rows, columns), _WIDE / (columns.stop - columns.start)


def _xyz(photo: Photo, window: tuple[slice, slice], scale: float, correction: Correction) -> FloatArray:
    linear = correction.tone.linear(photo.code(window))
    size = (_WIDE, round(linear.shape[0] * scale))
    small = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR))
    xyz: FloatArray = np.maximum(correction.for_skin.xyz(small.astype(float)), 0)
    return xyz


def _card(
    photo: Photo, corners_px: FloatArray | None, window: tuple[slice, slice], shape: tuple[int, ...]
) -> BoolArray:
    where = card_mask(photo.rgb.shape[:2], photo, corners_px)[window].astype(np.uint8)
    return np.asarray(cv2.resize(where, shape[1::-1], interpolation=cv2.INTER_NEAREST)) > 0


def _cloth(xyz: FloatArray, mesh: FloatArray, hidden: BoolArray) -> BoolArray:
    """Return the pixels of the cloth below the chin (C. Rother, V. Kolmogorov, A. Blake 2004: GrabCut; from memory)."""
    shape = xyz.shape[:2]
    height = float(np.linalg.norm(mesh[_CHIN] - mesh[_TOP]))
    (x, y), (upper, lower, half) = mesh[_CHIN], (part * height for part in _SEED)
    rows = np.arange(shape[0])[:, None] + 0.5
    columns = np.arange(shape[1])[None, :] + 0.5
    below = np.broadcast_to(rows > y - 0.25 * height, shape)
    seed = (rows > y + upper) & (rows < y + lower) & (np.abs(columns - x) < half)
    seed &= ~hidden
    if not seed.any():
        return np.zeros(shape, dtype=bool)
    seen = _in_any_shade(xyz)
    apart = np.linalg.norm(seen - np.median(seen[seed], axis=0), axis=-1)
    marks = np.where(below, cv2.GC_PR_BGD, cv2.GC_BGD).astype(np.uint8)
    marks[below & (apart < _ALIKE)] = cv2.GC_PR_FGD
    marks[filled(shape, mesh[list(_OVAL)]) | hidden] = cv2.GC_BGD
    marks[seed] = cv2.GC_FGD
    code = (encode_srgb(np.clip(xyz @ XYZ_TO_SRGB.T, 0, 1)) * 255 + 0.5).astype(np.uint8)
    cv2.setRNGSeed(1)  # its clusters start by chance
    cv2.grabCut(code, marks, None, np.zeros((1, 65)), np.zeros((1, 65)), _ROUNDS, cv2.GC_INIT_WITH_MASK)
    return _joined(np.isin(marks, (cv2.GC_FGD, cv2.GC_PR_FGD)), seed)


def _in_any_shade(xyz: FloatArray) -> FloatArray:
    """Return a colour (..., 3) that changes little with shade: a* and b* go with L* + 16 when the light does."""
    lab = xyz_to_lab(xyz, D65_WHITE)
    lit: FloatArray = np.maximum(lab[..., :1] + 16, 20.0)
    return np.concatenate([lab[..., :1] * _SHADE_COUNTS, lab[..., 1:] * _MIDDLE_LIGHT / lit], axis=-1)


def _joined(found: BoolArray, seed: BoolArray) -> BoolArray:
    """Return the parts that hang together with what is surely cloth, without holes and threads."""
    plain = cv2.morphologyEx(found.astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    plain = cv2.morphologyEx(plain, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    _, labels = cv2.connectedComponents(plain)
    kept = np.unique(labels[seed & (plain > 0)])
    joined = np.isin(labels, kept[kept > 0]).astype(np.uint8)
    wider: BoolArray = np.asarray(cv2.dilate(joined, np.ones((5, 5), np.uint8))) > 0  # its edge pixels are half cloth
    return wider


def _faded(mask: BoolArray, pixels: float) -> FloatArray:
    soft: FloatArray = np.asarray(cv2.GaussianBlur(mask.astype(float), (0, 0), max(pixels, 0.5)), dtype=float)
    return soft


def _places(shape: tuple[int, ...], mesh: FloatArray) -> dict[str, FloatArray]:
    """Return by how much each place speaks for each pixel: the nearer, the more (D. Shepard 1968; from memory)."""
    rows, columns = np.mgrid[: shape[0], : shape[1]] + 0.5
    weights = {}
    for region in _READ:
        patch = region_patch(shape, mesh, region)
        there = np.zeros(shape[:2], dtype=np.uint8)
        there[patch.window] = patch.mask
        away = cv2.distanceTransform(1 - there, cv2.DIST_L2, 5) if there.any() else np.hypot(rows, columns)
        weights[str(region)] = 1 / (1 + away.astype(float)) ** 2
    total = sum(weights.values())
    return {region: weight / total for region, weight in weights.items()}
