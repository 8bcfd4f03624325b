"""The weak prior from a measured face: off by default, visible when on, and about undertone alone.

Common practice, no source: skin that is yellower than most for its redness leans warm. Skin lightness and the typology
angle never speak about depth or anything else.
"""

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import hue_angle
from tenter.consultation.client.face import Face
from tenter.inference.likelihood import log_side

_CHEEKS_AND_FOREHEAD = ("forehead", "cheek_left", "cheek_right")
# Mean and spread of h_ab of 100 forearms (NIST, D65/10°): 61.5 and 4.0. A face is redder, so its middle is put lower.
_MIDDLE_DEGREES, _SPREAD_DEGREES = 58.0, 6.0
_NOISE = 3.0  # bench units: so wide that the strongest hint moves even odds to about three in five
_LAPSE = 0.03


def skin_hue(face: Face) -> float | None:
    """Return the mean hue angle of forehead and cheeks in degrees, or None where none was measured."""
    found = [face.regions[n].lab for n in _CHEEKS_AND_FOREHEAD if n in face.regions]
    return float(hue_angle(np.mean(found, axis=0))) if found else None


def log_face_prior(face: Face, undertone: FloatArray) -> FloatArray:
    """Return the natural log weight (n,) that a face's skin hue lends each undertone (n,) in bench units.

    Zeros where the hue was not measured. Common practice, no source, and weak: it moves even odds to about three in
    five.
    """
    hue = skin_hue(face)
    if hue is None:
        return np.zeros_like(undertone)
    return log_side(undertone, float(np.clip((hue - _MIDDLE_DEGREES) / _SPREAD_DEGREES, -1, 1)), _NOISE, _LAPSE)
