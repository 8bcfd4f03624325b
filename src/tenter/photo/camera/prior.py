"""What cameras may be under a lamp, before one is seen: the prior of `estimate.py`.

What a picture's red, green and blue answer to, wavelength by wavelength, is the lamp's power, times the sensor's
sensitivity, mixed by the camera's own matrix. For each lamp many invented cameras are made as a maker makes one: three
bell-shaped sensors behind filters against ultraviolet and infrared, a white balance somewhere between this lamp and
daylight, a matrix fitted to a card in daylight, and a little more or less saturation. Their mean and their main
directions are kept. No camera is named, and none was measured for this.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.adaptation import Transform, adapt
from tenter.colorimetry.illuminants import (
    WAVELENGTHS_NM,
    Observer,
    illuminant_names,
    illuminant_power,
    weighting_table,
    white_point,
)
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.spaces import SRGB_TO_XYZ, XYZ_TO_SRGB
from tenter.photo.patches.reference import classic24

_CAMERAS, _SEED = 200, 1  # invented sensors, and the seed that invents them
_MODES = 40  # directions kept of a lamp's cameras: the next one holds less than a thousandth of their variance
_OF_ANY_LAMP, _MODES_OF_ANY = 60, 100  # cameras a lamp lends to the lamp that is none of the list, and its directions
# Each channel may be brighter or darker by as much: the white patch, by which they are scaled, is not quite white.
_CHANNEL_SCALE = 0.05
_SMOOTH_NM, _SMOOTH = 25.0, 0.05  # what real curves have and bells have not: over how many nanometres, and how much
_DAYLIGHT = "D55"  # makers fit their matrices in a daylight like it; common practice, no source
# Of the three sensors, red first: least and most centre in nm, width in nm, and what of it leaks into another band.
_CENTRES = ((588, 618), (525, 548), (444, 470))
_WIDTHS = ((22, 42), (28, 46), (20, 36))
_LEAKS = ((0.12, 435, 540), (0.08, 450, 470), (0.05, 530, 550))
_LEAK_WIDTH = 28.0


@dataclass(frozen=True, slots=True)
class LampPrior:
    """What red, green and blue may answer to under one lamp: mean (81, 3) + z @ modes (k, 81, 3), z standard normal.

    Each channel answers with about 1 to a perfect white.
    """

    lamp: str
    mean: FloatArray
    modes: FloatArray


@cache
def lamp_priors() -> tuple[LampPrior, ...]:
    """Return one prior for each CIE illuminant but the high-pressure lamps, and one, the last, for a lamp like none."""
    rng = np.random.default_rng(_SEED)
    sensors = _invented_sensors(rng)
    matrices = np.stack([_makers_matrix(curves) for curves in sensors])
    lamps = [name for name in illuminant_names() if not name.startswith("HP")]
    answers = {lamp: _answers(sensors, matrices, illuminant_power(lamp), rng) for lamp in lamps}
    of_any = np.concatenate([some[:_OF_ANY_LAMP] for some in answers.values()])
    found = [_prior(lamp, some, _MODES) for lamp, some in answers.items()]
    return (*found, _prior("any", of_any, _MODES_OF_ANY))


def _invented_sensors(rng: np.random.Generator) -> FloatArray:
    """Return the sensitivities (cameras, 81, 3) of invented sensors."""
    nm, shape = WAVELENGTHS_NM[:, None], (_CAMERAS, 1, 3)

    def drawn(ranges: tuple[tuple[float, float], ...]) -> FloatArray:
        low, high = np.array(ranges, dtype=float).T
        return rng.uniform(low, high, shape)

    def bell(centre: FloatArray, width: FloatArray | float) -> FloatArray:
        return np.asarray(np.exp(-0.5 * ((nm - centre) / width) ** 2))

    leaked = bell(drawn(tuple((low, high) for _, low, high in _LEAKS)), _LEAK_WIDTH)
    leak = drawn(tuple((0.0, most) for most, _, _ in _LEAKS))
    curves: FloatArray = bell(drawn(_CENTRES), drawn(_WIDTHS)) + leak * leaked
    blocked = 1 / (1 + np.exp((rng.uniform(395, 415, (_CAMERAS, 1, 1)) - nm) / 6))
    blocked = blocked / (1 + np.exp((nm - rng.uniform(650, 690, (_CAMERAS, 1, 1))) / 7))
    near = np.exp(-0.5 * ((nm - nm.T) / _SMOOTH_NM) ** 2) + 1e-6 * np.eye(len(nm))
    waves = np.linalg.cholesky(near) @ rng.normal(size=(_CAMERAS, len(nm), 3))
    found: FloatArray = curves * blocked * np.exp(_SMOOTH * waves)
    return found


def _makers_matrix(curves: FloatArray) -> FloatArray:
    """Return the matrix (3, 3) from balanced camera RGB to linear sRGB, fitted to the classic card, neutrals kept."""
    card, day = classic24().reflectances, illuminant_power(_DAYLIGHT)
    raw = card @ (curves * day[:, None]) / (day @ curves)
    under_day = card @ weighting_table(_DAYLIGHT, Observer.CIE_1931_2)
    white = white_point(_DAYLIGHT, Observer.CIE_1931_2)
    target = adapt(under_day, white, white_point(D65_2.illuminant, D65_2.observer), Transform.BRADFORD) @ XYZ_TO_SRGB.T
    free = np.linalg.lstsq(raw[:, :2] - raw[:, 2:], target - raw[:, 2:], rcond=None)[0].T
    return np.column_stack([free, 1 - free.sum(axis=1)])


def _answers(sensors: FloatArray, matrices: FloatArray, power: FloatArray, rng: np.random.Generator) -> FloatArray:
    """Return what the cameras' red, green and blue answer to under a lamp, (cameras, 81, 3), each summing to 1."""
    seen = sensors * power[:, None]
    here, day = seen.sum(axis=1), illuminant_power(_DAYLIGHT) @ sensors
    part = rng.uniform(0, 1, (len(sensors), 1))  # of the way from daylight to this lamp: where the balance stands
    gains = (here[:, 1:2] / here) ** part * (day[:, 1:2] / day) ** (1 - part)
    saturation = rng.uniform(0.85, 1.15, (len(sensors), 1, 1))
    grey = np.ones((3, 1)) * (SRGB_TO_XYZ[1] @ matrices)[:, None, :]
    mixed = saturation * matrices + (1 - saturation) * grey
    found = (seen * gains[:, None, :]) @ mixed.transpose(0, 2, 1)
    return np.asarray(found / found.sum(axis=1, keepdims=True))


def _prior(lamp: str, answers: FloatArray, modes: int) -> LampPrior:
    mean = answers.mean(axis=0)
    flat = (answers - mean).reshape(len(answers), -1) / np.sqrt(len(answers))
    _, size, direction = np.linalg.svd(flat, full_matrices=False)
    main = (size[:modes, None] * direction[:modes]).reshape(-1, *mean.shape)
    scales = _CHANNEL_SCALE * mean[None] * np.eye(3)[:, None, :]
    found = LampPrior(lamp, mean, np.concatenate([main, scales]))
    found.mean.setflags(write=False)
    found.modes.setflags(write=False)
    return found
