"""What a phone does to its own linear picture before it writes the file."""

import cv2
import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import SRGB_TO_XYZ

_DARKEST = 1e-3
_EDGE = 0.15  # variance of the logarithm of light from which a change is an edge and is kept


def tone_mapped_locally(linear: FloatArray, strength: float, radius: float = 0.08) -> FloatArray:
    """Return linear sRGB (height, width, 3) whose large steps of light are made smaller by a part, `strength`.

    The light of a neighbourhood (`radius`, a part of the longer side) is told by a guided filter of its logarithm
    (K. He, J. Sun, X. Tang 2013, IEEE Trans. Pattern Anal. Mach. Intell. 35(6), 1397-1409; from memory), which keeps
    edges. The mean of the picture's logarithm stays where it is.
    """
    log_light = np.log(np.maximum(linear @ SRGB_TO_XYZ[1], _DARKEST))
    base = _guided(log_light, max(1, round(radius * max(log_light.shape))))
    mapped: FloatArray = linear * np.exp(-strength * (base - base.mean()))[..., None]
    return mapped


def _guided(values: FloatArray, radius: int) -> FloatArray:
    def mean(of: FloatArray) -> FloatArray:
        return np.asarray(cv2.blur(of, (2 * radius + 1,) * 2, borderType=cv2.BORDER_REFLECT))

    middle = mean(values)
    variance = np.maximum(mean(values**2) - middle**2, 0)
    kept = variance / (variance + _EDGE)
    filtered: FloatArray = mean(kept) * values + mean((1 - kept) * middle)
    return filtered
