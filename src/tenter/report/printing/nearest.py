"""The values to send to a printer for the colour that comes nearest to one asked for."""

from collections.abc import Callable
from itertools import combinations

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000

_STEPS = 40  # of the search, at the most
_FIRST_STEP, _LAST_STEP = 0.1, 0.0005  # of the span of a channel


def searched(
    printed: Callable[[FloatArray], FloatArray], asked: FloatArray, start: FloatArray, most: float = np.inf
) -> tuple[FloatArray, FloatArray]:
    """Return values (n, k), 0 to 1, whose colours come near to those asked for (n, 3), and their ΔE00 (n,).

    The search tries all directions along one channel and along two, and halves its steps where none is better. It is
    our own.

    Parameters
    ----------
    printed
        CIELAB (m, 3) of values (m, k).
    start
        Where the search begins, (n, k).
    most
        The largest sum of values that may be sent, in parts of a channel.
    """
    channels = start.shape[1]
    moves = _moves(channels)
    best, step = start.copy(), np.full(len(start), _FIRST_STEP)
    least = steady(delta_e_2000(printed(best), asked))
    rows = np.arange(len(best))
    for _ in range(_STEPS):
        tried = np.clip(best[:, None] + step[:, None, None] * moves, 0, 1)
        lab = printed(tried.reshape(-1, channels)).reshape(*tried.shape[:2], 3)
        misses = steady(delta_e_2000(lab, asked[:, None]))
        misses[tried.sum(axis=2) > most] = np.inf
        k = np.argmin(misses, axis=1)
        better = misses[rows, k] < least
        best[better], least[better] = tried[rows, k][better], misses[rows, k][better]
        step[~better] /= 2
        if np.all(step < _LAST_STEP):
            break
    return best, least


def _moves(channels: int) -> FloatArray:
    """Return the directions (m, channels) that are tried: along each channel, and along each pair of them."""
    unit = np.eye(channels)
    along = [sign * unit[k] for k in range(channels) for sign in (1, -1)]
    pairs = [s * unit[j] + t * unit[k] for j, k in combinations(range(channels), 2) for s in (1, -1) for t in (1, -1)]
    return np.array([*along, *pairs])
