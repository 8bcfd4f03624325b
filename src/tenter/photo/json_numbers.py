"""Numbers and their 90 % intervals as the JSON of every measurement writes them."""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from tenter.arrays import FloatArray
from tenter.measured.written_numbers import Triple, TripleWithin

_DIGITS = 3  # decimals of a number in the output


def rounded(values: ArrayLike) -> Any:
    """Return values (...) as nested lists of floats with three decimals; what rounds to nothing is 0.0, never -0.0."""
    return (np.round(np.asarray(values, dtype=float), _DIGITS) + 0.0).tolist()


def interval_json(middle: FloatArray, half_width: FloatArray) -> Any:
    """Return [[low, high], ...] of values (n,) with half-widths (n,)."""
    return rounded(np.stack([middle - half_width, middle + half_width], axis=1))


def written_lab(lab: FloatArray) -> Triple:
    """Return L*, a* and b* (3,) as they are written."""
    lightness, a, b = rounded(lab)
    return lightness, a, b


def written_within(lab: FloatArray, half_width: FloatArray) -> TripleWithin:
    """Return the interval of each of L*, a* and b* (3,), with half-widths (3,), as it is written."""
    lightness, a, b = ((low, high) for low, high in interval_json(lab, half_width))
    return lightness, a, b
