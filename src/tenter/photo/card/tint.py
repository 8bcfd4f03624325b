"""Whether the light changes colour across a card, as it does where a coloured cloth or wall throws some back onto it.

What the fit of colours leaves over in a* and b* is held against what a slope of red over green and of blue over green
across the card would leave there. A tint that lies evenly on card and frame leaves no trace: it is taken for that of
the lamp.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import chroma, xyz_to_lab
from tenter.photo.card.calibration import Calibration, patches_at_white
from tenter.photo.patches.correction import D65_WHITE, ColourMap

_MIN_PATCHES = 16  # of 24: so that a tint is not fitted to a few; set by judgement
_STEP = 0.01  # logarithms, for slopes by differences
_STRAY, _ROUNDS = 1.5, 8  # robust standard deviations from which a patch counts less, and rounds of weighing
_PER_CHROMA = 0.05  # of a patch, by which its a* and b* may be missed, beside a unit: dyes are not the observer's
# Of 173 rendered cards without such a tint one exceeds both, under two lamps; none of 11 real ones; of 20 with a tint
# of none to 16 % across the card, 13 do. A cloth under the chin makes half of it in each of the scenes.
_NO_CHANCE, _MIN_CHANGE = 28.0, 4.0


@dataclass(frozen=True, slots=True)
class CardTint:
    """By how much a* and b* (2,) of a white change from one end of a card to the other; how unlikely by chance.

    certainty: of the slopes, in squared standard deviations; 4 are free.
    """

    change: FloatArray
    certainty: float

    @property
    def found(self) -> bool:
        """Whether it is more than chance makes, and large enough to matter."""
        return self.certainty > _NO_CHANCE and float(np.hypot(*self.change)) > _MIN_CHANGE


def card_tint(calibration: Calibration) -> CardTint | None:
    """Return how the light changes colour across a card; None with too few patches."""
    used, grid = calibration.used, calibration.card.grid
    if np.count_nonzero(used) < _MIN_PATCHES:
        return None
    linear, wanted = patches_at_white(calibration), xyz_to_lab(calibration.card.xyz[used], D65_WHITE)
    seen = _lab(calibration.for_dyes, linear)
    by_ratio = [(_lab(calibration.for_dyes, linear * factor) - seen)[:, 1:] / _STEP for factor in _factors(_STEP)]
    across = (grid.centres[used] - grid.middle) / (grid.columns, grid.rows)
    terms = [slope * along[:, None] for slope in by_ratio for along in across.T] + by_ratio
    sd = np.repeat(1 + _PER_CHROMA * chroma(wanted), 2)
    slopes, covariance = _fitted(
        np.stack([term.ravel() for term in terms], axis=1) / sd[:, None], (seen - wanted)[:, 1:].ravel() / sd
    )
    certainty = float(slopes @ np.linalg.solve(covariance, slopes))
    return CardTint(_of_white(calibration, slopes.reshape(2, 2)), certainty)


def _factors(step: float) -> tuple[FloatArray, FloatArray]:
    return np.array([np.exp(step), 1.0, 1.0]), np.array([1.0, 1.0, np.exp(step)])


def _lab(colours: ColourMap, linear: FloatArray) -> FloatArray:
    return xyz_to_lab(np.maximum(colours.xyz(np.maximum(linear, 1e-5)), 1e-5), D65_WHITE)


def _fitted(terms: FloatArray, values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the first four coefficients of a robust fit, and their covariance (4, 4)."""
    weights = np.ones(len(values))
    normal = np.eye(terms.shape[1])
    for _ in range(_ROUNDS):
        normal = terms.T * weights @ terms + 1e-6 * np.eye(terms.shape[1])
        found = np.linalg.solve(normal, terms.T @ (weights * values))
        left = np.abs(values - terms @ found)
        weights = 1 / np.maximum(1, left / (_STRAY * 1.4826 * float(np.median(left)) + 1e-9))
    spread = float((weights * left**2).sum()) / max(float(weights.sum()) - terms.shape[1], 1.0)
    covariance: FloatArray = spread * np.linalg.inv(normal)[:4, :4]
    return np.asarray(found[:4], dtype=np.float64), covariance


def _of_white(calibration: Calibration, slopes: FloatArray) -> FloatArray:
    """Return the change of a white's a* and b* (2,) along the direction in which it is larger."""
    weights = calibration.for_skin.weights
    white = np.linalg.solve(weights[:3].T, D65_WHITE)
    changes = []
    for red, blue in slopes.T:
        factors = np.array([np.exp(red), 1.0, np.exp(blue)])
        ends = _lab(calibration.for_skin, np.stack([white / np.sqrt(factors), white * np.sqrt(factors)]))
        changes.append(ends[1, 1:] - ends[0, 1:])
    return np.asarray(max(changes, key=lambda change: float(np.hypot(*change))))
