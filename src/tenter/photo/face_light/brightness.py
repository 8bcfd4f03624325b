"""Whether a face is lighter than the light on the card makes it: three signs that one photograph may show.

Lighter than its colour: a skin's lightness and its colour belong together, since melanin and blood take light away and
leave colour. No skin is much lighter than measured skin of its colour is. Darker ones there are: among deep skins the
colour hardly changes any more. So where the light on the face's plane, as its shading tells it, is more than the
lightest skin of that colour would throw back in the card's light, the card gets less light than the face, or the phone
has made the face lighter.

The white of the eyes too light: it throws back less than two thirds of the light (from memory), in the shade of brows
and lids. Where it is lighter than that, the card stands in less light than the eyes.

A step along its outline: a phone that makes the oval of a face lighter leaves a fall of light there, within the skin,
which no lamp makes all around.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.colorimetry.spaces import lab_to_xyz
from tenter.photo.camera.skin import blood_absorbance, skin_reflectances
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import D65_WHITE, Correction
from tenter.photo.regions.regions import Region, features_outlines, region_patch

_PLAIN = (Region.FOREHEAD, Region.CHEEK_LEFT, Region.CHEEK_RIGHT)
_FLUSHES = (0.0, 0.1, 0.2, 0.3, 0.4)  # absorbance of more blood at 550 nm: a face is redder than a forearm
# Mesh points of a face's outline, in order.
_RIGHT_HALF = (10, 109, 67, 103, 54, 21, 162, 127, 234, 93, 132, 58, 172, 136, 150, 149, 176, 148, 152)
_LEFT_HALF = (377, 400, 378, 379, 365, 397, 288, 361, 323, 454, 356, 389, 251, 284, 332, 297, 338)
_OUTLINE = _RIGHT_HALF + _LEFT_HALF
_WIDTH_PX = 200  # of the face while its outline is looked at
_BETWEEN = (0.5, 1.2)  # of the outline's radius, looked at
_RINGS, _SECTORS = 28, 24  # of the outline of a face, across and around
_ACROSS = 3  # rings that a fall of light is measured over
_WHERE = (0.92, 1.0)  # of the radius, where it is looked for
_CORE = 0.75  # of the radius, within which the skin's colour is learned
_LIKE_SKIN = (0.06, 0.25)  # logarithms of X/Y and Z/Y
_GROWN = 1.6  # eyes, brows and lips, about their middles
_MIN_PIXELS, _MIN_SECTORS = 4, 12  # of a ring's sector, and of a ring, to be used
_EYES, _MIN_WHITE_PIXELS, _WHITE_PART = 2, 20, 0.7  # of the pixels of an eye's white; the lightest may be glints
_DARKEST = 1e-3  # of full light: below it a logarithm says nothing
# What the first two signs are as a rule, and by how much either is off that among faces. Of 72 undisturbed rendered
# photographs of six scenes that the study does not report on, 24 of them processed as phones do, the two together
# are at most 1.6 standard deviations off, but for two whose sheen is strong; in half of the light they are 3 to 5 off.
_PALLOR_AS_A_RULE, _EYES_AS_A_RULE, _SIGN_SD = -0.29, 0.52, 0.13


@dataclass(frozen=True, slots=True)
class TooLight:
    """How much lighter a face is than as a rule.

    by: the logarithm of light. certainty: how many standard deviations that is among faces.
    """

    by: float = 0.0
    certainty: float = 0.0


def too_light(pallor: float | None, eyes: float | None) -> TooLight:
    """Return what skin and eyes say together of a face that is lighter than the light on the card makes it.

    pallor: a logarithm, as of `lighter_than_its_colour`. eyes: a luminance, 1 for a white at the card, as of
    `white_of_eyes`. What is darker than as a rule says nothing: deep skin is, and eyes in deep shade.
    """
    signs = [] if pallor is None else [pallor - _PALLOR_AS_A_RULE]
    signs += [] if eyes is None or eyes <= 0 else [float(np.log(eyes / _EYES_AS_A_RULE))]
    raised = [sign for sign in signs if sign > 0]
    if not raised:
        return TooLight()
    by = float(np.mean(raised))
    return TooLight(by, by / _SIGN_SD * float(np.sqrt(len(raised))))


@cache
def _lightest_of_colour() -> FloatArray:
    """Return the coefficients (3,) of ln Y on 1, ln X/Y and ln Z/Y of measured skin, as it is and with more blood.

    From 18 forearms, very light to brown; they lie by 0.12 (standard deviation) around it, deep skins far below.
    """
    spectra = np.concatenate([skin_reflectances() * np.exp(-more * blood_absorbance()) for more in _FLUSHES])
    xyz = reflectance_to_xyz(spectra, D65_2.illuminant, D65_2.observer) / D65_WHITE
    found: FloatArray = np.asarray(np.linalg.lstsq(_colour_terms(xyz), np.log(xyz[:, 1]), rcond=None)[0])
    return found


def _colour_terms(xyz: FloatArray) -> FloatArray:
    """Return 1, ln X/Y and ln Z/Y of XYZ (n, 3) that is 1 for white."""
    log = np.log(np.maximum(xyz, _DARKEST))
    return np.column_stack([np.ones(len(log)), log[:, 0] - log[:, 1], log[:, 2] - log[:, 1]])


def lighter_than_its_colour(luminance: float, labs: Mapping[Region, FloatArray]) -> float | None:
    """Return by what logarithm of light skin is lighter than skin of its colour is at most; mostly below 0.

    luminance: of the face's own plane. labs: Lab (3,) by region; None without forehead and cheeks.
    """
    seen = [lab_to_xyz(labs[region], D65_WHITE) / D65_WHITE for region in _PLAIN if region in labs]
    if not seen:
        return None
    colour = _colour_terms(np.mean(seen, axis=0)[None])
    return float(np.log(max(luminance, _DARKEST)) - (colour @ _lightest_of_colour())[0])


def white_of_eyes(photo: Photo, correction: Correction, mesh_px: FloatArray) -> float | None:
    """Return the luminance of the white of the eyes, 1 for a white at the card; None where one of them is not seen.

    The mean of both: side light makes the one lighter and the other darker. mesh_px: (478, 2).
    """
    found = []
    for side in (Region.SCLERA_LEFT, Region.SCLERA_RIGHT):
        patch = region_patch(photo.rgb.shape, mesh_px, side)
        code = photo.code(patch.window)[patch.mask]
        if len(code) >= _MIN_WHITE_PIXELS:
            light = correction.for_dyes.xyz(correction.tone.linear(code))[:, 1] / D65_WHITE[1]
            found.append(float(np.quantile(light, _WHITE_PART)))
    return float(np.mean(found)) if len(found) == _EYES else None


def fall_at_outline(photo: Photo, correction: Correction, mesh_px: FloatArray) -> float | None:
    """Return by what logarithm the light falls all along the outline of a face; None where too little is seen.

    mesh_px: (478, 2).
    """
    view = _View.of(photo, mesh_px)
    xyz = correction.for_skin.xyz(correction.tone.linear(view.code)) / D65_WHITE
    log = np.log(np.maximum(xyz, _DARKEST))
    light, colour = log[..., 1], log[..., (0, 2)] - log[..., 1:2]
    core = view.seen & (view.radius < _CORE)
    if np.count_nonzero(core) < 10 * _MIN_PIXELS:
        return None
    skin = view.seen & (np.abs(colour - np.median(colour[core], axis=0)) < _LIKE_SKIN).all(axis=2)
    rings = _mean_by_place(light, view.radius, view.sector, skin)
    falls = rings[:, :-_ACROSS] - rings[:, _ACROSS:]
    at = np.linspace(*_BETWEEN, _RINGS + 1)[_ACROSS // 2 : -_ACROSS // 2] + (_BETWEEN[1] - _BETWEEN[0]) / _RINGS
    there = (at[: falls.shape[1]] >= _WHERE[0]) & (at[: falls.shape[1]] <= _WHERE[1])
    known = np.isfinite(falls).sum(axis=0) >= _MIN_SECTORS
    if not (there & known).any():
        return None
    return float(np.mean(np.nanmedian(falls[:, there & known], axis=0)))


@dataclass(frozen=True, slots=True)
class _View:
    """A face of a common width: code values (height, width, 3), radius and sector about it, and what is no feature."""

    code: FloatArray
    radius: FloatArray
    sector: FloatArray
    seen: BoolArray

    @classmethod
    def of(cls, photo: Photo, mesh_px: FloatArray) -> "_View":
        outline = mesh_px[list(_OUTLINE)]
        scale = _WIDTH_PX / float(np.ptp(outline[:, 0]))
        room = 0.3 * float(np.ptp(outline[:, 1]))
        start = np.maximum(np.floor(outline.min(axis=0) - room), 0).astype(int)
        stop = np.minimum(np.ceil(outline.max(axis=0) + room).astype(int), photo.rgb.shape[1::-1])
        window = photo.rgb[start[1] : stop[1], start[0] : stop[0]]
        interpolation = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
        face = cv2.GaussianBlur(cv2.resize(window, None, fx=scale, fy=scale, interpolation=interpolation), (0, 0), 1.2)
        (x, y), (width, height), degrees = cv2.fitEllipse(((outline - start) * scale).astype(np.float32))
        row, column = np.mgrid[: face.shape[0], : face.shape[1]] + 0.5
        turn = np.radians(degrees)
        u = ((column - x) * np.cos(turn) + (row - y) * np.sin(turn)) / (width / 2)
        v = ((row - y) * np.cos(turn) - (column - x) * np.sin(turn)) / (height / 2)
        sector = ((np.arctan2(v, u) + np.pi) / (2 * np.pi) * _SECTORS) % _SECTORS
        seen = np.ones(face.shape[:2], dtype=np.uint8)
        for feature in features_outlines(mesh_px):
            middle = feature.mean(axis=0)
            grown = (middle + _GROWN * (feature - middle) - start) * scale
            cv2.fillConvexPoly(seen, cv2.convexHull(np.round(grown).astype(np.int32)), 0)
        return cls(face / 255.0, np.hypot(u, v), np.floor(sector), seen > 0)


def _mean_by_place(values: FloatArray, radius: FloatArray, sector: FloatArray, where: BoolArray) -> FloatArray:
    """Return the mean value in each sector and ring (sectors, rings); NaN where too few pixels are."""
    ring = np.floor((radius - _BETWEEN[0]) / (_BETWEEN[1] - _BETWEEN[0]) * _RINGS)
    where = where & (ring >= 0) & (ring < _RINGS)
    place = (sector[where] * _RINGS + ring[where]).astype(int)
    count = np.bincount(place, minlength=_SECTORS * _RINGS)
    total = np.bincount(place, weights=values[where], minlength=_SECTORS * _RINGS)
    mean = np.where(count >= _MIN_PIXELS, total / np.maximum(count, 1), np.nan)
    return np.asarray(mean.reshape(_SECTORS, _RINGS), dtype=np.float64)
