"""Where the face lies: 478 points of a face mesh. They serve to cut out regions and are then forgotten.

The one module that knows mediapipe, imported when first used. Nothing here tells one person from another.
Models: inside mediapipe 0.10.21 (Apache-2.0): BlazeFace full range, face mesh with attention.
"""

import os
from dataclasses import dataclass
from functools import cache
from threading import Lock
from typing import Any

import cv2
import numpy as np

from tenter.arrays import ByteArray, FloatArray
from tenter.errors import MissingPart
from tenter.language import _
from tenter.photo.files.native import native_log_silenced, plain_letters

POINT_COUNT = 478  # points of the face mesh, the irises' ten among them
_DETECTION_SIDE = 900  # pixels of the longer side that faces are looked for in
_MESH_SIDE = 512  # the crop given to the mesh; its own input has 256 pixels
_CERTAIN, _POSSIBLE = 0.6, 0.4  # detector scores
_RIGHT_EYE, _LEFT_EYE, _MOUTH = 0, 1, 3  # the detector's own points
_MESH_EYES_AND_MOUTH = (468, 473, 13)  # points of the mesh near the detector's eyes and mouth
_SIDE_RIGHT, _SIDE_LEFT = 234, 454  # of the mesh: the face's sides, the person's own right and left
# Points of the mesh.
_IRIS_CENTRE_AND_EDGE = {"right": (468, (469, 470, 471, 472)), "left": (473, (474, 475, 476, 477))}


@dataclass(frozen=True, slots=True)
class DetectedFace:
    """A face box in pixels (x0, y0, x1, y1), the detector's score, and its eyes and mouth (3, 2)."""

    box: FloatArray
    score: float
    points: FloatArray


@dataclass(frozen=True, slots=True)
class FaceSearch:
    """What was found: every face, and whether one lies turned (`turned_score` beats the upright one).

    mesh_px: (478, 2). depth_px: (478,), how far each point lies behind the head's middle, in the same pixels, as the
    mesh guesses it from one picture.
    """

    faces: tuple[DetectedFace, ...]
    turned: bool
    mesh_px: FloatArray | None
    depth_px: FloatArray | None = None

    @property
    def width_px(self) -> float:
        """Distance between the two sides of the face in pixels, or 0 without a mesh."""
        return 0.0 if self.mesh_px is None else face_width(self.mesh_px)


def face_sides(mesh_px: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the two sides of a face, the person's own right and left, each (2,) in the pixels of the mesh (478, 2)."""
    return mesh_px[_SIDE_RIGHT], mesh_px[_SIDE_LEFT]


def face_width(mesh_px: FloatArray) -> float:
    """Return the distance between the two sides of a face, in the pixels of the mesh (478, 2)."""
    right, left = face_sides(mesh_px)
    return float(np.linalg.norm(right - left))


def _mediapipe() -> Any:
    os.environ.setdefault("GLOG_minloglevel", "3")  # the C++ parts talk to stderr otherwise
    os.environ.setdefault("TF_CPP_MIN_LOG_LEVEL", "3")
    try:
        import mediapipe  # takes most of a second, and may not be there
    except ImportError:
        raise MissingPart(
            _(
                "face measuring is not installed: it needs mediapipe 0.10.21, which a plain install leaves out "
                "because its metadata forbids numpy 2. Install it once: tenter face install"
            )
        ) from None
    return mediapipe


_ONE_AT_A_TIME = Lock()  # the model keeps a state of its own, and a server's threads share it


@cache
@plain_letters()
def _detector() -> Any:
    return _mediapipe().solutions.face_detection.FaceDetection(model_selection=1, min_detection_confidence=_POSSIBLE)


@cache
@plain_letters()
def _mesh() -> Any:
    return _mediapipe().solutions.face_mesh.FaceMesh(
        static_image_mode=True, max_num_faces=1, refine_landmarks=True, min_detection_confidence=0.3
    )


def find_face(rgb: ByteArray) -> FaceSearch:
    """Return the faces in a picture (height, width, 3) and, when there is exactly one and it is upright, its mesh.

    Raises
    ------
    MissingPart
        If mediapipe is not installed.
    """
    with _ONE_AT_A_TIME:
        return _found(rgb)


@native_log_silenced()
def _found(rgb: ByteArray) -> FaceSearch:
    scale = min(1.0, _DETECTION_SIDE / max(rgb.shape[:2]))
    small = cv2.resize(rgb, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else rgb
    upright = _detected(small)
    turned = max(_best_score(np.ascontiguousarray(np.rot90(small, turns))) for turns in (1, 2, 3))
    best = max((face.score for face in upright), default=0.0)
    faces = tuple(
        DetectedFace(face.box / scale, face.score, face.points / scale)
        for face in upright
        if face.score >= _CERTAIN or face.score == best
    )
    is_turned = turned > best + 0.05 and turned >= _CERTAIN
    if len(faces) != 1 or is_turned:
        return FaceSearch(faces, is_turned, None)
    mesh, depth = _mesh_of(rgb, faces[0]) or (None, None)
    return FaceSearch(faces, False, mesh, depth)


def _best_score(rgb: ByteArray) -> float:
    return max((face.score for face in _detected(rgb)), default=0.0)


def _detected(rgb: ByteArray) -> list[DetectedFace]:
    size = np.array([rgb.shape[1], rgb.shape[0]], dtype=float)
    found = []
    for detection in _detector().process(rgb).detections or ():
        relative = detection.location_data.relative_bounding_box
        right, bottom = relative.xmin + relative.width, relative.ymin + relative.height
        box = np.array([relative.xmin, relative.ymin, right, bottom]) * np.tile(size, 2)
        keys = detection.location_data.relative_keypoints
        points = np.array([(keys[k].x, keys[k].y) for k in (_RIGHT_EYE, _LEFT_EYE, _MOUTH)]) * size
        found.append(DetectedFace(box, float(detection.score[0]), points))
    return found


def _mesh_of(rgb: ByteArray, face: DetectedFace) -> tuple[FloatArray, FloatArray] | None:
    """Return the mesh (478, 2) and its depth (478,) in pixels of the picture; None when the detector disagrees."""
    x0, y0, x1, y1 = face.box
    half = 0.9 * max(x1 - x0, y1 - y0)
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    start = np.maximum(np.floor(middle - half), 0).astype(int)
    stop = np.ceil(middle + half).astype(int)
    crop = rgb[start[1] : stop[1], start[0] : stop[0]]
    if min(crop.shape[:2]) < 16:
        return None
    scale = _MESH_SIDE / max(crop.shape[:2])
    interpolation = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    resized = cv2.resize(crop, None, fx=scale, fy=scale, interpolation=interpolation)
    found = _mesh().process(resized).multi_face_landmarks
    if not found:
        return None
    relative = np.array([(point.x, point.y, point.z) for point in found[0].landmark])
    mesh: FloatArray = relative[:, :2] * (crop.shape[1], crop.shape[0]) + start
    depth: FloatArray = relative[:, 2] * crop.shape[1]  # the mesh scales it as it does x
    apart = np.linalg.norm(mesh[list(_MESH_EYES_AND_MOUTH)] - face.points, axis=1).max()
    return (mesh, depth) if apart < 0.35 * (x1 - x0) else None


def iris_circle(mesh_px: FloatArray, side: str) -> tuple[FloatArray, float]:
    """Return centre (2,) and radius in pixels of the iris on the person's own "left" or "right" side.

    mesh_px: (478, 2).
    """
    centre, edge = _IRIS_CENTRE_AND_EDGE[side]
    radius = float(np.linalg.norm(mesh_px[list(edge)] - mesh_px[centre], axis=1).mean())
    return mesh_px[centre], radius
