"""A print as a few colours and how much of the cloth each covers.

Pixels are grouped by k-means into more colours than wanted; groups that folds alone could tell apart are joined; small
ones are dropped. What folds do to lightness counts for less than a change of tint.
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray, IntArray
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.cloth import MIN_PIXELS, half_width_90, interval_json
from tenter.photo.correction import D65_WHITE, Correction
from tenter.photo.loading import Photo

MAX_COLOURS = 6
MIN_AREA = 0.03  # of the print: less is a thread or an edge
_STARTS, _ROUNDS, _SAMPLES = 14, 25, 6000
_JOINED = 7.0  # distance of features below which two groups are one colour
_LIGHTNESS, _TINT = 0.35, 50.0  # features: 20 of L* weigh as much as 0.14 of a*/(L* + 16), 7 of chroma at L* 35
_EDGE = 0.12  # share of pixels with the steepest changes that is never a colour of its own
_MAX_EDGE_AREA, _MIXED = 0.08, 3.0  # what is smaller, and so near the line between two larger ones, is their edge
_ANGLE_AND_FOLDS = 0.1  # of the logarithm of light: folds are not told from a print's own lightness


@dataclass(frozen=True, slots=True)
class PaletteColour:
    """One colour of a print: Lab (3,), D65/2°, half-widths (3,) of its 90 % interval, and its part of the area."""

    lab: FloatArray
    half_width_90: FloatArray
    area: float

    def to_json(self) -> dict[str, Any]:
        return {
            "lab": np.round(self.lab, 3).tolist(),
            "lab_interval_90": interval_json(self.lab, self.half_width_90),
            "area": round(self.area, 4),
        }


def features(lab: FloatArray) -> FloatArray:
    """Return what colours (..., 3) are told apart by, shape (..., 3): lightness weighs little, tint much."""
    tint = lab[..., 1:] / (lab[..., :1] + 16)
    return np.concatenate([_LIGHTNESS * lab[..., :1], _TINT * tint], axis=-1)


def colour_groups(points: FloatArray) -> IntArray:
    """Return the group (n,) of each of the features (n, 3), the largest group 0."""
    rng = np.random.default_rng(0)
    some = points if len(points) <= _SAMPLES else points[rng.choice(len(points), _SAMPLES, replace=False)]
    centres, weights = _joined(*_clustered(some, rng))
    centres = centres[np.argsort(-weights, kind="stable")]
    return _nearest(points, centres)


def _clustered(points: FloatArray, rng: np.random.Generator) -> tuple[FloatArray, FloatArray]:
    """Return centres and sizes of k-means, begun far apart (D. Arthur, S. Vassilvitskii 2007: k-means++)."""
    centres = points[rng.integers(len(points))][None]
    for _ in range(_STARTS - 1):
        away = ((points[:, None] - centres) ** 2).sum(axis=2).min(axis=1)
        if away.sum() <= 0:
            break
        centres = np.vstack([centres, points[rng.choice(len(points), p=away / away.sum())]])
    for _ in range(_ROUNDS):
        group = _nearest(points, centres)
        centres = np.array([points[group == k].mean(axis=0) for k in np.unique(group)])
    return centres, np.bincount(_nearest(points, centres), minlength=len(centres)).astype(float)


def _joined(centres: FloatArray, weights: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Join the two nearest groups until all are further apart than `_JOINED`."""
    while len(centres) > 1:
        apart = np.linalg.norm(centres[:, None] - centres, axis=2) + 1e9 * np.eye(len(centres))
        one, other = np.unravel_index(int(apart.argmin()), apart.shape)
        if apart[one, other] >= _JOINED:
            break
        both = weights[one] + weights[other]
        centres[one] = (centres[one] * weights[one] + centres[other] * weights[other]) / both
        weights[one] = both
        centres, weights = (np.delete(values, other, axis=0) for values in (centres, weights))
    return centres, weights


def _nearest(points: FloatArray, centres: FloatArray) -> IntArray:
    return np.asarray(((points[:, None] - centres) ** 2).sum(axis=2).argmin(axis=1), dtype=np.intp)


def print_palette(photo: Photo, mask: BoolArray, correction: Correction) -> tuple[PaletteColour, ...]:
    """Return the colours of the cloth in a mask (height, width), the largest first; their areas add up to 1.

    Empty when the cloth is too small to tell.
    """
    linear, inside = _reduced(photo, mask, correction)
    lab = xyz_to_lab(np.maximum(correction.for_dyes.xyz(linear), 1e-5), D65_WHITE)
    described = features(lab)
    steep = sum(np.abs(np.gradient(described, axis=axis)).sum(axis=2) for axis in (0, 1))
    sound = inside & (linear.max(axis=2) < 0.99)
    if np.count_nonzero(mask) < MIN_PIXELS or np.count_nonzero(sound) < 64:
        return ()
    calm = sound & (steep <= max(1.0, float(np.quantile(steep[sound], 1 - _EDGE))))
    group = colour_groups(described[calm])
    sizes = np.bincount(group) / len(group)
    order = [int(k) for k in np.argsort(-sizes, kind="stable") if sizes[k] >= MIN_AREA]
    centres = {k: np.median(described[calm][group == k], axis=0) for k in order}
    kept: list[int] = []
    for k in order:
        larger = [centres[other] for other in kept]
        if len(kept) < MAX_COLOURS and not (sizes[k] < _MAX_EDGE_AREA and _is_between(centres[k], larger)):
            kept.append(k)
    total = float(sizes[kept].sum())
    return tuple(_colour(linear[calm][group == k], float(sizes[k]) / total, correction) for k in kept)


def _is_between(centre: FloatArray, others: list[FloatArray]) -> bool:
    """Return whether a colour (3,) is what two others mix to at their edge."""
    for i, one in enumerate(others):
        for other in others[:i]:
            way = other - one
            along = float((centre - one) @ way / (way @ way))
            if 0 < along < 1 and np.linalg.norm(one + along * way - centre) < _MIXED:
                return True
    return False


def _colour(linear: FloatArray, area: float, correction: Correction) -> PaletteColour:
    lab = xyz_to_lab(np.maximum(correction.for_dyes.xyz(np.median(linear, axis=0)), 1e-5), D65_WHITE)
    return PaletteColour(lab, half_width_90(lab, correction, _ANGLE_AND_FOLDS), area)


def _reduced(photo: Photo, mask: BoolArray, correction: Correction) -> tuple[FloatArray, BoolArray]:
    """Return linear light (h, w, 3) of the mask's box at no more than 300 pixels a side, and what lies inside."""
    ys, xs = np.nonzero(mask)
    if len(xs) == 0:
        return np.zeros((2, 2, 3)), np.zeros((2, 2), dtype=bool)
    window = (slice(ys.min(), ys.max() + 1), slice(xs.min(), xs.max() + 1))
    return shrunk(correction.tone.linear(photo.code(window)), mask[window], 300)


def shrunk(linear: FloatArray, mask: BoolArray, side: int) -> tuple[FloatArray, BoolArray]:
    """Return a picture (h, w, 3) and its mask with no more than `side` pixels a side; a pixel half outside is out."""
    scale = min(1.0, side / max(mask.shape))
    size = (max(2, round(mask.shape[1] * scale)), max(2, round(mask.shape[0] * scale)))
    small = cv2.resize(np.ascontiguousarray(linear), size, interpolation=cv2.INTER_AREA)
    inside: BoolArray = cv2.resize(mask.astype(float), size, interpolation=cv2.INTER_AREA) > 0.99
    return small, inside
