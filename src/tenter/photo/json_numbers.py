"""Numbers and their 90 % intervals as the JSON of every measurement writes them."""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from tenter.arrays import FloatArray

_DIGITS = 3  # decimals of a number in the output


def rounded(values: ArrayLike) -> Any:
    """Return values (...) as nested lists of floats with three decimals; what rounds to nothing is 0.0, never -0.0."""
    return (np.round(np.asarray(values, dtype=float), _DIGITS) + 0.0).tolist()


def interval_json(middle: FloatArray, half_width: FloatArray) -> Any:
    """Return [[low, high], ...] of values (n,) with half-widths (n,)."""
    return rounded(np.stack([middle - half_width, middle + half_width], axis=1))
