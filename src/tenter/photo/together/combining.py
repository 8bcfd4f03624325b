"""One colour out of several photographs' readings of it: what they agree on, and how far off that may be.

Each reading errs by a part that all share, by one of its own (both normal), and by the light on its card, which most
photographs get right and some get wrong by much:

    own + card light  ~  (1 - q) N(0, own² + held²) + q N(0, own² + amiss²)

q and amiss follow from what the photograph says of the light on its card. What all readings make likely together is
their product (as in D. W. Hogg, J. Bovy, D. Lang 2010, arXiv:1008.4686, section 3: a mixture that prunes outliers; from
memory). Readings that agree were hardly all wrong by the same, so the interval becomes that of cards held well, and
narrower with each; readings that do not leave two hills, and an interval over both. Of three or more, the one apart
weighs less. The shared part stays as it is.

Where nobody moved the card the light on it is the same error each time, so such readings count as one of them whose own
part is averaged (`of_one_hold`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.special import ndtr

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.intervals import DEVIATIONS_TO_90, chi_square_point
from tenter.photo.json_numbers import rounded
from tenter.photo.regions.interval_parts import ColourInParts

# How far the light on a card held as asked is off: of light, as a logarithm, and in a* and b*. On 295 rendered
# photographs of 10 faces, two of one face differ in a* by 0.69 by several cameras where 0.62 was foreseen without it.
_HELD_LIGHT, _HELD_TINT = 0.012, 0.2
# And on one that is tilted, shaded, shining or tinted. Practice, no source: 20° towards a lamp at 45° are 0.27, a shade
# that takes a fifth 0.22, a bounce of 8 % two units of a* or b*.
_AMISS_LIGHT, _AMISS_TINT = 0.15, 2.0
_AMISS_SHARE_LIGHT, _AMISS_SHARE_TINT, _AMISS_AT_MOST = 0.2, 0.1, 0.9
# An outline runs a little elsewhere each time: two of one face differ in L* of nose, chin and lips, freed from what the
# whole face does, by 0.4 to 0.7, and of forehead, cheeks and jaws by 0.2; of what the colour moves across the region
# that is 0.05 to 0.09 for each.
_OUTLINE = 0.08
_LEAST_OWN = 0.05  # units of Lab: nothing read from 8 bits is surer
_STEPS, _BEYOND, _AMISS_BEYOND = 2401, 5.0, 0.6  # of the scale on which likelihoods are multiplied: how far it goes


@dataclass(frozen=True, slots=True)
class Spread:
    """How far readings of one colour lie apart, per L*, a*, b* (3,), against what cards held as asked let expect.

    found, expected: standard deviations. chi_square: of `freedom` degrees, were all cards held as asked.
    """

    found: FloatArray
    expected: FloatArray
    chi_square: FloatArray
    freedom: int

    def agrees(self, confidence: float) -> BoolArray:
        """Whether they lie no further apart (3,) than most readings do whose cards were held as asked.

        confidence: the part of such readings, 0 to 1, that lie no further apart.
        """
        return np.asarray(self.chi_square <= chi_square_point(confidence, self.freedom))

    def to_json(self, confidence: float) -> dict[str, Any]:
        """Return the spread per L*, a*, b*, and whether they agree.

        confidence: the part of readings, 0 to 1, that lie no further apart when their cards are held as asked.
        """
        return {
            "spread": rounded(self.found),
            "expected": rounded(self.expected),
            "chi_square": rounded(self.chi_square),
            "degrees_of_freedom": self.freedom,
            "agree": [bool(axis) for axis in self.agrees(confidence)],
        }


def averaged(lab: FloatArray, own: FloatArray, shared: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the mean (3,) of Lab values (n, 3), weighted by the precision of own errors, and its own and shared part.

    own, shared: half-widths (n, 3). Own errors average out, shared ones do not.
    """
    weights = weights_of(own)
    together = np.sqrt(((weights * own) ** 2).sum(axis=0))
    return (weights * lab).sum(axis=0), together, (weights * shared).sum(axis=0)


def weights_of(own: FloatArray) -> FloatArray:
    """Return how much each of n readings counts (n, 3), by the precision of its own error (n, 3); they add up to 1."""
    precision = 1 / np.maximum(own, _LEAST_OWN) ** 2
    weights: FloatArray = precision / precision.sum(axis=0)
    return weights


def of_one_hold(colours: Sequence[ColourInParts]) -> ColourInParts:
    """Return what readings say together whose card nobody moved: the light on it errs in all of them by the same."""
    if len(colours) == 1:
        return colours[0]
    own, shared, light = (
        np.stack(part) for part in zip(*((c.own, c.shared, c.card_light) for c in colours), strict=True)
    )
    lightness = float(weights_of(own)[:, 0] @ [c.lab[0] for c in colours])
    lab, kept, common = averaged(at_lightness(colours, lightness), own, shared)
    placement = np.mean([c.placement for c in colours], axis=0)
    return ColourInParts(lab, placement, kept, (weights_of(own) * light).sum(axis=0), common)


def combined(colours: Sequence[ColourInParts]) -> ColourInParts:
    """Return what readings of one colour say together; its own part holds what the light on the cards leaves."""
    if len(colours) == 1:
        return colours[0]
    own, shared = np.stack([c.own for c in colours]), np.stack([c.shared for c in colours])
    lightness, half = _likely(np.array([c.lab[0] for c in colours]), _errors(colours, 0))
    matched = at_lightness(colours, lightness)
    lab, halves = np.array([lightness, 0, 0]), np.array([half, 0, 0])
    for axis in (1, 2):
        lab[axis], halves[axis] = _likely(matched[:, axis], _errors(colours, axis))
    placement = np.mean([c.placement for c in colours], axis=0)
    kept = averaged(matched, own, shared)[2]
    return ColourInParts(lab, placement, halves, np.zeros(3), kept)


def at_lightness(colours: Sequence[ColourInParts], lightness: float) -> FloatArray:
    """Return Lab (n, 3) of readings with a* and b* as they would be at one L*: light alone scales both with L* + 16.

    L* itself stays as it was read.
    """
    lab = np.stack([c.lab for c in colours])
    lab[:, 1:] *= (lightness + 16) / (lab[:, :1] + 16)
    return lab


def spread_of(colours: Sequence[ColourInParts]) -> Spread:
    """Return how far readings of one colour lie apart; a* and b* are held against one another at one lightness."""
    lightness = float(np.mean([c.lab[0] for c in colours]))
    return spread_between(at_lightness(colours, lightness), own_deviations(colours))


def own_deviations(colours: Sequence[ColourInParts]) -> FloatArray:
    """Return standard deviations (n, 3) of what is each reading's own, its card held as asked."""
    light = np.array([[_HELD_LIGHT * (c.lab[0] + 16) / 3, _HELD_TINT, _HELD_TINT] for c in colours])
    deviations: FloatArray = np.hypot(_without_card(colours), light)
    return deviations


def _without_card(colours: Sequence[ColourInParts]) -> FloatArray:
    """Return standard deviations (n, 3) of what is each reading's own but for the light on its card."""
    fit = np.maximum(np.stack([c.own for c in colours]), _LEAST_OWN) / DEVIATIONS_TO_90
    deviations: FloatArray = np.hypot(fit, _OUTLINE * np.stack([c.placement for c in colours]))
    return deviations


def spread_between(lab: FloatArray, own: FloatArray) -> Spread:
    """Return how far Lab values (n, 3) with standard deviations (n, 3) lie apart, two or more of them."""
    off = lab - (weights_of(own) * lab).sum(axis=0)
    expected = np.sqrt((own**2).mean(axis=0))
    return Spread(lab.std(axis=0, ddof=1), expected, ((off / own) ** 2).sum(axis=0), len(lab) - 1)


@dataclass(frozen=True, slots=True)
class _Errors:
    """Of n readings on one axis (n,): deviations with the card held as asked and amiss, and how likely amiss was."""

    held: FloatArray
    amiss: FloatArray
    share: FloatArray


def _errors(colours: Sequence[ColourInParts], axis: int) -> _Errors:
    own = _without_card(colours)[:, axis]
    said = np.array([float(c.card_light[axis]) for c in colours])
    per_light = np.array([(c.lab[0] + 16) / 3 for c in colours])
    wrong = _AMISS_LIGHT * per_light if axis == 0 else np.full(len(colours), _AMISS_TINT)
    wrong = np.maximum(wrong, said / DEVIATIONS_TO_90)
    least = _AMISS_SHARE_LIGHT if axis == 0 else _AMISS_SHARE_TINT
    # As likely as leaves one error in ten beyond the half-width that the photograph gives to the light on its card.
    share = np.clip(0.1 / (2 * ndtr(-said / wrong)), least, _AMISS_AT_MOST)
    return _Errors(own_deviations(colours)[:, axis], np.hypot(own, wrong), share)


def _likely(values: FloatArray, errors: _Errors) -> tuple[float, float]:
    """Return the mean of what readings (n,) make likely together, and the half-width about it that holds 90 %."""
    beyond = _BEYOND * float(max(errors.held.max(), _AMISS_BEYOND * errors.amiss.max()))
    at = np.linspace(values.min() - beyond, values.max() + beyond, _STEPS)
    off = at[:, None] - values
    as_asked = np.log1p(-errors.share) + _log_normal(off, errors.held)
    logs = np.logaddexp(as_asked, np.log(errors.share) + _log_normal(off, errors.amiss)).sum(axis=1)
    density = np.exp(logs - logs.max())
    density /= density.sum()
    mean = float(density @ at)
    return mean, _half_width(at, density, mean)


def _log_normal(off: FloatArray, deviation: FloatArray) -> FloatArray:
    logs: FloatArray = -0.5 * (off / deviation) ** 2 - np.log(deviation)
    return logs


def _half_width(at: FloatArray, density: FloatArray, mean: float) -> float:
    """Return the half-width about the mean that holds 90 % of a density on equal steps, between the steps too."""
    below = np.cumsum(density) - density / 2
    low, high = 0.0, float(at[-1] - at[0])
    for _ in range(50):
        half = (low + high) / 2
        inside = np.interp(mean + half, at, below) - np.interp(mean - half, at, below)
        low, high = (half, high) if inside < 0.9 else (low, half)
    return high
