"""Colour differences between CIELAB colours taken under the same light and observer."""

import numpy as np

from tenter.arrays import ArrayLike, FloatArray, steady
from tenter.colorimetry.spaces import chroma

_25_TO_7 = 25.0**7  # as in the formula for R_C, CIE 142:2001


def delta_e_1976(lab_1: ArrayLike, lab_2: ArrayLike) -> FloatArray:
    """Return the distance of CIELAB colours (..., 3), which broadcast, shape (...). Source: CIE 15:2018, 8.2."""
    difference = np.asarray(lab_1, dtype=float) - np.asarray(lab_2, dtype=float)
    distance: FloatArray = np.sqrt(np.sum(difference**2, axis=-1))
    return distance


def _primed_hue(a_prime: FloatArray, b: FloatArray) -> FloatArray:
    """Return h' in degrees, 0-360, and 0 for a grey (eq. 7)."""
    degrees: FloatArray = np.degrees(np.arctan2(b, a_prime)) % 360.0
    full_turn = steady(degrees) >= 360  # or the mean of a hue just below red and its opposite would leap
    return np.where(full_turn | ((a_prime == 0) & (b == 0)), 0.0, degrees)


def delta_e_2000(lab_1: ArrayLike, lab_2: ArrayLike) -> FloatArray:
    """Return CIEDE2000 of CIELAB colours (..., 3) with k_L = k_C = k_H = 1; they broadcast, and it has shape (...).

    References
    ----------
    ISO/CIE 11664-6:2014; equation numbers of G. Sharma, W. Wu, E. N. Dalal (2005), Color Research and Application
    30(1), 21-30, doi:10.1002/col.20070.
    """
    first, second = np.broadcast_arrays(np.asarray(lab_1, dtype=float), np.asarray(lab_2, dtype=float))
    C_mean_7 = ((chroma(first) + chroma(second)) / 2) ** 7
    G = 0.5 * (1 - np.sqrt(C_mean_7 / (C_mean_7 + _25_TO_7)))  # eq. 4
    a1, a2 = (1 + G) * first[..., 1], (1 + G) * second[..., 1]  # eq. 5
    C1, C2 = np.hypot(a1, first[..., 2]), np.hypot(a2, second[..., 2])  # eq. 6
    h1, h2 = _primed_hue(a1, first[..., 2]), _primed_hue(a2, second[..., 2])
    grey = C1 * C2 == 0

    dh = h2 - h1  # eq. 10
    turn = steady(dh)  # opposite hues are 180 degrees apart, whatever the last bit
    dh = np.where(turn > 180, dh - 360, np.where(turn < -180, dh + 360, dh))
    dh = np.where(grey, 0.0, dh)
    dL, dC = second[..., 0] - first[..., 0], C2 - C1
    dH = 2 * np.sqrt(C1 * C2) * np.sin(np.radians(dh / 2))  # eq. 11

    L, C = (first[..., 0] + second[..., 0]) / 2, (C1 + C2) / 2
    total = h1 + h2  # eq. 14
    h = np.where(np.abs(turn) <= 180, total / 2, np.where(total < 360, total / 2 + 180, total / 2 - 180))
    h = np.where(grey, total, h)

    T = (
        1
        - 0.17 * np.cos(np.radians(h - 30))
        + 0.24 * np.cos(np.radians(2 * h))
        + 0.32 * np.cos(np.radians(3 * h + 6))
        - 0.20 * np.cos(np.radians(4 * h - 63))
    )  # eq. 15
    S_L = _lightness_weight(L)
    S_C = 1 + 0.045 * C
    S_H = 1 + 0.015 * C * T
    R_C = 2 * np.sqrt(C**7 / (C**7 + _25_TO_7))
    R_T = -np.sin(np.radians(60 * np.exp(-(((h - 275) / 25) ** 2)))) * R_C  # eq. 16, 17, 21
    l_term, c_term, h_term = dL / S_L, dC / S_C, dH / S_H
    delta_e: FloatArray = np.sqrt(np.maximum(l_term**2 + c_term**2 + h_term**2 + R_T * c_term * h_term, 0.0))
    return delta_e


def lightness_apart(lab_1: ArrayLike, lab_2: ArrayLike) -> FloatArray:
    """Return the part of CIEDE2000 that lightness makes, shape (...), of CIELAB colours (..., 3), which broadcast.

    The whole is never less, and costs far more: chroma and hue add a square that is never below 0, as |R_T| is below 2.
    """
    first, second = np.asarray(lab_1, dtype=float)[..., 0], np.asarray(lab_2, dtype=float)[..., 0]
    apart: FloatArray = np.abs(second - first) / _lightness_weight((first + second) / 2)
    return apart


def _lightness_weight(lightness: FloatArray) -> FloatArray:
    """Return S_L (eq. 15)."""
    weight: FloatArray = 1 + 0.015 * (lightness - 50) ** 2 / np.sqrt(20 + (lightness - 50) ** 2)
    return weight
