"""From a card's camera values to colours under D65.

The light on each patch is read from the card first, where the picture is at hand (`patches/light.py`); tone curve, a
gradient of what light is left, and a matrix are then fitted together (`patch_fit.py`). Light and gradient belong to the
fit only. Light that falls off across the scene is part of what a colorimeter would read on the face, so it is not taken
out there; the white patch is 1, to which everything is relative. What a lens darkens towards the corners cannot be told
from that and stays in the interval.

Where a veil of light on the card lets its colours agree clearly better (`veil.py`), it is taken off every patch first.
A root polynomial takes the matrix's place where it predicts patches better (`map_choice.py`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.measured.basis import CalibrationBasis
from tenter.photo.camera.skin_matrix import skin_matrix
from tenter.photo.camera.tone_prior import TonePrior
from tenter.photo.card.map_choice import LeaveOneOut, chosen_map
from tenter.photo.card.patch_fit import Patches, PatchFit, fitted_to, patches_of, usable_patches
from tenter.photo.card.veil import NO_VEIL, Veil, lies_everywhere, likeliest_veil
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import ChartReading
from tenter.photo.patches.correction import D65_WHITE, ColourMap, Correction, Terms, ToneCurve
from tenter.photo.patches.light import CardLight, LightSamples, light_on_card, light_samples
from tenter.photo.patches.reference import CardReference

_EVERY = 5  # pixel of a picture is enough to see how dark it gets


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
            CalibrationBasis.CHART,
            self.tone,
            self.for_dyes,
            self.for_skin,
            self.leave_one_out.mean,
            lost,
            uneven=uneven,
            otherwise=self.otherwise,
            veil_taken_off=self.veil.clear,
            patches=len(self.reading.crushed),
        )


def calibrate(card: CardReference, readings: Sequence[ChartReading], photo: Photo | None = None) -> Calibration | None:
    """Return the calibration that a card supports, or None when too few patches can be used.

    readings: the card as it may have been held, one reading each; the one that fits best is kept. photo: the picture
    that the card was read in, from which the light on it is read.
    """
    fitted: list[tuple[float, int, ChartReading, Patches, PatchFit]] = []
    for reading in readings:
        patches = patches_of(card, reading).some(usable_patches(reading))
        fit = fitted_to(patches)
        if fit is not None:
            fitted.append((fit.mean_error, len(fitted), reading, patches, fit))
    if not fitted:
        return None
    *_, reading, patches, fit = min(fitted, key=lambda found: found[:2])
    used = usable_patches(reading)
    samples = None if photo is None else light_samples(photo, reading, fit.tone, card.grid)
    light = None if samples is None else light_on_card(samples, card.white)
    if light is not None:
        patches = patches_of(card, reading, light).some(used)
        fit = fitted_to(patches, fit.parameters) or fit
    veil, with_it, other = _unveiled(patches, fit, None if photo is None else _darkest(photo, reading))
    return _calibration(card, reading, with_it, other, samples, light, veil)


def calibrated_as(calibration: Calibration, expected: TonePrior) -> Calibration:
    """Return what a calibration becomes where more is known of the camera's tone curve.

    The light on the card, and the veil on it, stay as they were found.
    """
    plain = patches_of(calibration.card, calibration.reading, calibration.light).some(calibration.used)
    patches = replace(plain, expected=expected)
    off = replace(patches, veil=calibration.veil.share)
    with_it, without = (off, patches) if calibration.veil.clear else (patches, off)
    fit, other = fitted_to(with_it), None if calibration.otherwise is None else fitted_to(without)
    if fit is None:
        return calibration
    otherwise = None if other is None else (without, other)
    known = (calibration.samples, calibration.light, calibration.veil)
    return _calibration(calibration.card, calibration.reading, (with_it, fit), otherwise, *known)


def _calibration(
    card: CardReference,
    reading: ChartReading,
    found: tuple[Patches, PatchFit],
    other: tuple[Patches, PatchFit] | None,
    samples: LightSamples | None,
    light: CardLight | None,
    veil: Veil,
) -> Calibration:
    patches, fit = found
    used, at_white = usable_patches(reading), fit.at_white(patches)
    fitted_lab, true_lab = (xyz_to_lab(xyz, D65_WHITE) for xyz in (at_white @ fit.matrix, patches.xyz))
    for_dyes, leave_one_out = chosen_map(patches, fit)
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
    patches: Patches, fit: PatchFit, darkest: FloatArray | None
) -> tuple[Veil, tuple[Patches, PatchFit], tuple[Patches, PatchFit] | None]:
    """Return the veil on the patches, the fit to go on with, and the one that is not taken, where there may be one."""

    def with_veil(share: float) -> tuple[Patches, PatchFit]:
        without = replace(patches, veil=share)
        return without, fitted_to(without, fit.parameters) or fit

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


def _plain_correction(card: CardReference, used: BoolArray, patches: Patches, fit: PatchFit) -> Correction:
    for_skin = ColourMap(Terms.LINEAR, skin_matrix(fit.at_white(patches), card, used))
    return Correction(CalibrationBasis.CHART, fit.tone, ColourMap(Terms.LINEAR, fit.matrix), for_skin, fit.mean_error)


def patches_at_white(calibration: Calibration) -> FloatArray:
    """Return the linear camera values (n, 3) of the patches that a fit had, had they stood where the white one does."""
    patches = patches_of(calibration.card, calibration.reading, calibration.light).some(calibration.used)
    if calibration.veil.clear:
        patches = replace(patches, veil=calibration.veil.share)
    found: FloatArray = patches.linear(calibration.tone) * patches.to_white(calibration.gradient)
    return found


def fit_error(card: CardReference, reading: ChartReading, light: CardLight | None = None) -> float:
    """Return the mean ΔE00 by which a card's figures miss a reading that they are fitted to; infinite with too few."""
    fit = fitted_to(patches_of(card, reading, light).some(usable_patches(reading)))
    return float("inf") if fit is None else fit.mean_error
