"""How surfaces look under a light to an eye that has adapted to it, said as colours in daylight."""

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.adaptation import adapt
from tenter.colorimetry.illuminants import Observer, weights_under, white_point
from tenter.colorimetry.spaces import xyz_to_lab


def adapted_lab(reflectance: ArrayLike, power: FloatArray, observer: Observer) -> FloatArray:
    """Return CIELAB under D65, shape (..., 3), that looks as surfaces (..., 81) look under a light of power (81,).

    The eye is taken as wholly adapted to the light (CAT16). Two surfaces of one colour in daylight may part here:
    that is metamerism, which only measured reflectances show.
    """
    weights, day = weights_under(power, observer), white_point("D65", observer)
    xyz = np.asarray(reflectance, dtype=float) @ weights
    return xyz_to_lab(adapt(xyz, weights.sum(axis=0), day), day)
