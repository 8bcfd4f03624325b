"""One fit of a card's patches: tone curve, light that falls off across the card, and a matrix, all at once.

The model of a patch at position p, with the white patch at 0:

    XYZ = tone(code) · exp(-light - gradient · p) @ matrix

least squares in Lab, by differences as CIE94 weighs them, robust against a patch that something lies on.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import least_squares

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import chroma, decode_srgb, xyz_to_lab
from tenter.photo.camera.tone_prior import ANY_CAMERA, TonePrior
from tenter.photo.patches.chart import ChartReading
from tenter.photo.patches.correction import D65_WHITE, ToneCurve, linear_light
from tenter.photo.patches.light import CardLight
from tenter.photo.patches.reference import CardReference

MIN_PATCHES = 14  # of 24, for a matrix and a curve; set by judgement
_BY_LUMINANCE = 13  # among the parameters of a fit: behind contrast, lift, gradient and matrix, where it is fitted
# Standard deviation of what is expected before looking: the light on a hand-sized card rarely changes by more than a
# sixth from its middle to its corner.
_GRADIENT_SD = 0.15
_GRADIENT_LEFT_SD = 0.03  # where the light on the card was read beforehand
_OUTLIER_DELTA_E = 1.5  # where the soft L1 loss passes from squares to absolute values
_STEP = float(np.sqrt(np.finfo(float).eps))  # of a forward difference, in units of what it is taken of


@dataclass(frozen=True, slots=True)
class Patches:
    """The patches that a fit may use: code values (n, 3), places (n, 2) from the white one, and their XYZ (n, 3).

    light: (n,), the logarithm of the light on each as it was read beforehand, or None. white: (3,), the code values of
    the white patch, a share `veil` of whose light lies on every patch. expected: the tone curve, before looking.
    """

    code: FloatArray
    positions: FloatArray
    xyz: FloatArray
    light: FloatArray | None
    white: FloatArray
    veil: float = 0.0
    expected: TonePrior = ANY_CAMERA

    def __len__(self) -> int:
        return len(self.code)

    def some(self, which: BoolArray) -> "Patches":
        """Return those of the patches that `which` (n,) marks."""
        light = None if self.light is None else self.light[which]
        return replace(self, code=self.code[which], positions=self.positions[which], xyz=self.xyz[which], light=light)

    def linear(self, tone: ToneCurve) -> FloatArray:
        """Return the linear camera values (n, 3) without the veil."""
        return self._by_tone(tone.contrast, tone.lift, tone.by_luminance or None)

    def _by_tone(self, contrast: ArrayLike, lift: ArrayLike, by_luminance: ArrayLike | None) -> FloatArray:
        seen = linear_light(self.code, contrast, lift, by_luminance)
        if not self.veil:
            return seen
        white = linear_light(self.white, contrast, lift, by_luminance)
        found: FloatArray = (seen - self.veil * white) / (1 - self.veil)
        return found

    def fitted(self, parameters: FloatArray) -> FloatArray:
        """Return the XYZ (..., n, 3) that the parameters (..., k) of a fit, or of several, make of the patches.

        A fit has 13 parameters, or 14 with the part by luminance, in the order of `PatchFit`.
        """
        contrast, lift, *rest = np.moveaxis(_tone_numbers(parameters), -1, 0)[..., None, None]
        matrix = parameters[..., 4:_BY_LUMINANCE].reshape(*parameters.shape[:-1], 3, 3)
        linear = self._by_tone(contrast, lift, rest[0] if rest else None)
        found: FloatArray = linear * self.to_white(parameters[..., 2:4]) @ matrix
        return found

    def to_white(self, gradient: FloatArray) -> FloatArray:
        """Return the factors (..., n, 1) that bring each patch into the white one's light, by a gradient (..., 2)."""
        factors: FloatArray = np.exp(-gradient @ self.positions.T - (0 if self.light is None else self.light))
        return factors[..., None]

    def prior(self, parameters: FloatArray) -> FloatArray:
        """Return how far tone curve and gradient are from what is expected, in standard deviations.

        Of 13 parameters (..., 13) they are four, (..., 4); of 14, five.
        """
        gradient_sd = _GRADIENT_SD if self.light is None else _GRADIENT_LEFT_SD
        return np.concatenate(
            [self.expected.missed(_tone_numbers(parameters)), parameters[..., 2:4] / gradient_sd], axis=-1
        )


def _tone_numbers(parameters: FloatArray) -> FloatArray:
    """Return contrast, lift and, where it is fitted, the part by luminance (..., k) among a fit's parameters."""
    found: FloatArray = np.concatenate([parameters[..., :2], parameters[..., _BY_LUMINANCE:]], axis=-1)
    return found


@dataclass(frozen=True, slots=True)
class PatchFit:
    """What was fitted: contrast and lift, gradient (2,), matrix (9,) and, where it is fitted, the part by luminance.

    parameters: these in a row, (13,) or (14,). mean_error: the mean of what the fit misses the patches by, in ΔE00.
    misfit: the robust sum of squares that it leaves, the prior's among them, in squared standard deviations.
    """

    parameters: FloatArray
    mean_error: float
    misfit: float

    @property
    def tone(self) -> ToneCurve:
        """The tone curve."""
        return ToneCurve(*map(float, _tone_numbers(self.parameters)))

    @property
    def gradient(self) -> FloatArray:
        """The gradient (2,) of the logarithm of light, per half diagonal of the card."""
        return self.parameters[2:4]

    @property
    def matrix(self) -> FloatArray:
        """The matrix (3, 3) with XYZ = linear RGB @ matrix."""
        return self.parameters[4:_BY_LUMINANCE].reshape(3, 3)

    def at_white(self, patches: Patches) -> FloatArray:
        """Return the linear camera values (n, 3) of patches, had they stood where the white patch stands."""
        return patches.linear(self.tone) * patches.to_white(self.gradient)


def usable_patches(reading: ChartReading) -> BoolArray:
    """Return which patches (n,) a fit may use: inside the picture, and no channel run into white or black.

    A channel at black is no measurement: a camera cuts off there what its matrix made negative. Where the light leaves
    too few patches, those are used all the same.
    """
    whole = ~(reading.clipped | reading.outside)
    clean: BoolArray = whole & ~reading.crushed.any(axis=1)
    return clean if np.count_nonzero(clean) > MIN_PATCHES else whole


def patches_of(card: CardReference, reading: ChartReading, light: CardLight | None = None) -> Patches:
    """Return the patches of a card as they were read, and the light on each where it was read beforehand.

    Places are counted from the white patch, in half diagonals of the card.
    """
    half_diagonal = np.linalg.norm(reading.corners_px[0] - reading.corners_px[2]) / 2
    positions = (reading.centres_px - reading.centres_px[card.white]) / half_diagonal
    light_on_each = None if light is None else light.log_light
    return Patches(reading.code, positions, card.xyz, light_on_each, reading.code[card.white])


def fitted_to(patches: Patches, start: FloatArray | None = None) -> PatchFit | None:
    """Return the fit of patches by robust least squares, or None with fewer than `MIN_PATCHES`.

    start: the parameters (k,) of an earlier fit; else those of sRGB with the matrix that fits it best.
    """
    if len(patches) < MIN_PATCHES:
        return None
    lab = xyz_to_lab(patches.xyz, D65_WHITE)
    if start is None:
        matrix = np.linalg.lstsq(decode_srgb(patches.code), patches.xyz, rcond=None)[0]
        start = np.concatenate([np.zeros(4), matrix.ravel(), patches.expected.mean[2:]])

    def predicted(p: FloatArray) -> FloatArray:
        return xyz_to_lab(patches.fitted(p), D65_WHITE)

    def residuals(p: FloatArray) -> FloatArray:
        missed = cie_94(lab, predicted(p)).reshape(*p.shape[:-1], -1)
        return np.concatenate([missed, patches.prior(p)], axis=-1)

    def slopes(p: FloatArray) -> FloatArray:
        """Return the Jacobian by forward differences, all of which are asked for at once."""
        moved = p + np.diag(_STEP * np.maximum(np.abs(p), 1) * np.where(p < 0, -1, 1))
        missed = residuals(np.vstack([p, moved]))
        found: FloatArray = ((missed[1:] - missed[0]) / (np.diagonal(moved) - p)[:, None]).T
        return found

    solution = least_squares(residuals, start, slopes, loss="soft_l1", f_scale=_OUTLIER_DELTA_E, max_nfev=60)
    error = float(delta_e_2000(predicted(solution.x), lab).mean())
    return PatchFit(solution.x, error, 2 * float(solution.cost))


def linearised(
    card: CardReference, reading: ChartReading, light: CardLight | None = None
) -> tuple[FloatArray, FloatArray, FloatArray] | None:
    """Return what a fit misses (m,), and how that moves with its parameters (m, p) and each used patch's light (m, n).

    Light in logarithms. None with too few patches.
    """
    patches = patches_of(card, reading, light).some(usable_patches(reading))
    fit = fitted_to(patches)
    if fit is None:
        return None
    lab, known = xyz_to_lab(patches.xyz, D65_WHITE), len(fit.parameters)

    def missed(p: FloatArray) -> FloatArray:
        factors = patches.to_white(p[2:4]) * np.exp(p[known:, None])
        xyz = patches.linear(ToneCurve(p[0], p[1])) * factors @ p[4:known].reshape(3, 3)
        return np.concatenate([cie_94(lab, xyz_to_lab(xyz, D65_WHITE)).ravel(), patches.prior(p[:known])])

    at = np.concatenate([fit.parameters, np.zeros(len(patches))])
    here, step = missed(at), 1e-4
    slopes = np.array([(missed(at + step * one) - here) / step for one in np.eye(len(at))]).T
    return here, slopes[:, :known], slopes[:, known:]


def cie_94(reference: FloatArray, lab: FloatArray) -> FloatArray:
    """Return weighted differences (..., n, 3) of Lab (..., n, 3) in lightness, chroma and hue, whose length is CIE94.

    The reference is (n, 3). ΔE00 has no such residuals; near it, CIE94 does, and least squares needs them signed.

    Source: CIE 116-1995, with k_L = k_C = k_H = 1.
    """
    C = chroma(reference)
    unit = np.divide(reference[:, 1:], C[:, None], out=np.zeros_like(reference[:, 1:]), where=C[:, None] > 0)
    d = lab - reference
    along = d[..., 1] * unit[:, 0] + d[..., 2] * unit[:, 1]
    across = d[..., 2] * unit[:, 0] - d[..., 1] * unit[:, 1]
    return np.stack([d[..., 0], along / (1 + 0.045 * C), across / (1 + 0.015 * C)], axis=-1)
