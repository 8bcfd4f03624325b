"""What a camera answers to, wavelength by wavelength, judged by what it said to the patches of a card.

A card has some twenty patches and a camera's answer eighty-one numbers a channel; the rest comes from what cameras may
be under each lamp (prior.py). Given a lamp, answer and patches are jointly normal, and the answer's mean follows
(a Wiener estimate). The lamp is not known either: each counts by how well it foretells the patches.

    p(lamp | patches) ∝ p(patches | lamp),   answer = Σ p(lamp | patches) · E[answer | patches, lamp]

So a photograph by an LED is not read as if a tungsten lamp might as well have been there, and skin, which no card of
paints or inks spans, is foretold twice as well as by one covariance for all lamps.

References
----------
W. K. Pratt, C. E. Mancill (1976), Applied Optics 15(1), 73-75: Wiener estimation from a few spectra.
C. E. Rasmussen, C. K. I. Williams (2006), "Gaussian Processes for Machine Learning", eq. 2.25 and 2.30 (from memory).
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.photo.camera.prior import LampPrior, lamp_priors
from tenter.photo.patches.reference import CardReference

# Errors of a patch: each channel's own and what its three channels share, both as a part of its value, since it is not
# quite its figures, nor the light on it and the tone curve quite what was fitted; and noise, as a part of white. On
# rendered photographs, .01 to .03 and .03 to .1 differ by less than 0.1 ΔE00.
_OWN, _SHARED, _NOISE = 0.02, 0.05, 0.002


def camera_answer(linear: FloatArray, card: CardReference, used: BoolArray) -> FloatArray:
    """Return what red, green and blue answer to, (81, 3): `reflectance @ answer` is a surface's linear RGB.

    linear: (n, 3), linear camera values of the patches used, as if all stood where the white patch stands. used: (k,),
    which of the k patches of the card those are.
    """
    patches = card.reflectances[used]
    lightest = int(patches.mean(axis=1).argmax())
    gain = linear[lightest] / patches[lightest].mean()
    seen = linear / gain
    errors = PatchErrors.of(seen)
    evidence, answers = zip(*(_given_lamp(prior, patches, seen, errors) for prior in lamp_priors()), strict=True)
    odds = np.exp(np.array(evidence) - max(evidence))
    mean: FloatArray = np.tensordot(odds / odds.sum(), np.stack(answers), axes=1) * gain
    return mean


@dataclass(frozen=True, slots=True)
class PatchErrors:
    """Errors of patches: each channel's own, (n, 3), and the one its channels share, (n, 3), in units of the former."""

    own: FloatArray
    shared: FloatArray

    @classmethod
    def of(cls, seen: FloatArray, own: float = _OWN, shared: float = _SHARED, noise: float = _NOISE) -> "PatchErrors":
        """Return the errors of patches seen as (n, 3), linear values with 1 for white.

        `own`, of each channel alone, and `shared`, of its three together, are parts of the values; `noise` is a part of
        white.
        """
        alone = np.hypot(own * np.abs(seen), noise)
        return cls(alone, shared * np.abs(seen) / alone)

    def whitened(self, values: FloatArray) -> FloatArray:
        """Return values (..., n, 3) in units in which all errors are 1 and independent, in their shape.

        A patch's covariance is 1 + s sᵀ in units of its own errors; its inverse square root leaves what is across s as
        it is, and divides what is along it by √(1 + |s|²).
        """
        scaled = values / self.own
        size = (self.shared**2).sum(axis=1, keepdims=True)
        along = (scaled * self.shared).sum(axis=-1, keepdims=True) * self.shared / size
        found: FloatArray = scaled + (1 / np.sqrt(1 + size) - 1) * along
        return found


def log_evidence(missed: FloatArray, modes: FloatArray, errors: PatchErrors) -> tuple[float, FloatArray]:
    """Return the log evidence, in nats, of patches that miss their mean by (n, 3), and the modes' mean (k,).

    The evidence is without a constant. modes: (k, n, 3), by how much each patch moves with each of k standard normal
    unknowns.
    """
    by_mode = errors.whitened(modes).reshape(len(modes), -1)
    off = errors.whitened(missed).ravel()
    lower = np.linalg.cholesky(np.eye(len(by_mode)) + by_mode @ by_mode.T)
    explained = np.linalg.solve(lower, by_mode @ off)
    evidence = -0.5 * float(off @ off - explained @ explained) - float(np.log(np.diag(lower)).sum())
    return evidence, np.linalg.solve(lower.T, explained)


def _given_lamp(
    prior: LampPrior, patches: FloatArray, seen: FloatArray, errors: PatchErrors
) -> tuple[float, FloatArray]:
    """Return the log evidence for a lamp, but for a constant, and the mean answer (81, 3) if it is that lamp."""
    modes = np.tensordot(prior.modes, patches, axes=(1, 1)).transpose(0, 2, 1)
    evidence, unknowns = log_evidence(seen - patches @ prior.mean, modes, errors)
    return evidence, prior.mean + np.tensordot(unknowns, prior.modes, axes=1)
