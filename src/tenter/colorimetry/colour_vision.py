"""What colours look like to a reader who tells few hues apart, simulated by a published model."""

from enum import StrEnum

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.spaces import decode_srgb, encode_srgb, lab_to_srgb, srgb_to_lab


class Dichromacy(StrEnum):
    """Which of the three kinds of cones is missing."""

    PROTANOPIA = "protanopia"
    DEUTERANOPIA = "deuteranopia"
    TRITANOPIA = "tritanopia"


# On linear sRGB, for a severity of 1: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes (2009), A physiologically-based
# model for simulation of color vision deficiency, IEEE Trans. Vis. Comput. Graph. 15(6), 1291-1298.
_SEEN_AS = {
    Dichromacy.PROTANOPIA: (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    Dichromacy.DEUTERANOPIA: (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    Dichromacy.TRITANOPIA: (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def seen_with(lab: ArrayLike, kind: Dichromacy) -> FloatArray:
    """Return colours as they look to a reader without one kind of cones.

    Parameters
    ----------
    lab : array_like, shape (..., 3)
        CIELAB under D65, 2°. What no sRGB screen can show is first brought to what it can.

    Returns
    -------
    ndarray, shape (..., 3)
        CIELAB under D65, 2°.

    References
    ----------
    Machado, Oliveira & Fernandes (2009), as above: the matrices for a severity of 1.
    """
    linear = decode_srgb(np.clip(lab_to_srgb(lab), 0, 1))
    seen = np.clip(linear @ np.array(_SEEN_AS[kind]).T, 0, 1)
    return srgb_to_lab(encode_srgb(seen))
