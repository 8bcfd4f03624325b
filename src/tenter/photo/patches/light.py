"""The light on a card, read from the card itself without knowing its colours.

Each patch is one paint and the frame between the patches is one material, so what changes within a patch, or along the
frame, is light. The card is straightened, every patch is read in nine blocks and the frame in a strip between every two
patches, and a smooth field of light is laid through them: a Gaussian process (C. E. Rasmussen, C. K. I. Williams 2006,
Gaussian Processes for Machine Learning, eq. 2.23-2.24; from memory) in which the level of every paint, the level of the
frame and what a blurred edge adds to them are free.

A head, a hand or a lamp near by makes such a field; no plane can follow it, and a fit of colours would swallow it.
"""

from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np

from tenter.arrays import FloatArray, IntArray
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import ChartReading
from tenter.photo.patches.correction import ToneCurve
from tenter.photo.patches.grid import CardGrid

FRAME = -1  # the surface of a sample that is no patch
MIN_PITCH_PX = 12.0  # below it the frame is a line, and a block of a patch is a few pixels
_PX = 24  # of the straightened card, from the middle of one patch to the next
_BLOCKS = ((4, 9), (9, 15), (15, 20))  # pixels of the straightened card within a pitch; the patch is 2 to 22
_STRIP, _STRIP_ENDS = 1, 5  # half the width of a strip of frame, and what is left out at both of its ends
_LENGTH, _BEND, _SLOPE = 1.5, 0.1, 0.1  # of the light, in pitches and logarithms: how soon it may bend, and by how much
_ANY_LEVEL = 2.0  # standard deviation of what is free
_BLOCK_SD, _STRIP_SD = 0.006, 0.03  # logarithms, beside the pixels' own noise
_BLURRED_SD = 0.3  # of what a blurred edge adds to the frame, as a part of the frame's light
_CORRELATED_PX = 6.0  # pixels of the straightened card that speak as one
_DARKEST = 1e-3  # of full light: below it a logarithm says nothing
_STRAY = 2.5  # standard deviations from which a sample counts less: dust, a scratch, a finger
_ROUNDS = 3  # of fitting and leaving out


@dataclass(frozen=True, slots=True)
class LightSamples:
    """Logarithms of light (n,) on a card, where they were read (n, 2) and on which surface (n,): a patch, or `FRAME`.

    Places are in pitches, columns before rows, from the card's corner at its first patch. nuisance: (n, k), what else
    may move the samples, each by a factor of its own. sd: (n,), their noise. grid: of the card.
    """

    grid: CardGrid
    log_light: FloatArray
    places: FloatArray
    surface: IntArray
    nuisance: FloatArray
    sd: FloatArray

    def covariance(self) -> FloatArray:
        """Return the covariance (n, n) of the samples without their noise, as it is before looking."""
        free = _ANY_LEVEL**2 * ((self.surface[:, None] == self.surface) + self.nuisance @ self.nuisance.T)
        between: FloatArray = light_covariance(self.grid, self.places, self.places) + free
        return between


@dataclass(frozen=True, slots=True)
class CardLight:
    """The logarithm of light (n,) on each patch against that on the white one."""

    log_light: FloatArray

    @property
    def range(self) -> float:
        """The step between the most and the least lit patch, as a logarithm."""
        return float(np.ptp(self.log_light))


def light_covariance(grid: CardGrid, one: FloatArray, other: FloatArray) -> FloatArray:
    """Return the covariance (n, m) of the logarithm of light at places (n, 2) and (m, 2), a plane that bends."""
    middle = grid.middle
    apart = ((one[:, None] - other) ** 2).sum(axis=-1)
    covariance: FloatArray = (
        _BEND**2 * np.exp(-apart / (2 * _LENGTH**2)) + _SLOPE**2 * (one - middle) @ (other - middle).T
    )
    return covariance


def light_on_card(samples: LightSamples, white: int) -> CardLight:
    """Return the field of light that the samples lie on, against patch `white`; strays count less the further off."""
    log_light = samples.log_light - samples.log_light.mean()
    covariance, sd = samples.covariance(), samples.sd
    for _ in range(_ROUNDS):
        weights = np.linalg.solve(covariance + np.diag(sd**2), log_light)
        off = (log_light - covariance @ weights) / samples.sd
        sd = samples.sd * np.sqrt(1 + (off / _STRAY) ** 2)
    at_patches = light_covariance(samples.grid, samples.grid.centres, samples.places) @ weights
    return CardLight(at_patches - at_patches[white])


def light_samples(photo: Photo, reading: ChartReading, tone: ToneCurve, grid: CardGrid) -> LightSamples | None:
    """Return the samples of a card that is the right way up; None where it is too small for them, or cut."""
    pitch = _pitch_px(reading, grid)
    if pitch < MIN_PITCH_PX or reading.outside.any():
        return None
    light = tone.linear(_straightened(photo, reading, grid, pitch)).sum(axis=2)
    light /= max(float(np.percentile(light, 98)), _DARKEST)
    means, logs, sds = (np.array(values) for values in zip(*(_sample(light[w]) for w in _windows(grid)), strict=True))
    patches, strips = len(grid.cells), slice(9 * len(grid.cells), None)
    patch = means[: strips.start].reshape(patches, 9)[:, 4]
    left, right = grid.pairs
    beside = np.concatenate([np.zeros(strips.start), (patch[left] + patch[right]) / 2])
    blurred = _blurred_into(means[strips], beside[strips])
    logs[strips] += np.log1p(-blurred)
    sds[strips] = np.hypot(sds[strips], _BLURRED_SD * blurred)
    surface = _surfaces(grid)
    frame = float(np.median(means[strips]))
    leaking = np.append(frame / np.maximum(patch, _DARKEST) - 1, 0)[surface].clip(-1, 1) * _outer_sides(grid)
    kept = np.append(~reading.clipped, True)[surface]
    least = np.where(surface == FRAME, _STRIP_SD, _BLOCK_SD)
    nuisance = np.column_stack([beside, leaking])
    return LightSamples(
        grid, logs[kept], _places(grid)[kept], surface[kept], nuisance[kept], np.hypot(sds, least)[kept]
    )


def _pitch_px(reading: ChartReading, grid: CardGrid) -> float:
    """Return the pixels from the middle of one patch to the next in its row, as a rule."""
    one, other = grid.pairs
    beside = grid.centres[one, 1] == grid.centres[other, 1]
    steps = reading.centres_px[other[beside]] - reading.centres_px[one[beside]]
    return float(np.median(np.linalg.norm(steps, axis=1)))


def _blurred_into(strips: FloatArray, beside: FloatArray) -> FloatArray:
    """Return which part of the light of each strip of frame (n,) comes from the patches beside it, at most 0.7."""
    terms = np.column_stack([np.ones(len(strips)), beside])
    leak = max(float(np.linalg.lstsq(terms, strips, rcond=None)[0][1]), 0.0)
    part: FloatArray = np.clip(leak * beside / strips, 0, 0.7)
    return part


def _straightened(photo: Photo, reading: ChartReading, grid: CardGrid, pitch: float) -> FloatArray:
    """Return the code values 0-1 of the card, every patch in a square of its own."""
    corner = np.maximum(np.floor(reading.centres_px.min(axis=0) - pitch), 0).astype(int)
    stop = np.ceil(reading.centres_px.max(axis=0) + pitch).astype(int) + 1
    window = photo.code((slice(corner[1], stop[1]), slice(corner[0], stop[0]))).astype(np.float32)
    if pitch > _PX:
        window = cv2.GaussianBlur(window, (0, 0), 0.4 * pitch / _PX)
    to_square, _ = cv2.findHomography(reading.centres_px - corner, grid.centres * _PX - 0.5)
    size = (grid.columns * _PX, grid.rows * _PX)
    straight = cv2.warpPerspective(window, to_square, size, flags=cv2.INTER_LINEAR)
    return np.asarray(straight, dtype=np.float64)


def _sample(light: FloatArray) -> tuple[float, float, float]:
    """Return the mean light of some pixels without dust and glints, its logarithm, and the noise of that."""
    ordered = np.sort(light, axis=None)
    cut = len(ordered) // 10
    inner = ordered[cut : len(ordered) - cut]
    mean = max(float(inner.mean()), _DARKEST)
    return mean, float(np.log(mean)), float(inner.std()) / mean * np.sqrt(_CORRELATED_PX / len(inner))


@cache
def _windows(grid: CardGrid) -> tuple[tuple[slice, slice], ...]:
    """Return where the straightened card is read: nine blocks of every patch in turn, then the strips."""
    found = []
    for cell in grid.cells:
        column, row = (_PX * at for at in cell)
        found += [
            (slice(row + top, row + bottom), slice(column + left, column + right))
            for top, bottom in _BLOCKS
            for left, right in _BLOCKS
        ]
    for one, other in zip(*grid.pairs, strict=True):
        (column, row), along = grid.cells[one], grid.cells[one][1] == grid.cells[other][1]
        start = np.array([row + (not along), column + along]) * _PX
        half, ends = np.array([_STRIP, _STRIP_ENDS])
        low = start + ((ends, -half) if along else (-half, ends))
        high = start + ((_PX - ends, half) if along else (half, _PX - ends))
        found.append((slice(int(low[0]), int(high[0])), slice(int(low[1]), int(high[1]))))
    return tuple(found)


@cache
def _places(grid: CardGrid) -> FloatArray:
    middles = [((c.start + c.stop) / 2 / _PX, (r.start + r.stop) / 2 / _PX) for r, c in _windows(grid)]
    return np.array(middles)


@cache
def _surfaces(grid: CardGrid) -> IntArray:
    return np.concatenate([np.repeat(np.arange(len(grid.cells)), 9), np.full(len(grid.pairs[0]), FRAME)])


@cache
def _outer_sides(grid: CardGrid) -> FloatArray:
    """Return at how many of a patch's edges each block lies: so much of the frame is blurred into it."""
    of_block = np.array([2, 1, 2, 1, 0, 1, 2, 1, 2], dtype=float)
    return np.concatenate([np.tile(of_block, len(grid.cells)), np.zeros(len(grid.pairs[0]))])
