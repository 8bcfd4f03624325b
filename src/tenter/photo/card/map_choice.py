"""Which map leads from linear camera values to XYZ: the matrix of a fit, or a root polynomial held to it by a ridge.

The one is chosen that predicts patches best which it has not seen. `Terms` has the source of root polynomials.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.card.patch_fit import Patches, PatchFit, fitted_to
from tenter.photo.patches.correction import D65_WHITE, ColourMap, Terms

_RIDGES = (0.003, 0.03, 0.3)  # how hard the root polynomial is held to the matrix


@dataclass(frozen=True, slots=True)
class LeaveOneOut:
    """ΔE00 (n,) of each patch when the fit has not seen it: the only error of a calibration that does not flatter."""

    delta_e_2000: FloatArray

    @property
    def mean(self) -> float:
        """The mean ΔE00."""
        return float(self.delta_e_2000.mean())

    @property
    def p95(self) -> float:
        """The ΔE00 that 95 % of the patches do not exceed."""
        return float(np.percentile(self.delta_e_2000, 95))

    @property
    def max(self) -> float:
        """The largest ΔE00."""
        return float(self.delta_e_2000.max())


def _root_polynomial(linear: FloatArray, xyz: FloatArray, matrix: FloatArray, ridge: float) -> ColourMap:
    """Fit a root polynomial to patches (n, 3), held to the matrix (3, 3) by a ridge."""
    scale = 1 / (xyz[:, 1:2] ** (2 / 3) + 0.01)  # equal steps of Lab are about equal steps of XYZ / Y^(2/3)
    terms = Terms.ROOT_POLYNOMIAL.of(linear) * scale
    start = np.concatenate([matrix, np.zeros((3, 3))])
    held = terms.T @ terms + ridge * np.eye(6)
    return ColourMap(Terms.ROOT_POLYNOMIAL, start + np.linalg.solve(held, terms.T @ (xyz * scale - terms @ start)))


def _maps(fit: PatchFit, patches: Patches) -> list[ColourMap]:
    """Return the maps to choose from: the matrix of the fit, and root polynomials held to it more or less."""
    linear = fit.at_white(patches)
    polynomials = [_root_polynomial(linear, patches.xyz, fit.matrix, ridge) for ridge in _RIDGES]
    return [ColourMap(Terms.LINEAR, fit.matrix), *polynomials]


def chosen_map(patches: Patches, fit: PatchFit) -> tuple[ColourMap, LeaveOneOut]:
    """Return the map with the smallest mean error on patches it has not seen, and those errors.

    The fit is made anew without each patch in turn, starting from the whole one, and the one left out is predicted.
    """
    errors = np.zeros((1 + len(_RIDGES), len(patches)))
    for patch in range(len(patches)):
        only = np.arange(len(patches)) == patch
        others = patches.some(~only)
        refit = fitted_to(others, fit.parameters) or fit
        left_out = refit.at_white(patches.some(only))
        predicted = np.concatenate([found.xyz(left_out) for found in _maps(refit, others)])
        errors[:, patch] = delta_e_2000(xyz_to_lab(predicted, D65_WHITE), xyz_to_lab(patches.xyz[patch], D65_WHITE))
    best = int(errors.mean(axis=1).argmin())
    return _maps(fit, patches)[best], LeaveOneOut(errors[best])
