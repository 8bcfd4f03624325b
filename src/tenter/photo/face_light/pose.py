"""How a card and a head are turned against the camera and against each other.

A card's patches lie on a known grid, and a plane seen through a pinhole gives away how it is turned: by what is
foreshortened and by what converges. The head's turn is that of its frontal plane, laid through the left-right axis of
the mesh, which pairs of points on both sides fix, and through the line from forehead to chin. Directions are those of
the camera: x to the right of the picture, y down, z away from it.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import FloatArray
from tenter.photo.files.loading import Photo
from tenter.photo.patches.grid import CardGrid
from tenter.photo.regions.landmarks import FaceSearch

FILM_DIAGONAL_MM = 43.27  # of the frame of 35 mm film, 36 mm by 24 mm, that focal lengths are compared by
# A phone's ordinary lens is like one of 24 to 28 mm; cropped, at twice the magnification and on cameras with a longer
# lens up to 85 mm. Standard deviations of the logarithm; the file's figure does not know of a later crop.
_LIKELY_FOCAL_MM, _FOCAL_SD, _TOLD_FOCAL_SD = 36.0, 0.4, 0.07
_DEVIATIONS = np.linspace(-1.8, 1.8, 9)  # of the focal length that are tried
_CENTRE_ERROR = 0.006  # pitches by which the homography of a card's patches is off
_FREE_CORNERS = 4.0  # a homography has as many places of its own
# Mesh points on the person's right and the same on the left.
_RIGHT = (33, 133, 61, 234, 127, 50, 172, 58, 93, 132, 21, 103)
_LEFT = (263, 362, 291, 454, 356, 280, 397, 288, 323, 361, 251, 332)
_FOREHEAD, _CHIN = 10, 152


@dataclass(frozen=True, slots=True)
class Facing:
    """Where a plane faces: the unit vector (3,) that points from it to the camera's side, and how sure that is.

    spread_degrees: standard deviation, by what is not known of the lens.
    """

    towards: FloatArray
    spread_degrees: float = 0.0

    def degrees_from(self, other: "Facing") -> float:
        """Return the angle between the two planes, in degrees."""
        return float(np.degrees(np.arccos(np.clip(self.towards @ other.towards, -1, 1))))


def focal_px(photo: Photo) -> float | None:
    """Return the focal length in pixels where the file tells it."""
    if photo.focal_35mm is None:
        return None
    return photo.focal_35mm / FILM_DIAGONAL_MM * float(np.hypot(*photo.rgb.shape[:2]))


def card_facing(photo: Photo, centres_px: FloatArray, grid: CardGrid) -> Facing:
    """Return where a card faces, by the centres (n, 2) of its patches, as the lenses that it may be seen through tell.

    Each lens is weighed by how well the card is then seen as it is, and by how common it is.
    """
    told, diagonal = focal_px(photo), float(np.hypot(*photo.rgb.shape[:2]))
    likely = told or _LIKELY_FOCAL_MM / FILM_DIAGONAL_MM * diagonal
    sd = _FOCAL_SD if told is None else _TOLD_FOCAL_SD
    size = np.array(photo.rgb.shape[1::-1])
    seen = centres_px + 0.5 - size / 2
    error_px = _CENTRE_ERROR * _pitch_px(centres_px, grid)
    normals, costs = [], []
    for deviation in _DEVIATIONS:
        for normal, off in _planes(seen, grid, likely * float(np.exp(sd * deviation))):
            normals.append(normal)
            costs.append(_FREE_CORNERS * (off / error_px) ** 2 + deviation**2)
    weights = np.exp(-0.5 * (np.array(costs) - min(costs)))
    mean = np.average(normals, axis=0, weights=weights)
    towards = mean / np.linalg.norm(mean)
    apart = np.degrees(np.arccos(np.clip(np.array(normals) @ towards, -1, 1)))
    return Facing(towards, float(np.sqrt(np.average(apart**2, weights=weights))))


def _pitch_px(centres_px: FloatArray, grid: CardGrid) -> float:
    one, other = grid.pairs
    return float(np.median(np.linalg.norm(centres_px[one] - centres_px[other], axis=1)))


def _planes(seen: FloatArray, grid: CardGrid, focal: float) -> list[tuple[FloatArray, float]]:
    """Return the two ways in which a plane may be turned to be seen so: its normal (3,), and the pixels it is off."""
    flat = np.column_stack([grid.centres, np.zeros(len(grid.centres))])
    camera = np.diag([focal, focal, 1.0])
    _, turns, shifts, _ = cv2.solvePnPGeneric(flat, seen, camera, None, flags=cv2.SOLVEPNP_IPPE)
    found = []
    for first in zip(turns, shifts, strict=True):
        turn, shift = cv2.solvePnPRefineLM(flat, seen, camera, None, *first)
        again, _ = cv2.projectPoints(flat, turn, shift, camera, None)
        normal = cv2.Rodrigues(turn)[0][:, 2]
        off = float(np.sqrt(((again[:, 0] - seen) ** 2).mean()))
        found.append((np.asarray(-np.sign(normal[2]) * normal, dtype=np.float64), off))
    return found


def head_facing(search: FaceSearch) -> Facing | None:
    """Return where a head faces; None without a mesh."""
    if search.mesh_px is None or search.depth_px is None:
        return None
    mesh = np.column_stack([search.mesh_px, search.depth_px])
    across = (mesh[list(_LEFT)] - mesh[list(_RIGHT)]).sum(axis=0)
    across /= np.linalg.norm(across)
    down = mesh[_CHIN] - mesh[_FOREHEAD]
    down -= across * (down @ across)
    away = np.cross(across, down / np.linalg.norm(down))
    return Facing(np.asarray(-away, dtype=np.float64))
