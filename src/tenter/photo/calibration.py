"""From a card's camera values to colours under D65: tone curve, light across the card and a matrix, fitted together.

The model of a patch at position p, with the white patch at 0:

    XYZ = tone(code) · exp(-gradient · p) @ matrix

The gradient belongs to the fit only. Light that falls off across the scene is part of what a colorimeter would read on
the face, so it is not taken out there; the exponent makes 1 of the white patch, to which everything is relative.
What a lens darkens towards the corners cannot be told from that and stays in the interval.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import chroma, decode_srgb, xyz_to_lab
from tenter.photo.chart import ChartReading
from tenter.photo.correction import D65_WHITE, Basis, ColourMap, Correction, Terms, ToneCurve
from tenter.photo.reference import PATCH_COUNT, WHITE_PATCH, patch_xyz
from tenter.photo.skin_matrix import skin_matrix

MIN_PATCHES = 14
# Standard deviations of what is expected before looking: a camera's tone curve is sRGB with a little more contrast,
# and the light on a hand-sized card rarely changes by more than a sixth from its middle to its corner.
_TONE_SD, _GRADIENT_SD = 0.3, 0.15
_OUTLIER_DELTA_E = 1.5  # where the soft L1 loss passes from squares to absolute values


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
    """A fitted camera: linear light of a code value, then @ matrix to XYZ under D65 with Y = 1 for white at the card.

    `reading` is the card the right way up. `card_matrix` is fitted to the card alone, `skin_matrix` to card and skin.
    `gradient` (2,) is in card half-diagonals. `used` (24,) tells which patches the fit had, and
    `lightness_misses` by how much L* it misses each of them: a shadow or a finger on the card stands out there.
    """

    reading: ChartReading
    tone: ToneCurve
    gradient: FloatArray
    card_matrix: FloatArray
    skin_matrix: FloatArray
    used: BoolArray
    lightness_misses: FloatArray
    leave_one_out: LeaveOneOut

    @property
    def correction(self) -> Correction:
        """What the calibration makes of the rest of the picture."""
        dyes, skin = (ColourMap(Terms.LINEAR, matrix) for matrix in (self.card_matrix, self.skin_matrix))
        return Correction(Basis.CHART, self.tone, dyes, skin, self.leave_one_out.mean)


@dataclass(frozen=True, slots=True)
class _Fit:
    parameters: FloatArray
    mean_error: float

    @property
    def tone(self) -> ToneCurve:
        return ToneCurve(float(self.parameters[0]), float(self.parameters[1]))

    @property
    def gradient(self) -> FloatArray:
        return self.parameters[2:4]

    @property
    def matrix(self) -> FloatArray:
        return self.parameters[4:].reshape(3, 3)


def calibrate(reading: ChartReading) -> Calibration | None:
    """Return the calibration that a card reading supports, or None when too few patches can be used.

    Both ends of the card are tried as its top; the one that fits better is kept.
    """
    candidates = [(turned, _fit(turned, usable_patches(turned))) for turned in (reading, reading.turned_half())]
    fitted = [(turned, fit) for turned, fit in candidates if fit is not None]
    if not fitted:
        return None
    upright, fit = min(fitted, key=lambda pair: pair[1].mean_error)
    used = usable_patches(upright)
    at_white = _camera_at_white(upright, fit, used)
    for_skin = skin_matrix(at_white, used)
    fitted_lab, true_lab = (xyz_to_lab(xyz, D65_WHITE) for xyz in (at_white @ fit.matrix, patch_xyz()[used]))
    misses = np.abs(fitted_lab[:, 0] - true_lab[:, 0])
    leave_one_out = _leave_one_out(upright, fit, used)
    return Calibration(upright, fit.tone, fit.gradient, fit.matrix, for_skin, used, misses, leave_one_out)


def usable_patches(reading: ChartReading) -> BoolArray:
    """Return which patches (24,) a fit may use: not clipped to white, not outside the picture."""
    return ~(reading.clipped | reading.outside)


def _positions(reading: ChartReading) -> FloatArray:
    """Return the patch centres (24, 2) from the white patch, in half-diagonals of the card."""
    half_diagonal = np.linalg.norm(reading.corners_px[0] - reading.corners_px[2]) / 2
    positions: FloatArray = (reading.centres_px - reading.centres_px[WHITE_PATCH]) / half_diagonal
    return positions


def _camera_at_white(reading: ChartReading, fit: _Fit, used: BoolArray) -> FloatArray:
    """Return the linear camera values (n, 3) of the patches, had they stood where the white patch stands."""
    light: FloatArray = np.exp(-_positions(reading)[used] @ fit.gradient)[:, None]
    return fit.tone.linear(reading.code[used]) * light


def _fit(reading: ChartReading, used: BoolArray, start: FloatArray | None = None) -> _Fit | None:
    if np.count_nonzero(used) < MIN_PATCHES:
        return None
    code, positions, target = reading.code[used], _positions(reading)[used], patch_xyz()[used]
    lab = xyz_to_lab(target, D65_WHITE)
    if start is None:
        matrix = np.linalg.lstsq(decode_srgb(code), target, rcond=None)[0]
        start = np.concatenate([np.zeros(4), matrix.ravel()])

    def predicted(p: FloatArray) -> FloatArray:
        light = np.exp(-positions @ p[2:4])[:, None]
        rgb = ToneCurve(p[0], p[1]).linear(code) * light
        return xyz_to_lab(rgb @ p[4:].reshape(3, 3), D65_WHITE)

    def residuals(p: FloatArray) -> FloatArray:
        prior = np.concatenate([p[:2] / _TONE_SD, p[2:4] / _GRADIENT_SD])
        return np.concatenate([_cie_94(lab, predicted(p)).ravel(), prior])

    solution = least_squares(residuals, start, loss="soft_l1", f_scale=_OUTLIER_DELTA_E, max_nfev=60)
    return _Fit(solution.x, float(delta_e_2000(predicted(solution.x), lab).mean()))


def _cie_94(reference: FloatArray, lab: FloatArray) -> FloatArray:
    """Return weighted differences (n, 3) in lightness, chroma and hue whose length is CIE94 (CIE 116-1995).

    ΔE00 has no such residuals; near it, CIE94 does, and least squares needs them signed.
    """
    C = chroma(reference)
    unit = np.divide(reference[:, 1:], C[:, None], out=np.zeros_like(reference[:, 1:]), where=C[:, None] > 0)
    d = lab - reference
    along = d[:, 1] * unit[:, 0] + d[:, 2] * unit[:, 1]
    across = d[:, 2] * unit[:, 0] - d[:, 1] * unit[:, 1]
    return np.stack([d[:, 0], along / (1 + 0.045 * C), across / (1 + 0.015 * C)], axis=1)


def _leave_one_out(reading: ChartReading, fit: _Fit, used: BoolArray) -> LeaveOneOut:
    """Refit without each patch in turn, starting from the whole fit, and predict the one left out."""
    errors = []
    for patch in np.flatnonzero(used):
        others = used.copy()
        others[patch] = False
        refit = _fit(reading, others, fit.parameters) or fit
        only = np.arange(PATCH_COUNT) == patch
        predicted = xyz_to_lab(_camera_at_white(reading, refit, only) @ refit.matrix, D65_WHITE)
        errors.append(delta_e_2000(predicted, xyz_to_lab(patch_xyz()[only], D65_WHITE))[0])
    return LeaveOneOut(np.array(errors))
