"""Printed patches: their spectra, as far as photographs of them beside a reference chart can tell.

Three numbers a photograph are few for eighty-one. What a print may reflect is known from thousands of invented prints
(ink.py), those that look like the patch counting most; given what the camera answers to (camera_estimate.py), the
likeliest spectrum follows, and how far off its colour may be. Photographs in different lights, or by different cameras,
say different things of a patch, and each makes it surer.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import weighting_table
from tenter.colorimetry.measurement import D65_2
from tenter.photo.ink import likely_prints

_ALIKE = 0.07  # distance, in cube roots of linear light, over which prints count as looking like a patch
_FAINT = 1e-3  # of what is alike: every print counts a little, so that no fit is without support
_UNLIKE_ANY = 1e-7  # variance of reflectance, wavelength by wavelength, that no invented print has
# Errors of a patch's linear values: a part of each, a part of white, and the part that the three channels of one
# photograph share, since the light on the patch is known no better.
_READ, _READ_DARK, _SHARED = 0.01, 0.001, 0.02


@dataclass(frozen=True, slots=True)
class PrintView:
    """Patches as one photograph shows them: linear camera values (m, 3), and what those answer to (81, 3)."""

    seen: FloatArray
    answer: FloatArray


@dataclass(frozen=True, slots=True)
class PrintEstimate:
    """Spectra (m, 81) of printed patches, and the covariance (m, 3, 3) of their XYZ under D65, 2° observer."""

    reflectances: FloatArray
    xyz_covariance: FloatArray


def print_estimate(views: Sequence[PrintView]) -> PrintEstimate:
    """Return what photographs of the same patches say of them."""
    answer = np.concatenate([view.answer for view in views], axis=1)
    seen = np.concatenate([view.seen for view in views], axis=1)
    one_photograph = np.kron(np.eye(len(views)), np.ones((3, 3)))
    shared = _SHARED**2 * one_photograph * seen[:, :, None] * seen[:, None, :]
    own = ((_READ * seen) ** 2 + _READ_DARK**2)[:, :, None] * np.eye(seen.shape[1])
    return _estimated(seen, answer, own + shared)


def guessed_reflectances(xyz: FloatArray) -> FloatArray:
    """Return reflectances (m, 81) with the given XYZ (m, 3), D65/2°: the likeliest among prints of that look."""
    return _estimated(xyz, _weights(), np.zeros((len(xyz), 3, 3))).reflectances


def _estimated(seen: FloatArray, answer: FloatArray, error: FloatArray) -> PrintEstimate:
    """Return spectra and their doubt, given what channels (81, k) saw of them (m, k), with error (m, k, k)."""
    prints, weights = likely_prints(), _weights()
    shown, found, covariances = prints @ answer, [], []
    for patch, doubt in zip(seen, error, strict=True):
        near = _alike(shown, patch)
        near = near / near.sum()
        mean = near @ prints
        varied = (prints - mean) * np.sqrt(near)[:, None]
        covariance = varied.T @ varied + _UNLIKE_ANY * np.eye(prints.shape[1])
        across = covariance @ answer
        gain = across @ np.linalg.inv(answer.T @ across + doubt)
        found.append(mean + gain @ (patch - mean @ answer))
        covariances.append(weights.T @ (covariance - gain @ across.T) @ weights)
    return PrintEstimate(np.maximum(np.array(found), 0), np.array(covariances))


def _alike(samples: FloatArray, one: FloatArray) -> FloatArray:
    """Return how much each of samples (n, k) looks like one (k,), three channels a photograph: a thousandth to 1."""
    apart = np.cbrt(np.maximum(samples, 0)) - np.cbrt(np.maximum(one, 0))
    alike: FloatArray = np.exp(-1.5 * (apart**2).mean(axis=1) / _ALIKE**2) + _FAINT
    return alike


def _weights() -> FloatArray:
    return weighting_table(D65_2.illuminant, D65_2.observer)
