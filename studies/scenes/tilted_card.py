"""The classic card of a rendered scene turned towards a lamp or away from it, where it stands.

The card is cut out of what reaches the sensor, seen anew through a pinhole, and lit as a matt surface so turned; where
it was, wall is filled in.
"""

import cv2
import numpy as np
from scipy.ndimage import gaussian_filter1d

from studies.scenes.exposure import Scene, Sight
from tenter.arrays import FloatArray

FOCAL_PX = 1000.0  # of the pinhole: a phone's ordinary lens, on pictures of 640 x 800
LAMP_DEGREES = 45.0  # from the card's normal
_LAMP_AWAY = 1.7  # distance of the lamp, where the card is 0.28 high
_GROWN_PX = 2  # around the card's corners, moved with it


def lamp_side(scene: Scene) -> float:
    """Return 1 where the light on the face comes from the picture's right, -1 from its left."""
    labels = scene.regions
    left, right = (
        scene.coef[0, 0][np.isin(scene.label, labels[f"cheek_{s}"] + labels[f"jaw_{s}"])].astype(float) for s in "lr"
    )
    return 1.0 if abs(right.mean()) > abs(left.mean()) else -1.0


def tilted(sight: Sight, degrees: float, overhead: bool = False) -> FloatArray:
    """Return the sight with the card turned towards a lamp at 45 degrees, or away from it where degrees are negative.

    The lamp is on the side that the face is lit from, or overhead. The card is seen through a pinhole of `FOCAL_PX`,
    and each place of it gets the light of a matt surface so turned, at its distance.
    """
    scene = sight.scene
    lamp = lamp_direction(scene, overhead)
    normal = np.array([0.0, 0.0, -1.0])
    turn, _ = cv2.Rodrigues(np.cross(normal, lamp) / np.sin(np.radians(LAMP_DEGREES)) * np.radians(degrees))
    corners = grown(np.asarray(scene.card_corners_px, dtype=float))
    middle = corners.mean(axis=0)
    size = (scene.label.shape[1] / 2, scene.label.shape[0] / 2)

    def to_space(points: FloatArray) -> FloatArray:
        return np.concatenate([(points - size) / FOCAL_PX, np.ones((*points.shape[:-1], 1))], axis=-1)

    def turned(points: FloatArray) -> FloatArray:
        centre = to_space(middle)
        return centre + (to_space(points) - centre) @ turn.T

    moved = turned(corners)
    seen = moved[:, :2] / moved[:, 2:] * FOCAL_PX + size
    places = np.moveaxis(np.indices(scene.label.shape)[::-1], 0, -1) + 0.5
    at = to_space(middle) + _LAMP_AWAY * lamp
    gain = _matt(turned(places), turn @ normal, at) / _matt(to_space(places), normal, at)
    return _replaced(sight.raw, sight.raw * gain[..., None], corners, seen, scene)


def lamp_direction(scene: Scene, overhead: bool) -> FloatArray:
    """Return the unit vector (3,) from the card to its lamp: x right, y down, z away from the camera."""
    angle = np.radians(LAMP_DEGREES)
    aside = (0.0, -np.sin(angle)) if overhead else (lamp_side(scene) * np.sin(angle), 0.0)
    return np.array([*aside, -np.cos(angle)])


def _matt(places: FloatArray, normal: FloatArray, lamp: FloatArray) -> FloatArray:
    """Return the light (...) of a lamp on a matt surface at places (..., 3)."""
    to_lamp = lamp - places
    distance = np.linalg.norm(to_lamp, axis=-1)
    light: FloatArray = np.maximum(to_lamp @ normal, 0) / distance**3
    return light


def grown(corners: FloatArray) -> FloatArray:
    """Return the corners (4, 2) moved outwards so that all of the card lies within."""
    outside: FloatArray = corners + _GROWN_PX * np.sign(corners - corners.mean(axis=0))
    return outside


def _replaced(raw: FloatArray, card: FloatArray, source: FloatArray, target: FloatArray, scene: Scene) -> FloatArray:
    """Return a picture with the card cut out at four corners, wall in its place, and the card laid onto four others."""
    wall = without_card(raw, scene)
    to_target = cv2.getPerspectiveTransform((source - 0.5).astype(np.float32), (target - 0.5).astype(np.float32))
    shape = (raw.shape[1], raw.shape[0])
    alone = np.where(polygon(raw.shape, source)[..., None] > 0, card, wall)
    drawn = np.maximum(cv2.warpPerspective(alone, to_target, shape, flags=cv2.INTER_CUBIC), 0)
    inside = np.asarray(cv2.GaussianBlur(polygon(raw.shape, target), (0, 0), 0.6))[..., None]
    return np.asarray(inside * drawn + (1 - inside) * wall)


def polygon(shape: tuple[int, ...], corners: FloatArray) -> FloatArray:
    """Return 1 within four corners and 0 beyond (height, width)."""
    mask = np.zeros(shape[:2])
    cv2.fillConvexPoly(mask, np.round((corners - 0.5) * 16).astype(np.int32), 1.0, shift=4)
    return mask


def without_card(raw: FloatArray, scene: Scene) -> FloatArray:
    """Return the picture with wall in the card's place: row by row from what is left of it to what is right of it."""
    corners = grown(grown(np.asarray(scene.card_corners_px, dtype=float)))
    (left, top), (right, bottom) = np.floor(corners.min(axis=0)).astype(int), np.ceil(corners.max(axis=0)).astype(int)
    rows = np.s_[max(top, 0) : bottom]
    ends = [raw[rows, max(left - 6, 0) : left].mean(axis=1), raw[rows, right : right + 6].mean(axis=1)]
    one, other = (gaussian_filter1d(end, 6.0, axis=0)[:, None] for end in ends)
    along = np.linspace(0, 1, right - left)[None, :, None]
    filled = raw.copy()
    filled[rows, left:right] = (1 - along) * one + along * other
    return filled
