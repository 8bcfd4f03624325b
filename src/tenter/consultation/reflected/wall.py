"""How much of a wall's light reaches each place of the face: F by geometry alone, as no traced scene holds a wall.

F is the share of what a place sees that the wall fills, the configuration factor, times how much more or less light
falls on the wall than on the face, which only the room knows.
"""

from enum import StrEnum

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.consultation.cloths.reflection_factors import MOST_FACTOR, REFLECTION_REGIONS, ReflectionFactor
from tenter.errors import UnknownName
from tenter.given import given_number
from tenter.language import _

# Metres: a wall as wide as a small room, from the floor to 2.4, before a seated client whose face is at 1.2.
_HALF_WIDTH, _BELOW_FACE, _ABOVE_FACE = 2.0, 1.2, 1.2
NEAREST_METRES, FURTHEST_METRES = 0.3, 10.0
_LIGHT_ON_WALL = (0.3, 1.0, 1.5)  # as a share of that on the face: least, usual, most; set by judgement
# Where each place looks: degrees outward from straight ahead, and downward; set by judgement on a plain head.
_LOOKS = {
    "forehead": (0.0, -15.0),
    "nose": (0.0, 0.0),
    "cheek": (40.0, 0.0),
    "lips": (0.0, 10.0),
    "chin": (0.0, 20.0),
    "jaw": (60.0, 20.0),
}


class WallPlace(StrEnum):
    """Where a wall is, as the client sees it."""

    FRONT = "front"
    LEFT = "left"
    RIGHT = "right"
    BEHIND = "behind"


def wall_place(name: str) -> WallPlace:
    """Return the place that a name says, or raise `UnknownName`."""
    try:
        return WallPlace(name.strip().lower())
    except ValueError:
        raise UnknownName(_("place of a wall"), name, WallPlace) from None


def wall_factors(place: WallPlace, metres: float) -> dict[str, ReflectionFactor]:
    """Return F of each place of the face for a wall at a distance from it, next to none where it is behind.

    metres: from the face to the wall, in metres; raises `TenterError` for less than `NEAREST_METRES` or more than
    `FURTHEST_METRES`.
    """
    given_number(metres, _("the distance of a wall in metres"), NEAREST_METRES, FURTHEST_METRES)
    wall = _wall(place, metres)
    factors = {}
    for region in REFLECTION_REGIONS:
        share = configuration_factor(wall, _looks(region))
        least, usual, most = (min(share * light, MOST_FACTOR) for light in _LIGHT_ON_WALL)
        factors[region] = ReflectionFactor(usual, least, most)
    return factors


def configuration_factor(corners: ArrayLike, normal: ArrayLike) -> float:
    """Return the share of what a small plane patch at the origin sees that a plane polygon fills, 0 to 1.

    Parameters
    ----------
    corners : array_like, shape (n, 3)
        The polygon's corners in order; what lies behind the patch is cut off.
    normal : array_like, shape (3,)
        Where the patch looks.

    References
    ----------
    J. H. Lambert (1760), Photometria: the sum of edge angles; as in J. R. Howell, A Catalog of Radiation Heat Transfer
    Configuration Factors (from memory; held against its closed forms for parallel and perpendicular rectangles).
    """
    unit = np.asarray(normal, dtype=float) / np.linalg.norm(normal)
    seen = _above_horizon(np.asarray(corners, dtype=float), unit)
    if len(seen) < 3:
        return 0.0
    directions = seen / np.linalg.norm(seen, axis=1, keepdims=True)
    total = 0.0
    for one, other in zip(directions, np.roll(directions, -1, axis=0), strict=True):
        across = np.cross(one, other)
        length = float(np.linalg.norm(across))
        if length > 0:
            total += float(np.arctan2(length, one @ other)) * float(across @ unit) / length
    return min(abs(total) / (2 * np.pi), 1.0)


def _above_horizon(corners: FloatArray, unit: FloatArray) -> FloatArray:
    """Return the part of a polygon in front of the patch (Sutherland and Hodgman's clipping by one plane)."""
    heights = corners @ unit
    kept = []
    for i, (corner, height) in enumerate(zip(corners, heights, strict=True)):
        before, height_before = corners[i - 1], heights[i - 1]
        if (height > 0) != (height_before > 0):
            part = height_before / (height_before - height)
            kept.append(before + part * (corner - before))
        if height > 0:
            kept.append(corner)
    return np.array(kept).reshape(-1, 3)


def _wall(place: WallPlace, metres: float) -> FloatArray:
    """Return the corners (4, 3) of a wall: x to the client's left, y up, z straight ahead."""
    along = np.array([-_HALF_WIDTH, _HALF_WIDTH, _HALF_WIDTH, -_HALF_WIDTH])
    up = np.array([-_BELOW_FACE, -_BELOW_FACE, _ABOVE_FACE, _ABOVE_FACE])
    away = np.full(4, metres)
    return {
        WallPlace.FRONT: np.column_stack([along, up, away]),
        WallPlace.BEHIND: np.column_stack([along, up, -away]),
        WallPlace.LEFT: np.column_stack([away, up, along]),
        WallPlace.RIGHT: np.column_stack([-away, up, along]),
    }[place]


def _looks(region: str) -> FloatArray:
    name, _, side = region.partition("_")
    out, down = np.radians(_LOOKS[name])
    x = np.sin(out) * {"left": 1, "right": -1}.get(side, 0)
    return np.array([x * np.cos(down), -np.sin(down), np.cos(out) * np.cos(down)])
