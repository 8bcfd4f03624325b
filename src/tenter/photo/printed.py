"""Printed patches: their colours from a photograph of a reference chart beside them, and a likely spectrum for each.

A matrix fitted to a chart's dyes is off for inks as it is for skin (skin_matrix.py). What the camera would have said to
a print is predicted from what it said to the chart, for thousands of invented prints (ink.py); about each patch a
matrix of its own is fitted to the prints that look like it.
"""

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.illuminants import weighting_table
from tenter.colorimetry.measurement import D65_2
from tenter.photo.ink import likely_prints
from tenter.photo.reference import CardReference
from tenter.photo.skin_matrix import weights_from_patches

_ALIKE = 0.07  # distance, in cube roots of linear light, over which prints count as looking like a patch
_FAINT = 1e-3  # of what is alike: every print counts a little, so that no fit is without support


def printed_xyz(seen: FloatArray, linear: FloatArray, chart: CardReference, used: BoolArray) -> FloatArray:
    """Return the XYZ (m, 3) of printed patches from their linear camera values (m, 3).

    linear: (n, 3), those of the chart's patches used, in the same light. used: (all patches of the chart,).
    """
    prints = likely_prints()
    camera = weights_from_patches(prints, chart, used) @ linear
    xyz = prints @ _weights()
    scale = 1 / (xyz[:, 1:2] ** (2 / 3) + 0.01)
    found = np.zeros_like(seen)
    for k, patch in enumerate(seen):
        weight = scale * np.sqrt(_alike(camera, patch))[:, None]
        found[k] = patch @ np.linalg.lstsq(camera * weight, xyz * weight, rcond=None)[0]
    positive: FloatArray = np.maximum(found, 1e-4)
    return positive


def guessed_reflectances(xyz: FloatArray) -> FloatArray:
    """Return reflectances (m, 81) with the given XYZ (m, 3), D65/2°: the likeliest among prints of that look."""
    prints, weights = likely_prints(), _weights()
    colours = prints @ weights
    guesses = []
    for colour in xyz:
        near = _alike(colours, colour)
        near = near / near.sum()
        mean = near @ prints
        varied = (prints - mean) * np.sqrt(near)[:, None]
        covariance = varied.T @ varied + 1e-7 * np.eye(prints.shape[1])
        gain = covariance @ weights @ np.linalg.inv(weights.T @ covariance @ weights)
        guesses.append(mean + gain @ (colour - mean @ weights))
    possible: FloatArray = np.maximum(np.array(guesses), 0)
    return possible


def _alike(samples: FloatArray, one: FloatArray) -> FloatArray:
    """Return how much each of samples (n, 3) looks like one (3,): from a thousandth to 1."""
    apart = np.cbrt(np.maximum(samples, 0)) - np.cbrt(np.maximum(one, 0))
    alike: FloatArray = np.exp(-0.5 * (apart**2).sum(axis=1) / _ALIKE**2) + _FAINT
    return alike


def _weights() -> FloatArray:
    return weighting_table(D65_2.illuminant, D65_2.observer)
