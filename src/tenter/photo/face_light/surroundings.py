"""What a plain wall shows of the light right beside the card and the head.

A wall is lit evenly, or changes slowly across the picture. Where it gets darker all around the card, the shade lies on
card and wall alike; where it gets lighter all around the head, the phone has made the head lighter and the wall beside
it as well. A shadow that the card throws on the wall lies on one side of it. A wall that is not plain tells nothing.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import HIGH_CODE
from tenter.photo.patches.correction import D65_WHITE, Correction

_SIDE = 640  # the picture's longer side while it is looked at
_DARKEST = 1e-3  # of full light: below it a logarithm says nothing
_CHIN = 152  # point of the face mesh
_HEAD_ROOM = (0.35, 0.6)  # of the face's width to both sides, of its height above: hair and cap
_CARD_ROOM = 1.2  # pitches around the card that the wall's own light is not learned from
_STEP = 3  # every third pixel is enough to learn it from
_MIN_WALL, _MIN_PART = 200, 0.5  # pixels so learned from; which part of what is looked at must be one plain wall
# Times the median from which a tile is left out; natural logarithms of light, and of its colour, that are even.
_STRAY, _EVEN, _EVEN_COLOUR = 3.0, 0.03, 0.04
_PLAIN, _PLAIN_COLOUR = (
    0.06,
    0.12,
)  # standard deviations of a wall's light and colour, as logarithms; 0.01 to 0.03 as a rule
_MOST_LIGHTER, _MOST_DARKER = 0.45, 0.8  # logarithms of light: what differs by more is not taken for wall
# Where a step is looked for: pitches from the card's frame, widths of the face from the head.
_CARD_NEAR, _CARD_FAR = (0.1, 0.4), (0.7, 1.2)
_FRAME_REACH = 0.8  # pitches beyond the patches within which dark pixels are frame
_HEAD_NEAR, _HEAD_FAR = (0.015, 0.05), (0.09, 0.18)
_MIN_PIXELS = 25
_MIN_SIDES = 2


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Steps of the light on the wall, from farther away to right beside; None where none can be told.

    card: the logarithm of light beside the card, in the middle of its sides. head: the logarithm of light beside the
    head.
    """

    card: float | None = None
    head: float | None = None


NOTHING_TOLD = Surroundings()


@dataclass(frozen=True, slots=True)
class _View:
    """A reduced picture: the light and the colour of each pixel, the card (4, 2), its pitch, and the face mesh."""

    log_light: FloatArray
    colour: FloatArray
    bright: BoolArray
    card: FloatArray
    pitch: float
    mesh: FloatArray

    @property
    def shape(self) -> tuple[int, int]:
        return self.log_light.shape[0], self.log_light.shape[1]


def surroundings(
    photo: Photo, correction: Correction, corners_px: FloatArray, pitch_px: float, mesh_px: FloatArray
) -> Surroundings:
    """Return what the wall shows beside a card, whose patches fill corners (4, 2) with a pitch, and beside a face."""
    view = _view(photo, correction, corners_px, pitch_px, mesh_px)
    beside_card = _distance(_polygon(view.shape, view.card)) / view.pitch
    step, wall = _off_the_wall(view, beside_card)
    if wall is None:
        return NOTHING_TOLD
    return Surroundings(_beside_card(view, step, wall, beside_card), _beside_head(view, step, wall, beside_card))


def _view(photo: Photo, correction: Correction, corners_px: FloatArray, pitch_px: float, mesh_px: FloatArray) -> _View:
    scale = min(1.0, _SIDE / max(photo.rgb.shape[:2]))
    reduced = cv2.resize(photo.rgb, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else photo.rgb
    code = cv2.GaussianBlur(reduced, (0, 0), 1.0) / 255.0
    xyz = correction.for_dyes.xyz(correction.tone.linear(code)) / D65_WHITE
    log = np.log(np.maximum(xyz, _DARKEST))
    light = log[..., 1]
    colour = log[..., (0, 2)] - light[..., None]
    bright = code.max(axis=2) >= HIGH_CODE
    return _View(light, colour, bright, (corners_px + 0.5) * scale, pitch_px * scale, mesh_px * scale)


def _off_the_wall(view: _View, beside_card: FloatArray) -> tuple[FloatArray, BoolArray | None]:
    """Return by what logarithm of light each pixel is off a smooth wall, and which of them are wall: None without one.

    A wall's light is taken as a polynomial of the third degree in the place, its colour as well.
    """
    height, width = view.shape
    y, x = np.mgrid[:height, :width]
    low, high = view.mesh.min(axis=0), view.mesh.max(axis=0)
    aside, above = _HEAD_ROOM * (high - low)
    head = (x > low[0] - aside) & (x < high[0] + aside) & (y > low[1] - above)
    looked_at = (y < view.mesh[_CHIN, 1]) & ~head & (beside_card > _CARD_ROOM) & ~view.bright
    terms = _terms(2 * x / width - 1, 2 * y / height - 1)
    values = np.concatenate([view.log_light[..., None], view.colour], axis=2)
    learned = looked_at[::_STEP, ::_STEP]
    some, of = terms[::_STEP, ::_STEP][learned], values[::_STEP, ::_STEP][learned]
    fitted, kept = _fit(some, of)
    if fitted is None or kept.sum() < max(_MIN_WALL, _MIN_PART * len(kept)):
        return view.log_light, None
    off = values - terms @ fitted
    left = (of - some @ fitted)[kept].std(axis=0)
    if left[0] > _PLAIN or left[1:].max() > _PLAIN_COLOUR:
        return view.log_light, None
    spread = max(_EVEN_COLOUR, 4 * float(left[1:].max()))
    wall = (
        (off[..., 0] < _MOST_LIGHTER)
        & (off[..., 0] > -_MOST_DARKER)
        & (np.abs(off[..., 1:]).max(axis=2) < spread)
        & ~view.bright
    )
    opened = cv2.morphologyEx(wall.astype(np.uint8), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    return off[..., 0], opened > 0


def _terms(x: FloatArray, y: FloatArray) -> FloatArray:
    xs, ys = ((np.ones_like(of), of, of * of, of * of * of) for of in (x, y))  # powers as such take five times as long
    return np.stack([xs[i] * ys[j] for i in range(4) for j in range(4 - i)], axis=-1)


def _fit(terms: FloatArray, values: FloatArray) -> tuple[FloatArray | None, BoolArray]:
    kept = np.ones(len(terms), dtype=bool)
    fitted: FloatArray | None = None
    for _ in range(5):
        if kept.sum() < _MIN_WALL:
            return None, kept
        fitted = np.asarray(np.linalg.lstsq(terms[kept], values[kept], rcond=None)[0], dtype=np.float64)
        off = np.abs(values - terms @ fitted)
        kept = np.asarray((off <= np.maximum(_EVEN, _STRAY * np.median(off[kept], axis=0))).all(axis=1))
    return fitted, kept


def _beside_card(view: _View, step: FloatArray, wall: BoolArray, beside_card: FloatArray) -> float | None:
    """Return the step in the middle of the card's sides, from outside its frame on."""
    framed = (beside_card < _FRAME_REACH) & ~wall
    pieces = cv2.connectedComponents((framed | (beside_card == 0)).astype(np.uint8))[1]
    card = pieces == np.bincount(pieces[beside_card == 0]).argmax()
    distance = _distance(card) / view.pitch
    sides = _sides(view)
    found = []
    for side in range(4):
        near, far = (wall & (sides == side) & (a < distance) & (distance < b) for a, b in (_CARD_NEAR, _CARD_FAR))
        if min(near.sum(), far.sum()) >= _MIN_PIXELS:
            found.append(float(np.median(step[near]) - np.median(step[far])))
    return float(np.median(found)) if len(found) >= _MIN_SIDES else None


def _sides(view: _View) -> FloatArray:
    """Return beside which of the card's sides each pixel lies, 0 to 3; -1 beyond its corners."""
    height, width = view.shape
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32)
    to_card = cv2.getPerspectiveTransform(view.card.astype(np.float32), unit).astype(float)
    y, x = np.mgrid[:height, :width] + 0.5
    places = np.stack([x, y, np.ones_like(x)], axis=-1) @ to_card.T
    u, v = np.moveaxis(places[..., :2] / places[..., 2:], 2, 0)
    return np.select(
        [
            (v < 0) & (u > 0) & (u < 1),
            (u > 1) & (v > 0) & (v < 1),
            (v > 1) & (u > 0) & (u < 1),
            (u < 0) & (v > 0) & (v < 1),
        ],
        [0.0, 1.0, 2.0, 3.0],
        -1.0,
    )


def _beside_head(view: _View, step: FloatArray, wall: BoolArray, beside_card: FloatArray) -> float | None:
    """Return the step beside whatever hides the wall about the face: head, hair, cap."""
    face = _polygon(view.shape, cv2.convexHull(view.mesh.astype(np.float32))[:, 0])
    hidden = (~wall & (beside_card > _CARD_FAR[0])) | face
    pieces = cv2.connectedComponents(hidden.astype(np.uint8))[1]
    head = (pieces == np.bincount(pieces[face]).argmax()).astype(np.uint8)
    width = float(np.ptp(view.mesh[:, 0]))
    distance = _distance(cv2.morphologyEx(head, cv2.MORPH_OPEN, np.ones((7, 7), np.uint8)) > 0) / width
    there = wall & (beside_card > 0.8) & (np.arange(view.shape[0])[:, None] < view.mesh[_CHIN, 1])
    near, far = (there & (a < distance) & (distance < b) for a, b in (_HEAD_NEAR, _HEAD_FAR))
    if min(near.sum(), far.sum()) < 4 * _MIN_PIXELS:
        return None
    return float(np.median(step[near]) - np.median(step[far]))


def _polygon(shape: tuple[int, int], corners: FloatArray) -> BoolArray:
    mask = np.zeros(shape, dtype=np.uint8)
    cv2.fillConvexPoly(mask, np.round(corners).astype(np.int32), 1)
    return mask > 0


def _distance(of: BoolArray) -> FloatArray:
    """Return how many pixels each pixel lies from what is marked; 0 on it."""
    return np.asarray(cv2.distanceTransform((~of).astype(np.uint8), cv2.DIST_L2, 5), dtype=np.float64)
