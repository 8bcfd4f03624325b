"""Whether a shadow, a finger or a glare lies on part of the classic card.

Two questions are asked. The light that the card itself shows (`card_light.py`) bends softly where a head or a lamp is
near; a step of light, along any line or around any block of patches, is a shadow. And where the fit of colours misses
patches, the light on every half, corner and pair of neighbours in turn is let free as well: a step that explains much
of what the fit misses is a shadow or a finger, too.
"""

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.photo.calibration import Calibration, linearised, usable_patches
from tenter.photo.card_light import FRAME, LightSamples
from tenter.photo.gate import Code, Reason
from tenter.photo.reference import GRID

# On 60 clear rendered cards the largest step was 0.26, and the steepest gradient 0.28.
_MIN_STEP, _MIN_EXPLAINED, _MAX_GRADIENT = 0.33, 0.3, 0.45
# Of 600 clear rendered cards, slightly blurred ones among them, the best edge gained 21 at most and an eighth of the
# misfit; on 20 cards of which two patches had four fifths of the light it gained 32 and 0.17 at least.
_MIN_GAIN, _MIN_SHARE, _MIN_EDGE = 26.0, 0.14, 0.1
MAX_RANGE = 0.5  # between the most and the least lit patch; beside a head and a window it is 0.32
_ANGLES_DEGREES, _OFFSETS = range(0, 180, 15), np.arange(-2.75, 2.8, 0.25)  # of edges, in pitches from the middle
_EDGE_PITCHES = 0.03  # how soft an edge is
_WHOLE_PATCH = 6  # samples: a shadow on less than two thirds of a patch is dust


@dataclass(frozen=True, slots=True)
class Edge:
    """The shadow with a sharp edge that best explains the light on a card: its step as a logarithm.

    gain: of the log likelihood, twice. share: of the misfit of a soft light, what it explains.
    """

    step: float
    gain: float
    share: float

    @property
    def is_shadow(self) -> bool:
        return self.gain > _MIN_GAIN and self.share > _MIN_SHARE and abs(self.step) > _MIN_EDGE


NO_EDGE = Edge(0.0, 0.0, 0.0)


def shadow_reasons(calibration: Calibration) -> list[Reason]:
    """Return a refusal where part of the card stands in another light than the rest."""
    explained, step = largest_step(calibration)
    gradient = float(np.linalg.norm(calibration.gradient))
    spread = calibration.light.range if calibration.light else 0.0
    edge = sharpest_edge(calibration.samples) if calibration.samples else NO_EDGE
    stepped = abs(step) > _MIN_STEP and explained > _MIN_EXPLAINED
    if not (stepped or edge.is_shadow or gradient > _MAX_GRADIENT or spread > MAX_RANGE):
        return []
    return [
        Reason(
            Code.CHART_COVERED,
            "Part of the card stands in another light than the rest: a shadow, a finger or a glare lies on it, or a "
            "lamp is too near. Hold it by its edge, beside the face and in the same light, until nothing shines in it.",
        )
    ]


def sharpest_edge(samples: LightSamples) -> Edge:
    """Return the edge of light, along a line or around a block of patches, that explains a card's light best.

    By generalised least squares: what a soft light, the paints and the frame leave is tried on each edge alone.
    """
    shadows = _shadows(samples.places)
    shaded = shadows[samples.surface != FRAME].sum(axis=0)
    shadows = shadows[:, (shaded > _WHOLE_PATCH) & (shaded < np.count_nonzero(samples.surface != FRAME) - _WHOLE_PATCH)]
    light = samples.log_light - samples.log_light.mean()
    both = np.linalg.solve(
        samples.covariance() + np.diag(samples.sd**2), np.concatenate([light[:, None], shadows], axis=1)
    )
    along, size = light @ both[:, 1:], (shadows * both[:, 1:]).sum(axis=0)
    gain = along**2 / np.maximum(size, 1e-9)
    best = int(gain.argmax())
    misfit = max(float(light @ both[:, 0]), 1e-9)
    return Edge(float(along[best] / max(float(size[best]), 1e-9)), float(gain[best]), float(gain[best]) / misfit)


def _shadows(places: FloatArray) -> FloatArray:
    """Return how much each shadow (m) lies on each place (n): (n, m), 0 to 1."""
    from_middle = places - GRID.middle
    angles = np.radians(_ANGLES_DEGREES)
    across = from_middle @ np.array([np.cos(angles), np.sin(angles)])
    beyond = ((across[:, :, None] - _OFFSETS) / _EDGE_PITCHES).clip(-40, 40).reshape(len(places), -1)
    blocks = [
        np.minimum(_within(places[:, 0], left, left + width), _within(places[:, 1], top, top + height))
        for width, height in product(range(1, 5), range(1, 4))
        for left, top in product(range(GRID.columns - width + 1), range(GRID.rows - height + 1))
    ]
    return np.concatenate([1 / (1 + np.exp(-beyond)), np.stack(blocks, axis=1)], axis=1)


def _within(at: FloatArray, start: float, stop: float) -> FloatArray:
    """Return 1 between two lines, half on them and 0 beyond."""
    inside: FloatArray = np.clip(0.5 + np.minimum(at - start, stop - at) / _EDGE_PITCHES, 0, 1)
    return inside


def largest_step(calibration: Calibration) -> tuple[float, float]:
    """Return which part of the squared misses a step of light on part of the card explains at best, and that step.

    The step is a difference of logarithms of light.
    """
    linear = linearised(calibration.card, calibration.reading, calibration.light)
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
    column, row = np.array(GRID.cells).T
    rows, columns = range(GRID.rows), range(GRID.columns)
    above = [row < r for r in rows[1:]]
    before = [column < c for c in columns[1:]]
    corners = [part for a in above for b in before for part in (a & b, a & ~b, ~a & b, ~a & ~b)]
    beside = [(row == r) & ((column == c) | (column == c + 1)) for r in rows for c in columns[:-1]]
    below = [(column == c) & ((row == r) | (row == r + 1)) for r in rows[:-1] for c in columns]
    return (*above, *before, *corners, *beside, *below)
