"""Printed patches: their spectra, as far as photographs of them beside a reference chart can tell.

Three numbers a photograph are few for eighty-one. But the patches of one sheet share a printer, and a camera's numbers
for all of them say much about its inks. So the sheet is estimated as a whole: what sheets may be is known from invented
ones (sheet_prior.py), jointly normal with what a camera makes of them, given what it answers to (camera/estimate.py).
The likeliest spectra follow, and how far off their colours may be. Photographs in different lights, or by different
cameras, say different things, and each makes it surer.

References
----------
W. K. Pratt, C. E. Mancill (1976), Applied Optics 15(1), 73-75: Wiener estimation; here of all patches at once.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.illuminants import weighting_table
from tenter.colorimetry.measurement import D65_2
from tenter.photo.own_card.ink import likely_prints
from tenter.photo.own_card.sheet_prior import likely_sheets

_ALIKE = 0.07  # distance, in cube roots of linear light, over which prints count as looking like a patch
_FAINT = 1e-3  # of what is alike: every print counts a little, so that no fit is without support
_UNLIKE_ANY = 1e-6  # variance of reflectance, wavelength by wavelength, that no invented print has
# Errors of a patch's linear values: a part of each, a part of white, and the part that the three channels of one
# photograph share, since the light on the patch is known no better. A channel cut off at black was only somewhere near.
_READ, _READ_DARK, _SHARED, _CUT_OFF = 0.01, 0.002, 0.025, 0.04


@dataclass(frozen=True, slots=True)
class PrintView:
    """The card's patches as one photograph shows them: linear camera values (36, 3), and what those answer to (81, 3).

    cut_off: (36, 3), the channels that the camera cut off at black.
    """

    seen: FloatArray
    answer: FloatArray
    cut_off: BoolArray


@dataclass(frozen=True, slots=True)
class PrintEstimate:
    """Spectra (36, 81) of the card's patches, and the covariance (36, 3, 3) of their XYZ under D65, 2° observer."""

    reflectances: FloatArray
    xyz_covariance: FloatArray


def print_estimate(views: Sequence[PrintView]) -> PrintEstimate:
    """Return what photographs of one print say of it."""
    answer = np.concatenate([view.answer for view in views], axis=1)
    seen = np.concatenate([view.seen for view in views], axis=1)
    sheets, weights = likely_sheets(), weighting_table(D65_2.illuminant, D65_2.observer)
    mean = sheets.mean(axis=0)
    varied = (sheets - mean) / np.sqrt(len(sheets))
    shown = (varied @ answer).reshape(len(sheets), -1)
    beyond = _UNLIKE_ANY * answer
    among = shown.T @ shown + _errors(views) + np.kron(np.eye(len(seen)), answer.T @ beyond)
    missed = np.linalg.solve(among, (seen - mean @ answer).ravel())
    found = mean + np.tensordot(shown @ missed, varied, axes=1) + missed.reshape(seen.shape) @ beyond.T
    coloured = varied @ weights
    own = _UNLIKE_ANY * weights.T @ weights
    covariances = [
        coloured[:, k].T @ coloured[:, k] + own - across.T @ np.linalg.solve(among, across)
        for k, across in enumerate(_across(shown, coloured, beyond.T @ weights))
    ]
    return PrintEstimate(np.maximum(found, 0), np.array(covariances))


def _across(shown: FloatArray, coloured: FloatArray, beyond: FloatArray) -> list[FloatArray]:
    """Return, for each patch, the covariance (n, 3) of all that was seen (n) with that patch's XYZ."""
    channels, found = len(beyond), []
    for patch in range(coloured.shape[1]):
        across = shown.T @ coloured[:, patch]
        across[patch * channels : (patch + 1) * channels] += beyond
        found.append(across)
    return found


def _errors(views: Sequence[PrintView]) -> FloatArray:
    """Return the covariance (n, n) of the errors of what was seen, patch by patch and in it channel by channel."""
    seen = np.concatenate([view.seen for view in views], axis=1)
    cut_off = np.concatenate([view.cut_off for view in views], axis=1)
    patches, channels = seen.shape
    one_photograph = np.kron(np.eye(len(views)), np.ones((3, 3)))
    found = np.zeros((patches, channels, patches, channels))
    for k, (values, lost) in enumerate(zip(seen, cut_off, strict=True)):
        own = (_READ * values) ** 2 + _READ_DARK**2 + (_CUT_OFF * lost) ** 2
        found[k, :, k, :] = np.diag(own) + _SHARED**2 * one_photograph * np.outer(values, values)
    return found.reshape(patches * channels, patches * channels)


def guessed_reflectances(xyz: FloatArray) -> FloatArray:
    """Return reflectances (m, 81) with the given XYZ (m, 3), D65/2°: the likeliest among prints of that look."""
    weights, prints, found = weighting_table(D65_2.illuminant, D65_2.observer), likely_prints(), []
    shown = prints @ weights
    for patch in xyz:
        near = _alike(shown, patch)
        near = near / near.sum()
        mean = near @ prints
        varied = (prints - mean) * np.sqrt(near)[:, None]
        across = varied.T @ (varied @ weights) + 1e-7 * weights
        found.append(mean + across @ np.linalg.solve(weights.T @ across, patch - mean @ weights))
    return np.asarray(np.maximum(np.array(found), 0))


def _alike(samples: FloatArray, one: FloatArray) -> FloatArray:
    """Return how much each of samples (n, 3) looks like one (3,): a thousandth to 1."""
    apart = np.cbrt(np.maximum(samples, 0)) - np.cbrt(np.maximum(one, 0))
    alike: FloatArray = np.exp(-1.5 * (apart**2).mean(axis=1) / _ALIKE**2) + _FAINT
    return alike
