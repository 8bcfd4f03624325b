"""From a card's camera values to colours under D65: tone curve, light across the card and a matrix, fitted together.

The model of a patch at position p, with the white patch at 0:

    XYZ = tone(code) · exp(-light - gradient · p) @ matrix

The light on each patch is read from the card first, where the picture is at hand (`card_light.py`); the gradient is
what is left. Both belong to the fit only. Light that falls off across the scene is part of what a colorimeter would
read on the face, so it is not taken out there; the exponent makes 1 of the white patch, to which everything is
relative. What a lens darkens towards the corners cannot be told from that and stays in the interval.

Where a veil of light on the card lets its colours agree clearly better (`veil.py`), it is taken off every patch first.

A root polynomial, held to the matrix by a ridge, then takes the matrix's place where it predicts patches better that it
has not seen.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import least_squares

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import chroma, decode_srgb, xyz_to_lab
from tenter.photo.card_light import CardLight, LightSamples, light_on_card, light_samples
from tenter.photo.chart import ChartReading
from tenter.photo.correction import D65_WHITE, Basis, ColourMap, Correction, Terms, ToneCurve, linear_light
from tenter.photo.loading import Photo
from tenter.photo.reference import CardReference
from tenter.photo.skin_matrix import skin_matrix
from tenter.photo.tone_prior import ANY_CAMERA, TonePrior
from tenter.photo.veil import NO_VEIL, Veil, lies_everywhere, likeliest_veil

MIN_PATCHES = 14
_BY_LUMINANCE = 13  # among the parameters of a fit: behind contrast, lift, gradient and matrix, where it is fitted
# Standard deviation of what is expected before looking: the light on a hand-sized card rarely changes by more than a
# sixth from its middle to its corner.
_GRADIENT_SD = 0.15
_GRADIENT_LEFT_SD = 0.03  # where the light on the card was read beforehand
_OUTLIER_DELTA_E = 1.5  # where the soft L1 loss passes from squares to absolute values
_STEP = float(np.sqrt(np.finfo(float).eps))  # of a forward difference, in units of what it is taken of
_EVERY = 5  # pixel of a picture is enough to see how dark it gets
_RIDGES = (0.003, 0.03, 0.3)  # how hard the root polynomial is held to the matrix


@dataclass(frozen=True, slots=True)
class LeaveOneOut:
    """ΔE00 of each patch when the fit has not seen it: the only error of a calibration that does not flatter."""

    delta_e_2000: FloatArray

    @property
    def mean(self) -> float:
        return float(self.delta_e_2000.mean())

    @property
    def p95(self) -> float:
        return float(np.percentile(self.delta_e_2000, 95))

    @property
    def max(self) -> float:
        return float(self.delta_e_2000.max())


@dataclass(frozen=True, slots=True)
class Calibration:
    """A fitted camera: linear light of a code value, through a map to XYZ under D65 with Y = 1 for white at the card.

    `reading` is the card the right way up. `for_dyes` is fitted to the card alone, `for_skin` to card and skin.
    `samples` and `light` are what the picture itself says of the light on the card, where it was asked and could tell.
    `gradient` (2,), of the light that this leaves, is in card half-diagonals. `used` (n,) tells which patches the fit
    had, and `lightness_misses` by how much L* it misses each of them: a shadow or a finger on the card stands out
    there. `leave_one_out` is that of `for_dyes`. `veil` is what lies on the card; where it is clear, it is taken off
    the patches before anything is fitted. `otherwise` is what would be read with it left there; where it is only
    possible, what would be read with it taken off.
    """

    card: CardReference
    reading: ChartReading
    tone: ToneCurve
    gradient: FloatArray
    for_dyes: ColourMap
    for_skin: ColourMap
    used: BoolArray
    lightness_misses: FloatArray
    leave_one_out: LeaveOneOut
    samples: LightSamples | None = None
    light: CardLight | None = None
    veil: Veil = NO_VEIL
    otherwise: Correction | None = None

    @property
    def correction(self) -> Correction:
        """What the calibration makes of the rest of the picture."""
        lost = float(self.reading.crushed.any(axis=1).mean())
        uneven = self.light.range if self.light else 0.0
        return Correction(
            Basis.CHART,
            self.tone,
            self.for_dyes,
            self.for_skin,
            self.leave_one_out.mean,
            lost,
            uneven=uneven,
            otherwise=self.otherwise,
            veil_taken_off=self.veil.clear,
        )


@dataclass(frozen=True, slots=True)
class _Patches:
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

    def some(self, which: BoolArray) -> "_Patches":
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
        """Return the XYZ (..., n, 3) that the parameters (..., 13 or 14) of a fit, or of several, make of patches."""
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
        """Return how far tone curve and gradient are from what is expected (..., 4 or 5), in standard deviations."""
        gradient_sd = _GRADIENT_SD if self.light is None else _GRADIENT_LEFT_SD
        return np.concatenate(
            [self.expected.missed(_tone_numbers(parameters)), parameters[..., 2:4] / gradient_sd], axis=-1
        )


def _tone_numbers(parameters: FloatArray) -> FloatArray:
    """Return contrast, lift and, where it is fitted, the part by luminance (..., 2 or 3) among a fit's parameters."""
    found: FloatArray = np.concatenate([parameters[..., :2], parameters[..., _BY_LUMINANCE:]], axis=-1)
    return found


@dataclass(frozen=True, slots=True)
class _Fit:
    """What was fitted: contrast and lift, gradient (2,), matrix (9,) and, where it is fitted, the part by luminance."""

    parameters: FloatArray
    mean_error: float
    misfit: float

    @property
    def tone(self) -> ToneCurve:
        return ToneCurve(*map(float, _tone_numbers(self.parameters)))

    @property
    def gradient(self) -> FloatArray:
        return self.parameters[2:4]

    @property
    def matrix(self) -> FloatArray:
        return self.parameters[4:_BY_LUMINANCE].reshape(3, 3)

    def at_white(self, patches: _Patches) -> FloatArray:
        """Return the linear camera values (n, 3) of patches, had they stood where the white patch stands."""
        return patches.linear(self.tone) * patches.to_white(self.gradient)


def calibrate(card: CardReference, readings: Sequence[ChartReading], photo: Photo | None = None) -> Calibration | None:
    """Return the calibration that a card supports, or None when too few patches can be used.

    readings: the card as it may have been held, one reading each; the one that fits best is kept. photo: the picture
    that the card was read in, from which the light on it is read.
    """
    fitted: list[tuple[float, int, ChartReading, _Patches, _Fit]] = []
    for reading in readings:
        patches = _patches(card, reading).some(usable_patches(reading))
        fit = _fit(patches)
        if fit is not None:
            fitted.append((fit.mean_error, len(fitted), reading, patches, fit))
    if not fitted:
        return None
    *_, reading, patches, fit = min(fitted, key=lambda found: found[:2])
    used = usable_patches(reading)
    samples = None if photo is None else light_samples(photo, reading, fit.tone, card.grid)
    light = None if samples is None else light_on_card(samples, card.white)
    if light is not None:
        patches = _patches(card, reading, light).some(used)
        fit = _fit(patches, fit.parameters) or fit
    veil, with_it, other = _unveiled(patches, fit, None if photo is None else _darkest(photo, reading))
    return _calibration(card, reading, with_it, other, samples, light, veil)


def calibrated_as(calibration: Calibration, expected: TonePrior) -> Calibration:
    """Return what a calibration becomes where more is known of the camera's tone curve.

    The light on the card, and the veil on it, stay as they were found.
    """
    plain = _patches(calibration.card, calibration.reading, calibration.light).some(calibration.used)
    patches = replace(plain, expected=expected)
    off = replace(patches, veil=calibration.veil.share)
    with_it, without = (off, patches) if calibration.veil.clear else (patches, off)
    fit, other = _fit(with_it), None if calibration.otherwise is None else _fit(without)
    if fit is None:
        return calibration
    otherwise = None if other is None else (without, other)
    known = (calibration.samples, calibration.light, calibration.veil)
    return _calibration(calibration.card, calibration.reading, (with_it, fit), otherwise, *known)


def _calibration(
    card: CardReference,
    reading: ChartReading,
    found: tuple[_Patches, _Fit],
    other: tuple[_Patches, _Fit] | None,
    samples: LightSamples | None,
    light: CardLight | None,
    veil: Veil,
) -> Calibration:
    patches, fit = found
    used, at_white = usable_patches(reading), fit.at_white(patches)
    fitted_lab, true_lab = (xyz_to_lab(xyz, D65_WHITE) for xyz in (at_white @ fit.matrix, patches.xyz))
    for_dyes, leave_one_out = _chosen_map(patches, fit)
    return Calibration(
        card,
        reading,
        fit.tone,
        fit.gradient,
        for_dyes,
        ColourMap(Terms.LINEAR, skin_matrix(at_white, card, used)),
        used,
        np.abs(fitted_lab[:, 0] - true_lab[:, 0]),
        leave_one_out,
        samples,
        light,
        veil,
        None if other is None else _plain_correction(card, used, *other),
    )


def _unveiled(
    patches: _Patches, fit: _Fit, darkest: FloatArray | None
) -> tuple[Veil, tuple[_Patches, _Fit], tuple[_Patches, _Fit] | None]:
    """Return the veil on the patches, the fit to go on with, and the one that is not taken, where there may be one."""

    def with_veil(share: float) -> tuple[_Patches, _Fit]:
        without = replace(patches, veil=share)
        return without, _fit(without, fit.parameters) or fit

    veil = likeliest_veil(lambda share: with_veil(share)[1].misfit, 3 * len(patches) - len(fit.parameters))
    if not veil.possible:
        return NO_VEIL, (patches, fit), None
    white, dark = fit.tone.linear(patches.white), None if darkest is None else fit.tone.linear(darkest)
    veil = replace(veil, everywhere=dark is not None and lies_everywhere(dark, white, veil.share))
    as_is, off = (patches, fit), with_veil(veil.share)
    return (veil, off, as_is) if veil.clear else (veil, as_is, off)


def _darkest(photo: Photo, reading: ChartReading) -> FloatArray:
    """Return the code values (3,) than which one pixel in 200 beside the card is darker."""
    start, stop = reading.corners_px.min(axis=0).astype(int), reading.corners_px.max(axis=0).astype(int)
    beside = np.ones(photo.rgb.shape[:2], dtype=bool)
    beside[max(start[1], 0) : max(stop[1], 0), max(start[0], 0) : max(stop[0], 0)] = False
    some = photo.rgb[::_EVERY, ::_EVERY][beside[::_EVERY, ::_EVERY]]
    darkest: FloatArray = np.percentile(some, 0.5, axis=0) / 255.0 if len(some) else np.zeros(3)
    return darkest


def _plain_correction(card: CardReference, used: BoolArray, patches: _Patches, fit: _Fit) -> Correction:
    for_skin = ColourMap(Terms.LINEAR, skin_matrix(fit.at_white(patches), card, used))
    return Correction(Basis.CHART, fit.tone, ColourMap(Terms.LINEAR, fit.matrix), for_skin, fit.mean_error)


def patches_at_white(calibration: Calibration) -> FloatArray:
    """Return the linear camera values (n, 3) of the patches that a fit had, had they stood where the white one does."""
    patches = _patches(calibration.card, calibration.reading, calibration.light).some(calibration.used)
    if calibration.veil.clear:
        patches = replace(patches, veil=calibration.veil.share)
    found: FloatArray = patches.linear(calibration.tone) * patches.to_white(calibration.gradient)
    return found


def fit_error(card: CardReference, reading: ChartReading, light: CardLight | None = None) -> float:
    """Return the mean ΔE00 by which a card's figures miss a reading that they are fitted to; infinite with too few."""
    fit = _fit(_patches(card, reading, light).some(usable_patches(reading)))
    return float("inf") if fit is None else fit.mean_error


def linearised(
    card: CardReference, reading: ChartReading, light: CardLight | None = None
) -> tuple[FloatArray, FloatArray, FloatArray] | None:
    """Return what a fit misses (m,), and how that moves with its parameters (m, p) and each used patch's light (m, n).

    Light in logarithms. None with too few patches.
    """
    patches = _patches(card, reading, light).some(usable_patches(reading))
    fit = _fit(patches)
    if fit is None:
        return None
    lab, known = xyz_to_lab(patches.xyz, D65_WHITE), len(fit.parameters)

    def missed(p: FloatArray) -> FloatArray:
        factors = patches.to_white(p[2:4]) * np.exp(p[known:, None])
        xyz = patches.linear(ToneCurve(p[0], p[1])) * factors @ p[4:known].reshape(3, 3)
        return np.concatenate([_cie_94(lab, xyz_to_lab(xyz, D65_WHITE)).ravel(), patches.prior(p[:known])])

    at = np.concatenate([fit.parameters, np.zeros(len(patches))])
    here, step = missed(at), 1e-4
    slopes = np.array([(missed(at + step * one) - here) / step for one in np.eye(len(at))]).T
    return here, slopes[:, :known], slopes[:, known:]


def usable_patches(reading: ChartReading) -> BoolArray:
    """Return which patches (n,) a fit may use: inside the picture, and no channel run into white or black.

    A channel at black is no measurement: a camera cuts off there what its matrix made negative. Where the light leaves
    too few patches, those are used all the same.
    """
    whole = ~(reading.clipped | reading.outside)
    clean: BoolArray = whole & ~reading.crushed.any(axis=1)
    return clean if np.count_nonzero(clean) > MIN_PATCHES else whole


def _patches(card: CardReference, reading: ChartReading, light: CardLight | None = None) -> _Patches:
    half_diagonal = np.linalg.norm(reading.corners_px[0] - reading.corners_px[2]) / 2
    positions = (reading.centres_px - reading.centres_px[card.white]) / half_diagonal
    light_on_each = None if light is None else light.log_light
    return _Patches(reading.code, positions, card.xyz, light_on_each, reading.code[card.white])


def _fit(patches: _Patches, start: FloatArray | None = None) -> _Fit | None:
    if len(patches) < MIN_PATCHES:
        return None
    lab = xyz_to_lab(patches.xyz, D65_WHITE)
    if start is None:
        matrix = np.linalg.lstsq(decode_srgb(patches.code), patches.xyz, rcond=None)[0]
        start = np.concatenate([np.zeros(4), matrix.ravel(), patches.expected.mean[2:]])

    def predicted(p: FloatArray) -> FloatArray:
        return xyz_to_lab(patches.fitted(p), D65_WHITE)

    def residuals(p: FloatArray) -> FloatArray:
        missed = _cie_94(lab, predicted(p)).reshape(*p.shape[:-1], -1)
        return np.concatenate([missed, patches.prior(p)], axis=-1)

    def slopes(p: FloatArray) -> FloatArray:
        """Return the Jacobian by forward differences, all of which are asked for at once."""
        moved = p + np.diag(_STEP * np.maximum(np.abs(p), 1) * np.where(p < 0, -1, 1))
        missed = residuals(np.vstack([p, moved]))
        found: FloatArray = ((missed[1:] - missed[0]) / (np.diagonal(moved) - p)[:, None]).T
        return found

    solution = least_squares(residuals, start, slopes, loss="soft_l1", f_scale=_OUTLIER_DELTA_E, max_nfev=60)
    error = float(delta_e_2000(predicted(solution.x), lab).mean())
    return _Fit(solution.x, error, 2 * float(solution.cost))


def _cie_94(reference: FloatArray, lab: FloatArray) -> FloatArray:
    """Return weighted differences (..., n, 3) in lightness, chroma and hue whose length is CIE94 (CIE 116-1995).

    ΔE00 has no such residuals; near it, CIE94 does, and least squares needs them signed.
    """
    C = chroma(reference)
    unit = np.divide(reference[:, 1:], C[:, None], out=np.zeros_like(reference[:, 1:]), where=C[:, None] > 0)
    d = lab - reference
    along = d[..., 1] * unit[:, 0] + d[..., 2] * unit[:, 1]
    across = d[..., 2] * unit[:, 0] - d[..., 1] * unit[:, 1]
    return np.stack([d[..., 0], along / (1 + 0.045 * C), across / (1 + 0.015 * C)], axis=-1)


def _root_polynomial(linear: FloatArray, xyz: FloatArray, matrix: FloatArray, ridge: float) -> ColourMap:
    """Fit a root polynomial to patches (n, 3), held to the matrix (3, 3) by a ridge."""
    scale = 1 / (xyz[:, 1:2] ** (2 / 3) + 0.01)  # equal steps of Lab are about equal steps of XYZ / Y^(2/3)
    terms = Terms.ROOT_POLYNOMIAL.of(linear) * scale
    start = np.concatenate([matrix, np.zeros((3, 3))])
    held = terms.T @ terms + ridge * np.eye(6)
    return ColourMap(Terms.ROOT_POLYNOMIAL, start + np.linalg.solve(held, terms.T @ (xyz * scale - terms @ start)))


def _maps(fit: _Fit, patches: _Patches) -> list[ColourMap]:
    """Return the maps to choose from: the matrix of the fit, and root polynomials held to it more or less."""
    linear = fit.at_white(patches)
    polynomials = [_root_polynomial(linear, patches.xyz, fit.matrix, ridge) for ridge in _RIDGES]
    return [ColourMap(Terms.LINEAR, fit.matrix), *polynomials]


def _chosen_map(patches: _Patches, fit: _Fit) -> tuple[ColourMap, LeaveOneOut]:
    """Return the map with the smallest mean error on patches it has not seen, and those errors.

    The fit is made anew without each patch in turn, starting from the whole one, and the one left out is predicted.
    """
    errors = np.zeros((1 + len(_RIDGES), len(patches)))
    for patch in range(len(patches)):
        only = np.arange(len(patches)) == patch
        others = patches.some(~only)
        refit = _fit(others, fit.parameters) or fit
        left_out = refit.at_white(patches.some(only))
        predicted = np.concatenate([found.xyz(left_out) for found in _maps(refit, others)])
        errors[:, patch] = delta_e_2000(xyz_to_lab(predicted, D65_WHITE), xyz_to_lab(patches.xyz[patch], D65_WHITE))
    best = int(errors.mean(axis=1).argmin())
    return _maps(fit, patches)[best], LeaveOneOut(errors[best])
