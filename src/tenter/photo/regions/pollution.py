"""Whether something lies on the skin that is no skin: hair, a beard, the frame of glasses, cloth, a hard shadow.

Skin changes slowly across a region, with the light. What departs from a smooth surface in lightness or in hue is
something else.
"""

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import srgb_to_lab

MAX_STRAY = 0.1  # part of a region
_LIMITS: FloatArray = np.array([7.0, 6.0, 8.0])  # how far a code value's L*, a*, b* may depart from the surface
_SMOOTHING = 0.03  # of the region's length: noise goes, hair and frames stay
_NOISES = 4.0  # standard deviations of what noise is left, which may pass too
_PASSES = 4  # over the pixels
_LARGE = 60.0  # pixels: the length to which a larger region is brought, as more tell no more


def stray_share(window: FloatArray, mask: BoolArray) -> float:
    """Return the part of a region's pixels that depart from a smooth surface.

    window: code values 0-1 around the region, (height, width, 3). mask: the region in there, (height, width).
    """
    smaller = _LARGE / float(np.sqrt(max(mask.sum(), 1)))
    if smaller < 1:
        window = cv2.resize(window, None, fx=smaller, fy=smaller, interpolation=cv2.INTER_AREA)
        size = (window.shape[1], window.shape[0])
        mask = cv2.resize(mask.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST) > 0
    rows, columns = np.nonzero(mask)
    length = float(np.sqrt(mask.sum()))
    sigma = max(_SMOOTHING * length, 1.0)
    channels = srgb_to_lab(cv2.GaussianBlur(window, (0, 0), sigma)[mask])
    noise = 1.48 * np.median(np.abs(srgb_to_lab(window[mask]) - channels), axis=0) / (2 * np.sqrt(np.pi) * sigma)
    limits = np.hypot(_LIMITS, _NOISES * noise)
    x, y = (columns - columns.mean()) / length, (rows - rows.mean()) / length
    surface = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=1)
    kept = np.ones(len(x), dtype=bool)
    stray = np.zeros(len(x), dtype=bool)
    for _ in range(_PASSES):  # each pass leaves out what strayed in the one before
        weights = np.linalg.lstsq(surface[kept], channels[kept], rcond=None)[0]
        stray = (np.abs(channels - surface @ weights) > limits).any(axis=1)
        kept = ~stray if (~stray).sum() > len(x) / 2 else np.ones(len(x), dtype=bool)
    return float(stray.mean())
