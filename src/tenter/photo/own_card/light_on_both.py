"""The light that falls on two cards lying side by side, from what is white on the one and known on the other.

A plane laid through one card, carried on to the other, is off by ΔE00 1 or more there. So the light is taken as a plane
that may bend a little over both: on the reference chart it is what the fit of colours leaves over, on our own card the
paper that shows between the patches, whose level is free.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from scipy.optimize import least_squares

from tenter.arrays import FloatArray
from tenter.photo.card.calibration import Calibration
from tenter.photo.files.loading import Photo
from tenter.photo.own_card import layout
from tenter.photo.patches.chart import ChartReading, patch_pixels, trimmed_mean

# Standard deviations, in logarithms of light: a plane's slope and its bends over half a chart's diagonal; what the fit
# of colours misses of a patch, and how evenly paper is read.
_SLOPE, _BEND = 0.3, 0.05
_PATCH, _PAPER = 0.03, 0.01
_OUTLIER = 2.0  # standard deviations where the soft L1 loss passes from squares to absolute values
_DARKEST = 1e-4


@dataclass(frozen=True, slots=True)
class LightOnBoth:
    """The logarithm of light at a place, against that on the chart's white: two slopes and three bends (5,).

    white_px: (2,), where that is. unit_px: half the chart's diagonal.
    """

    bends: FloatArray
    white_px: FloatArray
    unit_px: float

    def to_white(self, places_px: FloatArray) -> FloatArray:
        """Return the factors (n, 1) that bring what lies at places (n, 2) into the light on the chart's white."""
        factors: FloatArray = np.exp(-_terms((places_px - self.white_px) / self.unit_px) @ self.bends)[:, None]
        return factors


def light_on_both(photo: Photo, calibration: Calibration, own: ChartReading) -> LightOnBoth:
    """Return the light on a reference chart and on our own card beside it."""
    chart, white = calibration.reading, calibration.card.white
    unit = float(np.linalg.norm(chart.corners_px[0] - chart.corners_px[2]) / 2)
    places, paper = _paper(photo, calibration, own)
    known = calibration.for_dyes.xyz(calibration.tone.linear(chart.code[calibration.used]))[:, 1]
    missed = np.log(np.maximum(known, _DARKEST)) - np.log(calibration.card.xyz[calibration.used, 1])
    terms = _terms((np.concatenate([chart.centres_px[calibration.used], places]) - chart.centres_px[white]) / unit)
    level = np.repeat(np.eye(2), (len(missed), len(paper)), axis=0)
    sd = np.where(level[:, 0] > 0, _PATCH, _PAPER)
    design = np.concatenate([terms, level], axis=1) / sd[:, None]
    target = np.concatenate([missed, paper]) / sd
    prior = np.diag(1 / np.array([_SLOPE, _SLOPE, _BEND, _BEND, _BEND]))

    def residuals(p: FloatArray) -> FloatArray:
        return np.concatenate([design @ p - target, prior @ p[:5]])

    fitted = least_squares(residuals, np.zeros(7), loss="soft_l1", f_scale=_OUTLIER)
    return LightOnBoth(fitted.x[:5], chart.centres_px[white], unit)


def _paper(photo: Photo, calibration: Calibration, own: ChartReading) -> tuple[FloatArray, FloatArray]:
    """Return where bare paper shows between patches (n, 2), and the logarithm of its light (n,)."""
    to_picture, _ = cv2.findHomography(layout.CARD_CORNERS_MM, own.corners_px)
    quads = cv2.perspectiveTransform(layout.bare_card_mm().reshape(1, -1, 2), to_picture).reshape(-1, 4, 2)
    places, light = [], []
    for quad in np.asarray(quads, dtype=float):
        pixels = patch_pixels(photo, quad)
        if len(pixels):
            places.append(quad.mean(axis=0))
            light.append(float(np.log(max(trimmed_mean(calibration.tone.linear(pixels)).sum(), _DARKEST))))
    return np.array(places).reshape(-1, 2), np.array(light)


def _terms(places: FloatArray) -> FloatArray:
    x, y = places.T
    return np.stack([x, y, x * x, x * y, y * y], axis=1)
