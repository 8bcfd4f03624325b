"""Signs that the light on the face is not the light on the card: read from the wall behind, and from the face's sides.

A plain wall shows what a lens darkens towards the corners, which is round about the middle of the picture, and it
changes colour where lamps of different colour share it. Under two lamps the side of a face that one of them reaches has
another redness than the other side. A wall that is not plain, or is hidden, tells nothing; then nothing is claimed.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import lab_to_xyz
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import HIGH_CODE
from tenter.photo.patches.correction import D65_WHITE, Correction
from tenter.photo.regions.regions import Region

_TILES = 32  # along the picture's longer side
_TILE_PX = 20  # a tile of the reduced picture
_PLAIN = 0.06  # standard deviation of the code value within a tile of plain wall
_MIN_LIGHT = 0.02  # luminance below which a tile has no colour to speak of
_MIN_TILES = 14  # of the wall beside a head; set by judgement
_MIN_PLAIN_PART = 0.6  # of the tiles that must lie on one smooth wall for it to be believed
_SMOOTH, _SMOOTH_COLOUR = 0.08, 0.04  # what a smooth wall's tiles may be off the fit, as logarithms
_CHIN = 152  # point of the face mesh
_TO_A, _TO_B = 500 / 3, 200 / 3  # d a* / d ln(X/Y) and -d b* / d ln(Z/Y) of a white surface
_SIDES = ((Region.CHEEK_LEFT, Region.CHEEK_RIGHT), (Region.JAW_LEFT, Region.JAW_RIGHT))
# The logarithm of luminance by which the sides of a face must differ before a difference in colour speaks of lamps.
_SIDE_LIGHT = 0.2
# Of 358 rendered photographs by one lamp none reaches 0.7 of these together, and 97 in 100 stay below a half.
_MAX_WALL_CHANGE, _MAX_SIDE_CHANGE = 6.5, 12.0


@dataclass(frozen=True, slots=True)
class LightSigns:
    """What was found; zero where nothing can be told.

    corner_darkening: by what a wall darkens from the middle of the picture to its corners, as a logarithm; negative
    where it gets lighter. wall_change: by how much a*, b* a white wall would change colour from the middle to a corner.
    side_change: by how much a* a white surface would differ between the two sides of a face lit from the side.
    """

    corner_darkening: float = 0.0
    wall_change: float = 0.0
    side_change: float = 0.0

    @property
    def mixed(self) -> float:
        """Signs of two lamps of different colour: 1 is too much, a half is to be said."""
        return float(np.hypot(self.wall_change / _MAX_WALL_CHANGE, self.side_change / _MAX_SIDE_CHANGE))


NO_SIGNS = LightSigns()


def light_signs(
    photo: Photo, correction: Correction, mesh_px: FloatArray, labs: Mapping[Region, FloatArray]
) -> LightSigns:
    """Return what the wall and the sides of the face say of the light; `labs` holds the Lab (3,) of regions."""
    places, light, colour = _wall(photo, correction, mesh_px)
    radial = np.column_stack([np.ones(len(places)), places, (places**2).sum(axis=1)])
    falling = _robust_fit(radial, light[:, None], _SMOOTH)
    changing = _robust_fit(radial[:, :3], colour, _SMOOTH_COLOUR)
    change = np.zeros(2) if changing is None else np.linalg.norm(changing[1:], axis=0) * (_TO_A, _TO_B)
    return LightSigns(
        0.0 if falling is None else -float(falling[3, 0]),
        float(np.linalg.norm(change)),
        _side_change(labs),
    )


def _wall(photo: Photo, correction: Correction, mesh_px: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the plain tiles along the left, upper and right border above the chin.

    Their places (n, 2) from the middle, the corners at a distance of 1; ln Y (n,); ln X/Y and ln Z/Y (n, 2).
    """
    height, width = photo.rgb.shape[:2]
    scale = _TILES * _TILE_PX / max(height, width)
    interpolation = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    small = cv2.resize(photo.rgb, None, fx=scale, fy=scale, interpolation=interpolation) / 255
    rows, columns = small.shape[0] // _TILE_PX, small.shape[1] // _TILE_PX
    lowest = int(mesh_px[_CHIN, 1] * scale) // _TILE_PX
    places, linear = [], []
    for row, column in np.ndindex(min(rows, lowest), columns):
        if row and column not in {0, columns - 1}:
            continue
        tile = small[row * _TILE_PX : (row + 1) * _TILE_PX, column * _TILE_PX : (column + 1) * _TILE_PX].reshape(-1, 3)
        if (tile < HIGH_CODE).all() and tile.std(axis=0).max() < _PLAIN:
            places.append((column + 0.5, row + 0.5))
            linear.append(correction.tone.linear(tile).mean(axis=0))
    if not places:
        return np.empty((0, 2)), np.empty(0), np.empty((0, 2))
    xyz = correction.for_dyes.xyz(np.array(linear)) / D65_WHITE
    lit = xyz.min(axis=1) > _MIN_LIGHT
    log = np.log(xyz[lit])
    size = np.array([small.shape[1], small.shape[0]]) / _TILE_PX
    from_middle = (np.array(places)[lit] - size / 2) / (np.linalg.norm(size) / 2)
    return from_middle, log[:, 1], log[:, (0, 2)] - log[:, 1:2]


def _robust_fit(terms: FloatArray, values: FloatArray, smooth: float) -> FloatArray | None:
    """Return the coefficients (k, m) that give values (n, m) of one smooth wall, what is not wall left out.

    None where too little of it is one smooth wall.
    """
    kept = np.ones(len(terms), dtype=bool)
    if len(terms) < _MIN_TILES:
        return None
    for _ in range(6):
        fitted: FloatArray = np.asarray(np.linalg.lstsq(terms[kept], values[kept], rcond=None)[0], dtype=np.float64)
        off = np.abs(values - terms @ fitted).max(axis=1)
        kept = off <= max(4 * float(np.median(off)), 0.01)
        if kept.sum() < max(_MIN_TILES, _MIN_PLAIN_PART * len(terms)):
            return None
    return fitted if float(off[kept].max()) < 2 * smooth and float(off[kept].std()) < smooth else None


def _side_change(labs: Mapping[Region, FloatArray]) -> float:
    xyz = {region: lab_to_xyz(lab, D65_WHITE) for region, lab in labs.items()}
    both = [(xyz[left], xyz[right]) for left, right in _SIDES if left in xyz and right in xyz]
    if not both or min(float(colour.min()) for pair in both for colour in pair) <= 0:
        return 0.0
    steps = np.mean([np.log(left) - np.log(right) for left, right in both], axis=0)
    if abs(steps[1]) < _SIDE_LIGHT:
        return 0.0
    return float(_TO_A * abs(steps[0] - steps[1]))
