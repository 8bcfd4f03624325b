"""Utility: how well a stimulus at x suits a person whose ideal point is θ, in one of several shapes."""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from tenter.arrays import FloatArray


class UtilityForm(Enum):
    """How utility falls with distance from the ideal."""

    QUADRATIC = "quadratic"  # -1/2 Σ w (x - θ)²
    CITY_BLOCK = "city-block"  # -0.9 Σ w |x - θ|
    SATURATING = "saturating"  # -2.5 (1 - exp(-Σ w (x - θ)² / 4))


@dataclass(frozen=True, slots=True)
class Shape:
    """A form of utility, the `weights` of its axes (0 or above; 1 is an axis as it is), and its share of the prior.

    The `share` counts beside those of other shapes, up to a constant.
    """

    form: UtilityForm
    weights: tuple[float, ...] = (1.0, 1.0, 1.0)
    share: float = 1.0

    def utility(self, stimuli: FloatArray, ideals: FloatArray) -> FloatArray:
        """Return the utility (m, n) of stimuli (m, d) to ideal points (n, d); 0 at the ideal, negative elsewhere.

        The equations are those beside `UtilityForm`; their constants are ours.
        """
        w = np.asarray(self.weights)
        if self.form is UtilityForm.CITY_BLOCK:
            distance: FloatArray = np.zeros((len(stimuli), len(ideals)))
            for axis, weight in enumerate(w):
                distance += weight * np.abs(stimuli[:, axis, None] - ideals[None, :, axis])
            return -0.9 * distance
        # Σ w (x - θ)² expanded, so that the work is one matrix product.
        squares: FloatArray = (stimuli * (-2 * w)) @ ideals.T
        squares += (stimuli**2 @ w)[:, None]
        squares += (ideals**2 @ w)[None, :]
        if self.form is UtilityForm.QUADRATIC:
            squares *= -0.5
            return squares
        saturating: FloatArray = -2.5 * (1 - np.exp(-squares / 4))
        return saturating


# One shape alone makes stated probabilities untrustworthy: a person whose utility saturates, or with whom one axis
# counts for more than the others, is read too boldly. The shares are ours, tried in simulation.
DEFAULT_SHAPES = (
    Shape(UtilityForm.QUADRATIC, share=2.0),
    Shape(UtilityForm.CITY_BLOCK),
    Shape(UtilityForm.SATURATING, share=2.0),
    Shape(UtilityForm.QUADRATIC, (1.6, 0.7, 0.7), share=0.5),
    Shape(UtilityForm.QUADRATIC, (0.7, 1.6, 0.7), share=0.5),
    Shape(UtilityForm.QUADRATIC, (0.7, 0.7, 1.6), share=0.5),
)


def utilities(shapes: tuple[Shape, ...], stimuli: FloatArray, ideals: FloatArray) -> FloatArray:
    """Return the utility of stimuli (m, d) under each of h shapes to each ideal (n, d), shape (h, m, n)."""
    return np.stack([shape.utility(stimuli, ideals) for shape in shapes])
