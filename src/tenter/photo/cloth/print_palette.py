"""A print as a few colours and how much of the cloth each covers.

Pixels are grouped by k-means into more colours than wanted; groups that folds alone could tell apart are joined; small
ones are dropped. What folds do to lightness counts for less than a change of tint.
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray, IntArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.cloth.colour import MIN_CLOTH_PIXELS, cloth_half_width_90
from tenter.photo.files.loading import Photo
from tenter.photo.json_numbers import interval_json, rounded
from tenter.photo.patches.chart import LOW_CODE
from tenter.photo.patches.correction import D65_WHITE, Correction

MAX_COLOURS = 6  # of a print; set by judgement
MIN_AREA = 0.03  # of the print: less is a thread or an edge
_STARTS, _ROUNDS, _SAMPLES = 14, 25, 6000  # groups to begin with, rounds of sorting, and pixels that are sorted
_JOINED = 7.0  # distance of features below which two groups are one colour
_LIGHTNESS, _TINT = 0.35, 50.0  # features: 20 of L* weigh as much as 0.14 of a*/(L* + 16), 7 of chroma at L* 35
_EDGE = 0.12  # share of pixels with the steepest changes that is never a colour of its own
_ALIKE = 7.0  # CIEDE2000, lightness counted half
_MAX_EDGE_AREA, _MIXED = 0.08, 3.0  # what is smaller, and so near the line between two larger ones, is their edge
_ANGLE_AND_FOLDS = 0.1  # of the logarithm of light: folds are not told from a print's own lightness


@dataclass(frozen=True, slots=True)
class PrintColour:
    """One colour of a print: Lab (3,), D65/2°, half-widths (3,) of its 90 % interval, and its part of the area."""

    lab: FloatArray
    half_width_90: FloatArray
    area: float

    def to_json(self) -> dict[str, Any]:
        """Return its Lab with the ends of its interval, and the part of the cloth that it covers."""
        return {
            "lab": rounded(self.lab),
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


def print_palette(photo: Photo, mask: BoolArray, correction: Correction) -> tuple[PrintColour, ...]:
    """Return the colours of the cloth in a mask (height, width), the largest first; their areas add up to 1.

    Empty when the cloth is too small to tell.
    """
    linear, inside = _reduced(photo, mask, correction)
    lab = xyz_to_lab(np.maximum(correction.for_dyes.xyz(linear), 1e-5), D65_WHITE)
    described = features(lab)
    steep = sum(np.abs(np.gradient(described, axis=axis)).sum(axis=2) for axis in (0, 1))
    sound = inside & (linear.max(axis=2) < 0.99)
    if np.count_nonzero(mask) < MIN_CLOTH_PIXELS or np.count_nonzero(sound) < 64:
        return ()
    calm = sound & (steep <= max(1.0, float(np.quantile(steep[sound], 1 - _EDGE))))
    group = _alike_joined(colour_groups(described[calm]), lab[calm])
    kept = _without_edges(group, described[calm])
    sizes = np.bincount(group)
    total = float(sizes[kept].sum())
    return tuple(_colour(linear[calm][group == k], float(sizes[k]) / total, correction) for k in kept)


def _alike_joined(group: IntArray, lab: FloatArray) -> IntArray:
    """Join to a larger group what a person would take for its shade: in dark colours tints are mostly noise."""
    joined = group.copy()
    middle = {int(k): np.median(lab[group == k], axis=0) for k in np.unique(group)}
    kept: list[int] = []
    for k in sorted(middle):  # the largest group is 0
        apart = [_shade_difference(middle[k], middle[other]) for other in kept]
        if apart and min(apart) < _ALIKE:
            joined[group == k] = kept[int(np.argmin(apart))]
        else:
            kept.append(k)
    return joined


def _shade_difference(one: FloatArray, other: FloatArray) -> float:
    """Return CIEDE2000 with half the difference in lightness, which folds make too."""
    nearer = np.array([(one[0] + other[0]) / 2, *other[1:]])
    return float(delta_e_2000(one, nearer))


def _without_edges(group: IntArray, described: FloatArray) -> list[int]:
    """Return the groups that are colours of their own, the largest first."""
    sizes = np.bincount(group) / len(group)
    kept: list[int] = []
    centres: list[FloatArray] = []
    for k in np.argsort(-sizes, kind="stable"):
        if sizes[k] < MIN_AREA or len(kept) == MAX_COLOURS:
            break
        centre = np.median(described[group == k], axis=0)
        if sizes[k] >= _MAX_EDGE_AREA or not _is_between(centre, centres):
            kept.append(int(k))
            centres.append(centre)
    return kept


def _is_between(centre: FloatArray, others: list[FloatArray]) -> bool:
    """Return whether a colour (3,) is what two others mix to at their edge."""
    for i, one in enumerate(others):
        for other in others[:i]:
            way = other - one
            along = float((centre - one) @ way / (way @ way))
            if 0 < along < 1 and np.linalg.norm(one + along * way - centre) < _MIXED:
                return True
    return False


def _colour(linear: FloatArray, area: float, correction: Correction) -> PrintColour:
    lab = xyz_to_lab(np.maximum(correction.for_dyes.xyz(np.median(linear, axis=0)), 1e-5), D65_WHITE)
    black = linear <= correction.tone.linear(np.full(3, LOW_CODE))
    lost = float((black.any(axis=1) & ~black.all(axis=1)).mean())
    return PrintColour(lab, cloth_half_width_90(lab, correction, _ANGLE_AND_FOLDS, lost), area)


def _reduced(photo: Photo, mask: BoolArray, correction: Correction) -> tuple[FloatArray, BoolArray]:
    """Return linear light (height, width, 3) of the mask's box, at most 300 pixels a side, and what lies inside."""
    ys, xs = np.nonzero(mask)
    if len(xs) == 0:
        return np.zeros((2, 2, 3)), np.zeros((2, 2), dtype=bool)
    window = (slice(ys.min(), ys.max() + 1), slice(xs.min(), xs.max() + 1))
    return shrunk(correction.tone.linear(photo.code(window)), mask[window], 300)


def shrunk(linear: FloatArray, mask: BoolArray, side: int) -> tuple[FloatArray, BoolArray]:
    """Return a picture (height, width, 3) and its mask (height, width) with no more than `side` pixels a side.

    A pixel that is half outside the mask is outside.
    """
    scale = min(1.0, side / max(mask.shape))
    size = (max(2, round(mask.shape[1] * scale)), max(2, round(mask.shape[0] * scale)))
    small = cv2.resize(np.ascontiguousarray(linear), size, interpolation=cv2.INTER_AREA)
    inside: BoolArray = cv2.resize(mask.astype(float), size, interpolation=cv2.INTER_AREA) > 0.99
    return small, inside
