"""How harmonious two colours are said to look beside each other, by a published model.

The model was fitted to ratings of pairs of colour patches on grey. It knows nothing of clothes or of faces.
"""

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.spaces import lab_to_lch


def two_colour_harmony(lab_1: ArrayLike, lab_2: ArrayLike) -> FloatArray:
    """Return the colour harmony of pairs of colours: about -1.2, disharmonious, to 1.4, harmonious.

    Parameters
    ----------
    lab_1, lab_2 : array_like, shape (..., 3)
        CIELAB, as under D65; they broadcast.

    Returns
    -------
    ndarray, shape (...)
        CH of the model, without unit.

    References
    ----------
    L.-C. Ou, M. R. Luo (2006), A colour harmony model for two-colour combinations, Color Res. Appl. 31(3), 191-204,
    doi:10.1002/col.20208. The constants are those of two public programs that agree; the paper was not read.
    """
    one, other = np.asarray(lab_1, dtype=float), np.asarray(lab_2, dtype=float)
    return _of_chroma(one, other) + _of_lightness(one, other) + _of_hue(one) + _of_hue(other)


def _of_chroma(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return HC. Its hue difference is the metric one, ΔH*, and no difference of angles."""
    chroma_step = np.hypot(one[..., 1], one[..., 2]) - np.hypot(other[..., 1], other[..., 2])
    plane = ((one[..., 1:] - other[..., 1:]) ** 2).sum(axis=-1)
    hue_step_squared = np.maximum(plane - chroma_step**2, 0)
    apart = np.sqrt(hue_step_squared + (chroma_step / 1.46) ** 2)
    harmony: FloatArray = 0.04 + 0.53 * np.tanh(0.8 - 0.045 * apart)
    return harmony


def _of_lightness(one: FloatArray, other: FloatArray) -> FloatArray:
    """Return HL: light pairs are more harmonious, and so are pairs that differ in lightness."""
    together, apart = one[..., 0] + other[..., 0], np.abs(one[..., 0] - other[..., 0])
    of_sum = 0.28 + 0.54 * np.tanh(-3.88 + 0.029 * together)
    of_difference = 0.14 + 0.15 * np.tanh(-2 + 0.2 * apart)
    harmony: FloatArray = of_sum + of_difference
    return harmony


def _of_hue(lab: FloatArray) -> FloatArray:
    """Return HSY of one colour of the pair."""
    lightness, chroma, hue = np.moveaxis(lab_to_lch(lab), -1, 0)
    strength = 0.5 + 0.5 * np.tanh(-2 + 0.5 * chroma)
    wave = -0.08 - 0.14 * np.sin(np.radians(hue + 50)) - 0.07 * np.sin(np.radians(2 * hue + 90))
    from_yellow = (90 - hue) / 10
    yellow = (0.22 * lightness - 12.8) / 10 * np.exp(from_yellow - np.exp(from_yellow))
    harmony: FloatArray = strength * (wave + yellow)
    return harmony
