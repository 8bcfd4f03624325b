"""CAM16, and CIECAM02 before it: how strong and how saturated a colour looks in given surroundings.

Source: C. Li, Z. Li, Z. Wang, Y. Xu, M. R. Luo, G. Cui, M. Melgosa, M. H. Brill, M. Pointer (2017), "Comprehensive
color solutions: CAM16, CAT16, and CAM16-UCS", Color Research and Application 42(6), 703-718. XYZ here has Y = 100 for
white, as in the paper. CIECAM02: CIE 159:2004.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.adaptation import Transform

# From XYZ to cones: R. W. G. Hunt, M. R. Pointer, O. Estevez, as CIE 159:2004 prints it.
_HUNT_POINTER_ESTEVEZ = np.array([[0.38971, 0.68898, -0.07868], [-0.22981, 1.18340, 0.04641], [0.0, 0.0, 1.0]])
_HUNT_POINTER_ESTEVEZ.setflags(write=False)


@dataclass(frozen=True, slots=True)
class ViewingConditions:
    """What the eye is adapted to.

    `white` is XYZ with Y = 100; `adapting_luminance` in cd/m²; `background` the luminance factor of the background,
    0-100. The factors F, c and N_c describe the surround, without unit: these are the paper's for an average one.
    """

    white: tuple[float, float, float]
    adapting_luminance: float = 64 / np.pi / 5  # sRGB's ambient of 64 lx, as in the worked examples
    background: float = 20.0
    F: float = 1.0
    c: float = 0.69
    N_c: float = 1.0
    discounted: bool = False  # the eye is wholly adapted to the light, as standards on lamps assume


@dataclass(frozen=True, slots=True)
class Appearance:
    """CAM16 or CIECAM02 correlates, shape (...).

    J lightness, C chroma, h hue, Q brightness, M colourfulness, s saturation.
    """

    J: FloatArray
    C: FloatArray
    h: FloatArray
    Q: FloatArray
    M: FloatArray
    s: FloatArray


def cam16_ucs(appearance: Appearance) -> FloatArray:
    """Return J', a', b' of CAM16-UCS, shape (..., 3); Euclidean distance there is the colour difference.

    The same paper; coefficients of M. R. Luo, G. Cui, C. Li (2006), Color Research and Application 31(4), 320-330,
    which are those of CAM02-UCS: of CIECAM02's correlates this is J', a', b' of that.
    """
    J = 1.7 * appearance.J / (1 + 0.007 * appearance.J)
    M = np.log1p(0.0228 * appearance.M) / 0.0228
    h = np.radians(appearance.h)
    return np.stack([J, M * np.cos(h), M * np.sin(h)], axis=-1)


def _compress(rgb: FloatArray, F_L: float) -> FloatArray:
    t = (F_L * np.abs(rgb) / 100) ** 0.42
    compressed: FloatArray = np.sign(rgb) * 400 * t / (t + 27.13) + 0.1
    return compressed


def cam16(xyz: ArrayLike, surroundings: ViewingConditions) -> Appearance:
    """Return the CAM16 correlates, each of shape (...), of XYZ (..., 3) with Y = 100 for white.

    Source: the paper above, its forward model.
    """
    m, white = Transform.CAT16.matrix, np.asarray(surroundings.white, dtype=float)
    gains = _gains(m @ white, white[1], surroundings)
    return _correlates(np.asarray(xyz, dtype=float) @ m.T * gains, gains * (m @ white), surroundings)


def ciecam02(xyz: ArrayLike, surroundings: ViewingConditions) -> Appearance:
    """Return the CIECAM02 correlates of XYZ (..., 3), Y = 100 for white, as standards on lamps still ask for them.

    It adapts in CAT02 and then goes on in the cones of Hunt, Pointer and Estevez; the rest is CAM16's (CIE 159:2004).
    """
    m, white = Transform.CAT02.matrix, np.asarray(surroundings.white, dtype=float)
    gains = _gains(m @ white, white[1], surroundings)
    to_cones = _HUNT_POINTER_ESTEVEZ @ np.linalg.inv(m)
    adapted = np.asarray(xyz, dtype=float) @ m.T * gains
    return _correlates(adapted @ to_cones.T, to_cones @ (gains * (m @ white)), surroundings)


def _gains(white_response: FloatArray, white_luminance: float, s: ViewingConditions) -> FloatArray:
    """Return what adaptation multiplies each response by, shape (3,)."""
    D = 1.0 if s.discounted else np.clip(s.F * (1 - np.exp((-s.adapting_luminance - 42) / 92) / 3.6), 0, 1)
    gains: FloatArray = D * white_luminance / white_response + 1 - D
    return gains


def _correlates(cones: FloatArray, white_cones: FloatArray, s: ViewingConditions) -> Appearance:
    """Return the correlates of adapted cone responses (..., 3), beside those of white (3,)."""
    k = 1 / (5 * s.adapting_luminance + 1)
    F_L = 0.2 * k**4 * 5 * s.adapting_luminance + 0.1 * (1 - k**4) ** 2 * (5 * s.adapting_luminance) ** (1 / 3)
    n = s.background / s.white[1]
    z, N_bb = 1.48 + np.sqrt(n), 0.725 * n**-0.2

    def achromatic(rgb: FloatArray) -> FloatArray:
        response: FloatArray = (2 * rgb[..., 0] + rgb[..., 1] + rgb[..., 2] / 20 - 0.305) * N_bb
        return response

    A_w = achromatic(_compress(white_cones, F_L))
    rgb = _compress(cones, F_L)
    R, G, B = rgb[..., 0], rgb[..., 1], rgb[..., 2]
    a, b = R - 12 * G / 11 + B / 11, (R + G - 2 * B) / 9
    h = np.degrees(np.arctan2(b, a)) % 360
    e_t = (np.cos(np.radians(h) + 2) + 3.8) / 4
    t = 50000 / 13 * s.N_c * N_bb * e_t * np.hypot(a, b) / (R + G + 21 * B / 20)
    J = 100 * np.maximum(achromatic(rgb) / A_w, 0) ** (s.c * z)
    C = t**0.9 * np.sqrt(J / 100) * (1.64 - 0.29**n) ** 0.73
    Q = 4 / s.c * np.sqrt(J / 100) * (A_w + 4) * F_L**0.25
    M = C * F_L**0.25
    saturation = 100 * np.sqrt(np.divide(M, Q, out=np.zeros_like(M), where=Q > 0))
    return Appearance(J=J, C=C, h=h, Q=Q, M=M, s=saturation)
