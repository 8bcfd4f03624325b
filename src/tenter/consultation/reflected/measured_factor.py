"""F measured in the studio's own room: photographs of one face with a light and a dark cloth in turn.

Per place of the face, the log of the luminance is a level, a drift over time and a step from cloth to cloth, fitted by
least squares: cloths in turn tell the drift from the step, and what no line explains widens the interval. The step
gives F:

    Y_b / Y_a = (1 + F m_b) / (1 + F m_a),   m the mean of a cloth's reflectance, weighted by what the skin sends back,
                                             its sheen included

A card in the picture catches some of the cloth's light itself, and so does whatever holds the exposure. The forehead,
which hardly any of it reaches, is therefore what every other place is compared with.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import stdtrit

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.illuminants import weighting_table, white_point
from tenter.colorimetry.measurement import Conditions
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.consultation.cloths.reflection_factors import MOST_FACTOR, ReflectionFactor
from tenter.consultation.reflected.effect import LitSkin, ThrowingSurface
from tenter.consultation.reflected.in_turn import require_apart, require_in_turn
from tenter.errors import Refused, TenterError
from tenter.language import _, as_typed

_ANCHOR = "forehead"
_OF_EACH = 2  # photographs of each cloth: one shows no spread
_PRIOR_FREEDOM = 2.0  # residuals that the spread of all places counts for at one: few, as the forehead is in them all
_L_PER_LN_Y = 116 / 3  # dL*/d ln Y at L* + 16 = 116 (CIE 15:2018, eq. 8.3)


@dataclass(frozen=True, eq=False)
class RoomPhotographs:
    """What a series of photographs shows of a face.

    letters: the cloth of each, as "ABAB". xyz (n, 3): by place of the face, NaN where one could not be read.
    lightness_floor: L* that a series may be off by without showing it. relative_error_90: as a share of a difference.
    drape: Y of each below the chin, 0 to 1, None where it is not read; empty where nobody looked.
    Raises `TenterError` for fewer than two photographs of each cloth, and for XYZ of another shape.
    """

    letters: str
    xyz: Mapping[str, FloatArray]
    conditions: Conditions
    lightness_floor: float
    relative_error_90: float
    drape: tuple[float | None, ...] = ()

    def __post_init__(self) -> None:
        if set(self.letters) != {"A", "B"} or min(self.letters.count(c) for c in "AB") < _OF_EACH:
            raise TenterError(
                _(
                    "the photographs came in the order {letters}; F needs two of each cloth, in turn: ABAB",
                    letters=as_typed(self.letters),
                )
            )
        for region, xyz in self.xyz.items():
            if np.shape(xyz) != (len(self.letters), 3):
                raise TenterError(
                    _(
                        "{region} has XYZ of shape {shape}; one row a photograph is needed",
                        region=region,
                        shape=np.shape(xyz),
                    )
                )


@dataclass(frozen=True, slots=True)
class MeasuredFactor:
    """F at one place as the photographs have it, and what is used from now on.

    estimate, low, high: shares of the light, as F is, with the 90 % interval; the estimate may be below 0 by noise.
    kept_default: whether the interval holds the default, which then stays. drift: how far the light moved from one
    photograph to the next, as a share; it has been taken out.
    """

    estimate: float
    low: float
    high: float
    used: ReflectionFactor
    kept_default: bool
    drift: float

    def to_json(self) -> dict[str, object]:
        """Return plain values for `json.dumps`."""
        return {
            "estimate": round(self.estimate, 4),
            "interval_90": [round(self.low, 4), round(self.high, 4)],
            "factor": self.used.value,
            "factor_range": [self.used.low, self.used.high],
            "kept_default": self.kept_default,
            "drift": round(self.drift, 4),
        }


@dataclass(frozen=True, slots=True)
class _Step:
    """ln Y under B less ln Y under A, what drift a frame has, the squared residuals, their freedom and the leverage."""

    step: float
    drift: float
    residual: float
    freedom: int
    leverage: float


def measured_factors(
    photographs: RoomPhotographs,
    a: ThrowingSurface,
    b: ThrowingSurface,
    defaults: Mapping[str, ReflectionFactor],
) -> dict[str, MeasuredFactor]:
    """Return F of every place of `defaults` that the photographs show; the forehead keeps its default.

    Raises
    ------
    Refused
        If the two cloths are too alike to measure by, the photographs do not show them in turn, or the forehead cannot
        be read.
    """
    require_apart(a, b)
    require_in_turn(photographs.letters, photographs.drape, a, b)
    logs = {region: np.log(xyz[:, 1]) for region, xyz in photographs.xyz.items() if region in defaults}
    if _ANCHOR not in logs or not _enough(logs[_ANCHOR], photographs.letters):
        raise Refused(_("The forehead cannot be read in two photographs of each cloth. Free it, and take them again."))
    steps = {
        region: _step(values - logs[_ANCHOR], photographs.letters)
        for region, values in logs.items()
        if region != _ANCHOR and _enough(values - logs[_ANCHOR], photographs.letters)
    }
    usual = _usual_variance(steps)
    anchor = defaults[_ANCHOR]
    darker = "A" if a.reflectance.mean() < b.reflectance.mean() else "B"
    sent = _sent_back(photographs, _ANCHOR, anchor.sheen, darker)
    own = float(np.log1p(anchor.value * (sent @ b.reflectance)) - np.log1p(anchor.value * (sent @ a.reflectance)))
    return {
        region: _factor(
            steps[region],
            usual,
            own,
            _sent_back(photographs, region, default.sheen, darker),
            photographs,
            (a, b),
            default,
        )
        for region, default in defaults.items()
        if region in steps
    }


def _enough(logs: FloatArray, letters: str) -> bool:
    read = "".join(letter for letter, value in zip(letters, logs, strict=True) if np.isfinite(value))
    return min(read.count(letter) for letter in "AB") >= _OF_EACH


def _step(logs: FloatArray, letters: str) -> _Step:
    """Fit level, drift and step to (n,) logs, of which those that are not finite are left out."""
    seen = np.isfinite(logs)
    times = np.arange(len(logs), dtype=float)[seen]
    cloth = np.array([0.5 if letter == "B" else -0.5 for letter in letters])[seen]
    design = np.column_stack([np.ones(len(times)), times - times.mean(), cloth])
    weights = np.linalg.lstsq(design, logs[seen], rcond=None)[0]
    residual = float(((logs[seen] - design @ weights) ** 2).sum())
    leverage = float(np.linalg.inv(design.T @ design)[2, 2])
    return _Step(float(weights[2]), float(weights[1]), residual, len(times) - 3, leverage)


def _usual_variance(steps: Mapping[str, _Step]) -> float:
    freedom = sum(step.freedom for step in steps.values())
    return sum(step.residual for step in steps.values()) / max(freedom, 1)


def _sent_back(photographs: RoomPhotographs, region: str, sheen: float, darker: str) -> FloatArray:
    """Return what a place sends back of each wavelength of a cloth's light, shape (81,), as a share of its own Y.

    The skin is read beside the darker cloth, which adds least to it.
    """
    conditions = photographs.conditions
    white = white_point(conditions.illuminant, conditions.observer)
    beside = photographs.xyz[region][[letter == darker for letter in photographs.letters]]
    skin = LitSkin.of_lab(xyz_to_lab(np.nanmean(beside, axis=0), white), conditions)
    seen = weighting_table(conditions.illuminant, conditions.observer)[:, 1]
    sent: FloatArray = (skin.reflectance + sheen) * seen / (skin.reflectance @ seen)
    return sent


def _factor(
    step: _Step,
    usual: float,
    own: float,
    sent: FloatArray,
    photographs: RoomPhotographs,
    cloths: tuple[ThrowingSurface, ThrowingSurface],
    default: ReflectionFactor,
) -> MeasuredFactor:
    """Return F of one place; `own`: the step that the forehead has itself, by its default."""
    freedom = _PRIOR_FREEDOM + step.freedom
    variance = (_PRIOR_FREEDOM * usual + step.residual) / freedom
    lightness = float(np.cbrt(np.nanmean(photographs.xyz[_ANCHOR][:, 1]))) * _L_PER_LN_Y
    floor = np.sqrt(2) * photographs.lightness_floor / lightness  # of the place, and of the forehead
    error = np.hypot(np.sqrt(variance * step.leverage), floor)
    difference = step.step + own
    half = float(np.hypot(stdtrit(freedom, 0.95) * error, photographs.relative_error_90 * abs(difference)))
    at = [_solved(difference + shift, *(float(sent @ c.reflectance) for c in cloths)) for shift in (-half, 0.0, half)]
    low, estimate, high = min(at), at[1], max(at)
    return _used(estimate, low, high, step.drift, default)


def _solved(log_ratio: float, mean_a: float, mean_b: float) -> float:
    """Return F with (1 + F m_b) / (1 + F m_a) = exp(log_ratio); as large as a room can have it where there is none."""
    ratio = float(np.exp(log_ratio))
    slope = mean_b - ratio * mean_a
    if slope * (mean_b - mean_a) <= 0:  # lighter than any amount of the cloth's light makes it
        return MOST_FACTOR
    return min((ratio - 1) / slope, MOST_FACTOR)


def _used(estimate: float, low: float, high: float, drift: float, default: ReflectionFactor) -> MeasuredFactor:
    within = bool(steady(low) <= default.value <= steady(high))
    if within:
        narrow = (min(max(default.low, low), default.value), max(min(default.high, high), default.value))
        used = replace(default, low=narrow[0], high=narrow[1])
    else:
        used = replace(default, value=max(estimate, 0.0), low=max(low, 0.0), high=max(high, 0.0))
    return MeasuredFactor(estimate, low, high, used, within, drift)
