"""Whether a shadow, a finger or a glare lies on part of the classic card, though the fit has swallowed it.

A fit with tone curve, matrix and gradient can follow a shadow over half a card. Here the light on part of the card is
let free as well, for every half, corner and pair of neighbours in turn: a step of light that explains much of what the
fit misses is a shadow.
"""

from functools import cache

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.photo.calibration import Calibration, linearised, usable_patches
from tenter.photo.gate import Code, Reason

_ROWS, _COLUMNS = 4, 6
# On 60 clear rendered cards the largest step was 0.26, and the steepest gradient 0.28.
_MIN_STEP, _MIN_EXPLAINED, _MAX_GRADIENT = 0.33, 0.3, 0.45


def shadow_reasons(calibration: Calibration) -> list[Reason]:
    """Return a refusal where part of the card stands in another light than the rest."""
    explained, step = largest_step(calibration)
    gradient = float(np.linalg.norm(calibration.gradient))
    if gradient < _MAX_GRADIENT and not (abs(step) > _MIN_STEP and explained > _MIN_EXPLAINED):
        return []
    return [
        Reason(
            Code.CHART_COVERED,
            "Part of the card stands in another light than the rest: a shadow, a finger or a glare lies on it, or a "
            "lamp is too near. Hold it by its edge, beside the face and in the same light, until nothing shines in it.",
        )
    ]


def largest_step(calibration: Calibration) -> tuple[float, float]:
    """Return which part of the squared misses a step of light on part of the card explains at best, and that step.

    The step is a difference of logarithms of light.
    """
    linear = linearised(calibration.card, calibration.reading)
    if linear is None:
        return 0.0, 0.0
    missed, by_parameter, by_light = linear
    used = usable_patches(calibration.reading)
    basis = np.linalg.qr(by_parameter)[0]
    parts = np.array([part[used] for part in _parts() if 0 < part[used].sum() < used.sum()], dtype=float)
    steps = by_light @ parts.T

    def beyond(values: FloatArray) -> FloatArray:
        free: FloatArray = values - basis @ (basis.T @ values)
        return free

    left, free = beyond(missed), beyond(steps)
    size = (free**2).sum(axis=0)
    along = left @ free
    explained = along**2 / np.maximum(size, 1e-12) / max(float(left @ left), 1e-12)
    best = int(explained.argmax())
    return float(explained[best]), float(-along[best] / max(float(size[best]), 1e-12))


@cache
def _parts() -> tuple[BoolArray, ...]:
    """Return the parts (24,) of the card that may stand in another light: halves, corners and pairs of neighbours."""
    row, column = np.divmod(np.arange(_ROWS * _COLUMNS), _COLUMNS)
    above = [row < r for r in range(1, _ROWS)]
    before = [column < c for c in range(1, _COLUMNS)]
    corners = [part for a in above for b in before for part in (a & b, a & ~b, ~a & b, ~a & ~b)]
    beside = [(row == r) & ((column == c) | (column == c + 1)) for r in range(_ROWS) for c in range(_COLUMNS - 1)]
    below = [(column == c) & ((row == r) | (row == r + 1)) for r in range(_ROWS - 1) for c in range(_COLUMNS)]
    return (*above, *before, *corners, *beside, *below)
