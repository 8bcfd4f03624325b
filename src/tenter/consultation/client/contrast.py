"""Contrast in a face, from measured lightness, and the white that goes with it. Common practice, no source."""

from dataclasses import dataclass
from enum import StrEnum

from tenter.arrays import steady
from tenter.consultation.client.face import Face


class ContrastLevel(StrEnum):
    """How far the darkest feature lies from the skin."""

    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"


_LEVEL_FROM = ((40.0, ContrastLevel.HIGH), (22.0, ContrastLevel.MEDIUM))  # L* between skin and darkest feature
# L* between the lightest and the darkest piece of an outfit that goes with a contrast; the edges overlap on purpose.
STEPS = {ContrastLevel.LOW: (0.0, 32.0), ContrastLevel.MEDIUM: (15.0, 55.0), ContrastLevel.HIGH: (35.0, 100.0)}
_WHITE_LIGHTNESS = {ContrastLevel.HIGH: 95.0, ContrastLevel.MEDIUM: 93.0, ContrastLevel.LOW: 90.0}


@dataclass(frozen=True, slots=True)
class Contrast:
    """The measured step in L* between the skin and the darkest feature, each with its 90 % interval (low, high).

    step: in L*. skin_lightness: L* of the skin. feature: in words.
    """

    level: ContrastLevel
    step: float
    feature: str
    skin_lightness: float
    step_90: tuple[float, float]
    skin_lightness_90: tuple[float, float]

    @property
    def levels(self) -> tuple[ContrastLevel, ...]:
        """What the contrast may be by its interval, the lowest first."""
        low, high = (list(ContrastLevel).index(level_of_step(step)) for step in self.step_90)
        return tuple(ContrastLevel)[low : high + 1]


def contrast_level(face: Face) -> Contrast | None:
    """Return the contrast of a face, or None where neither hair nor irises were measured.

    Its interval holds at least 90 %: the ends of the two lightnesses are taken the furthest apart. The levels are
    common practice, no source.
    """
    darkest = face.darkest_feature
    if darkest is None or not face.shows_contrast:
        return None
    feature, colour = darkest
    step = steady(abs(face.skin_lightness - colour.lab[0]))
    # End to end: at least 90 %, however the two errors go together.
    (low, high), (darkest_low, darkest_high) = face.skin_lightness_90, colour.interval_90[0]
    within = (max(0.0, steady(low - darkest_high)), steady(high - darkest_low))
    skin = (face.skin_lightness, within, face.skin_lightness_90)
    return Contrast(level_of_step(step), step, feature.replace("_", " "), *skin)


def level_of_step(step: float) -> ContrastLevel:
    """Return the level of a step in L*, between two features of a face or between two cloths."""
    return next((word for bound, word in _LEVEL_FROM if step >= bound), ContrastLevel.LOW)


def wanted_white_lightness(contrast: Contrast | None, clarity: float) -> float:
    """Return L* of the white to look for: by the face's contrast where measured, else by the clarity of the ideal.

    clarity: in bench units. Common practice, no source.
    """
    if contrast is not None:
        return _WHITE_LIGHTNESS[contrast.level]
    level = ContrastLevel.HIGH if clarity > 0.5 else ContrastLevel.LOW if clarity < -0.5 else ContrastLevel.MEDIUM
    return _WHITE_LIGHTNESS[level]
