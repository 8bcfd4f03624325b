"""From where a face is lit, and how brightly: luminance of skin over the directions in which the mesh faces.

A matt surface is lit by the cosine of its angle to a lamp (Lambert), and by what comes from all around. So the
luminance L of a place with normal n is, to first order and where the lamp reaches it, L = a + b · n. The fit is robust,
as noses throw shadows and skin shines. It says how a surface beside the face, turned otherwise, is lit against one that
is parallel to it; what colour the skin is cancels.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.photo.face_light.pose import Facing
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import HIGH_CODE
from tenter.photo.patches.correction import D65_WHITE, Correction
from tenter.photo.regions.landmarks import FaceSearch
from tenter.photo.regions.regions import features_outlines

_MESH_POINTS = 468  # without the irises
_NEIGHBOURS = 10  # mesh points through which a plane is laid
_FACING = 0.45  # cosine: what is seen more aslant is not read
_BLUR = 0.012  # of the face's width
_GROWN = 1.6  # eyes, brows and lips, about their middles: their surroundings are no plain skin
_NOSTRILS, _NOSTRILS_REACH = 2, 0.06  # a mesh point between them, and of the face's width around it
_MIN_POINTS = 80  # of the mesh, of its 468
_RIDGE = 1e-3  # on b, a part of the points
_STRAY, _ROUNDS = 1.5, 10  # robust standard deviations from which a point counts less
_LEAST_LIGHT = 0.05  # of that on the face's plane: the first order ends where a surface turns away from the lamp


@dataclass(frozen=True, slots=True)
class FaceShading:
    """The fit L = ambient + directed · n over so many mesh points, n the unit normal.

    ambient: luminance, 1 for a white at the card. directed: (3,), in the same unit, x right, y down and z away from the
    camera. explained: which part of the variance of L the fit explains; below a half it says little.
    """

    ambient: float
    directed: FloatArray
    explained: float
    points: int

    def towards(self, facing: Facing) -> float:
        """Return the luminance of this skin on a plane that faces there; at least next to nothing."""
        return max(self.ambient + float(self.directed @ facing.towards), 1e-4)

    def log_ratio(self, facing: Facing, other: Facing) -> float:
        """Return the logarithm of the light on a plane that faces one way, over that on one that faces another way."""
        return float(np.log(max(self.towards(facing) / self.towards(other), _LEAST_LIGHT)))


def face_shading(photo: Photo, correction: Correction, search: FaceSearch) -> FaceShading | None:
    """Return how a face is lit; None without a mesh, or where too little of it is plain skin in the light."""
    if search.mesh_px is None or search.depth_px is None:
        return None
    mesh = search.mesh_px[:_MESH_POINTS]
    normals = _normals(np.column_stack([mesh, search.depth_px[:_MESH_POINTS]]))
    code = _code_at(photo, mesh, _BLUR * search.width_px)
    light = correction.for_skin.xyz(correction.tone.linear(code))[:, 1] / D65_WHITE[1]
    used = (-normals[:, 2] > _FACING) & (code.max(axis=1) < HIGH_CODE) & ~_features(search.mesh_px, search.width_px)
    if np.count_nonzero(used) < _MIN_POINTS:
        return None
    return _fitted(normals[used], light[used])


def _normals(points: FloatArray) -> FloatArray:
    """Return the unit normals (n, 3), towards the camera, of the planes through each point (n, 3) and those near it."""
    apart = ((points[:, None] - points) ** 2).sum(axis=-1)
    near = points[np.argsort(apart, axis=1)[:, :_NEIGHBOURS]]
    normals = np.linalg.svd(near - near.mean(axis=1, keepdims=True))[2][:, 2]
    facing: FloatArray = -normals * np.sign(normals[:, 2:])
    return facing


def _code_at(photo: Photo, places: FloatArray, blur_px: float) -> FloatArray:
    """Return the code values (n, 3) about places (n, 2)."""
    margin = int(4 * blur_px) + 2
    height, width = photo.rgb.shape[:2]
    start = np.clip(np.floor(places.min(axis=0)).astype(int) - margin, 0, (width - 1, height - 1))
    stop = np.clip(np.ceil(places.max(axis=0)).astype(int) + margin, start + 1, (width, height))
    window = cv2.GaussianBlur(photo.rgb[start[1] : stop[1], start[0] : stop[0]], (0, 0), max(blur_px, 0.3))
    at = np.clip(np.floor(places).astype(int), start, stop - 1) - start
    code: FloatArray = window[at[:, 1], at[:, 0]] / 255.0
    return code


def _features(mesh_px: FloatArray, width_px: float) -> BoolArray:
    """Return which mesh points (n,) lie on or near eyes, brows, lips and nostrils."""
    mesh = mesh_px[:_MESH_POINTS]
    found: BoolArray = np.linalg.norm(mesh - mesh[_NOSTRILS], axis=1) < _NOSTRILS_REACH * width_px
    for outline in features_outlines(mesh_px):
        middle = outline.mean(axis=0)
        grown = cv2.convexHull((middle + _GROWN * (outline - middle)).astype(np.float32))
        found |= np.array([cv2.pointPolygonTest(grown, (float(x), float(y)), measureDist=False) >= 0 for x, y in mesh])
    return found


def _fitted(normals: FloatArray, light: FloatArray) -> FaceShading:
    terms = np.column_stack([np.ones(len(normals)), normals])
    ridge = _RIDGE * len(terms) * np.diag([0.0, 1.0, 1.0, 1.0])
    weights = np.ones(len(terms))
    for _ in range(_ROUNDS):
        found = np.linalg.solve(terms.T * weights @ terms + ridge, terms.T @ (weights * light))
        off = np.abs(light - terms @ found)
        weights = 1 / np.maximum(1, off / (_STRAY * 1.4826 * float(np.median(off)) + 1e-9))
    spread = float((weights * (light - np.average(light, weights=weights)) ** 2).sum())
    explained = 1 - float((weights * off**2).sum()) / max(spread, 1e-12)
    return FaceShading(float(found[0]), np.asarray(found[1:], dtype=np.float64), explained, len(terms))
