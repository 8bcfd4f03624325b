"""The lamp's own light on a cloth that shines: it lies over the cloth's colour like a veil, and is taken off.

Each pixel is so much of the cloth's own colour, by its shade, and so much of the lamp's, by its gloss. Where a cloth is
folded the gloss differs from place to place, and the places with the least of it tell how much lies on the rest. What
lies on all of a flat cloth alike no picture tells, and on a grey one gloss looks as shade does.

S. A. Shafer (1985), "Using color to separate reflection components", Color Research and Application 10(4), 210-218.
"""

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.photo.patches.correction import D65_WHITE

_BANDS = 12  # of light, as many pixels in each: means over many pixels have no noise to speak of
_LEAST_SINE = 0.1  # between a colour and the lamp's, in XYZ: nearer ones cannot be told apart
_NOTHING, _MOST = 0.01, 0.5  # of a cloth's light: up to the first a camera's own error, beyond the second no veil


def shine_of(body: FloatArray, xyz: FloatArray) -> FloatArray:
    """Return how much of a white's light lies over colours (n, 3) that are else shades of a body (3,), shape (n,)."""
    shine: FloatArray = np.linalg.lstsq(np.stack([body, D65_WHITE], axis=1), xyz.T, rcond=None)[0][1]
    return shine


def shine_on(xyz: FloatArray, kept: BoolArray) -> float:
    """Return how much of a white's light lies over the kept ones of a cloth's pixels (n, 3), at the least."""
    body = xyz[kept].mean(axis=0)
    cosine = float(body @ D65_WHITE / (np.linalg.norm(body) * np.linalg.norm(D65_WHITE) + 1e-12))
    if cosine**2 > 1 - _LEAST_SINE**2 or len(xyz) < _BANDS:
        return 0.0
    by_light = np.argsort(xyz @ body, kind="stable")  # along the body, so that noise picked out passes for shade
    bands = np.array([xyz[rows].mean(axis=0) for rows in np.array_split(by_light, _BANDS)])
    return float(np.clip(-shine_of(body, bands).min() - _NOTHING * body[1], 0, _MOST * body[1]))
