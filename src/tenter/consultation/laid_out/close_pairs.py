"""The pairs of a kit that the eye may take for one cloth, among all there are."""

import numpy as np

from tenter.arrays import FloatArray, IntArray
from tenter.colorimetry.difference import delta_e_2000, lightness_apart

_BLOCK = 2**18  # pairs taken at once: what a processor's cache holds of their lightness


def close_pairs(lab: FloatArray, below: float) -> tuple[IntArray, FloatArray]:
    """Return the pairs (p, 2) of colours (n, 3) nearer than `below`, and the ΔE00 (p,) of each; by rows, rising.

    ΔE00 is never less than its part in lightness, which is worked out first and leaves few pairs to work out whole.
    """
    rows = max(1, _BLOCK // max(1, len(lab)))
    found = [_close(lab, start, start + rows, below) for start in range(0, len(lab), rows)]
    pairs = np.concatenate([np.zeros((0, 2), dtype=np.intp), *(pairs for pairs, _ in found)])
    return pairs, np.concatenate([np.zeros(0), *(apart for _, apart in found)])


def _close(lab: FloatArray, start: int, end: int, below: float) -> tuple[IntArray, FloatArray]:
    one, other = np.nonzero(np.triu(lightness_apart(lab[start:end, None], lab[None]) < below, k=start + 1))
    one = one + start
    apart = delta_e_2000(lab[one], lab[other])
    close = apart < below
    pairs: IntArray = np.stack([one[close], other[close]], axis=1)
    return pairs, apart[close]
