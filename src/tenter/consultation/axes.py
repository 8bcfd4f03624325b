"""The three trade axes of a cloth, from its measured colour: undertone, depth and clarity, in bench units.

Undertone is warm above 0 and cool below, depth light above and deep below, clarity bright above and soft below. All
three are conventions of the trade; their numbers come from the method file.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.appearance import ViewingConditions, cam16
from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.spaces import chroma, hue_angle, lab_to_xyz, lch_to_lab
from tenter.errors import TenterError
from tenter.language import _, as_written

_DARK_FROM, _DARK_RANGE = 40.0, 24.0  # L*: from dark denim, 40, down to black cloth, 16
_DARK_REACH, _LIGHT_REACH = 20.0, 30.0  # L* from a soft grey to full contrast, towards black and towards white


class Axis(StrEnum):
    """The trade axes, in the order of every coordinate array."""

    UNDERTONE = "undertone"
    DEPTH = "depth"
    CLARITY = "clarity"

    @property
    def column(self) -> int:
        """The axis's place in a coordinate array."""
        return list(Axis).index(self)


class ClarityReading(StrEnum):
    """Whether clarity is chroma alone, or at equal chroma a darker cloth reads as stronger. Disputed in the trade."""

    CHROMA = "chroma"
    SATURATION = "saturation"


@dataclass(frozen=True, slots=True)
class AxisScale:
    """A linear scale from a CIELAB quantity, L* or C*, to bench units.

    centre: the L* or C* that is 0. unit: how much of it is one bench unit. Raises `TenterError` for a unit that is not
    above 0.
    """

    centre: float
    unit: float

    def __post_init__(self) -> None:
        if not self.unit > 0:
            raise TenterError(_("the unit of a scale must be above 0; got {unit}", unit=as_written(f"{self.unit:g}")))

    def of(self, values: FloatArray) -> FloatArray:
        """Return values (...), in the scale's quantity, in bench units, shape (...)."""
        return (values - self.centre) / self.unit


@dataclass(frozen=True, slots=True)
class UndertoneTable:
    """Warm and cool by hue angle, fading into the yellow-blue component for near-neutrals.

    gain: bench units of a weight of 1. neutral_chroma, full_chroma: the C*ab up to which a colour is a neutral, and
    from which its hue alone decides. `hue_table` holds (hue in degrees, weight), rising from 0; between entries, and
    from the last back to the first, the weight is linear. Raises `TenterError` for fewer than two hues, hues that do
    not rise within 0 to 360, or chromas that do not rise from 0.
    """

    gain: float
    neutral_chroma: float
    full_chroma: float
    hue_table: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        hues = [h for h, _ in self.hue_table]
        if len(hues) < 2 or hues != sorted(set(hues)) or hues[0] < 0 or hues[-1] >= 360:
            raise TenterError(_("the hue table needs at least two entries whose hues rise within 0 to 360 degrees"))
        if not 0 <= self.neutral_chroma < self.full_chroma:
            raise TenterError(_("neutral_chroma must be at least 0 and below full_chroma"))

    def hue_weight(self, hue_degrees: FloatArray) -> FloatArray:
        """Return the warm (+) or cool (-) weight of hue angles (...) in degrees, shape (...)."""
        hues, weights = np.array(self.hue_table).T
        weight: FloatArray = np.interp(hue_degrees, hues, weights, period=360.0)
        return weight

    def hue_share(self, lab: FloatArray) -> FloatArray:
        """Return how far the hue decides in colours (..., 3), 0 for a neutral to 1 for a full colour, shape (...)."""
        return np.clip((chroma(lab) - self.neutral_chroma) / (self.full_chroma - self.neutral_chroma), 0, 1)

    def chroma_share(self, lab: FloatArray) -> FloatArray:
        """Return how far the chroma of CIELAB colours (..., 3) decides their clarity, 0 to 1, shape (...).

        As `hue_share`, but a dark colour counts in full only at twice the chroma: the trade wears navy and bark as
        neutrals, and next to a face their darkness speaks before their colour does. Common practice, no source.
        """
        dark = np.clip((_DARK_FROM - lab[..., 0]) / _DARK_RANGE, 0, 1)
        full = self.full_chroma * (1 + dark)
        return np.clip((chroma(lab) - self.neutral_chroma) / (full - self.neutral_chroma), 0, 1)

    def undertone(self, lab: FloatArray, hue_weight: FloatArray | None = None) -> FloatArray:
        """Return the undertone of CIELAB colours (..., 3) under D65/10° in bench units, shape (...).

        hue_weight (...): what the hue says, if not what the table says.
        """
        n = self.hue_share(lab)
        said = self.hue_weight(hue_angle(lab)) if hue_weight is None else hue_weight
        # Common practice, no source: a near-neutral is warm as far as it is yellower than its pinkness explains.
        tint = np.clip((lab[..., 2] - 0.9 * np.maximum(lab[..., 1], 0)) / 6, -1.5, 1.5)
        return n * self.gain * said + (1 - n) * tint


def _saturation(lab: FloatArray) -> FloatArray:
    white = 100 * white_point("D65", Observer.CIE_1964_10)
    surroundings = ViewingConditions(white=(float(white[0]), float(white[1]), float(white[2])), adapting_luminance=20.0)
    return cam16(lab_to_xyz(lab, white), surroundings).s


def equivalent_chroma(lab: FloatArray, middle_lightness: float) -> FloatArray:
    """Return the C* that would make CIELAB colours (..., 3) look as saturated at a middle lightness, shape (...).

    middle_lightness: in L*. CAM16 saturation is the square root of colourfulness over brightness, and colourfulness is
    nearly proportional to chroma, so chroma scales with the square of the ratio of saturations.
    """
    lch = np.stack([np.full(lab.shape[:-1], middle_lightness), chroma(lab), hue_angle(lab)], axis=-1)
    at_middle = _saturation(lch_to_lab(lch))
    ratio = np.divide(_saturation(lab), at_middle, out=np.ones_like(at_middle), where=at_middle > 0)
    equivalent: FloatArray = chroma(lab) * ratio**2
    return equivalent


def clarity(
    lab: FloatArray, scale: AxisScale, reading: ClarityReading, middle_lightness: float, n: FloatArray
) -> FloatArray:
    """Return the clarity of CIELAB colours (..., 3) under D65/10° in bench units, shape (...).

    middle_lightness: L* of neither light nor deep. n (...): the share, 0 to 1, in which their chroma counts.
    """
    strength = chroma(lab) if reading is ClarityReading.CHROMA else equivalent_chroma(lab, middle_lightness)
    # Common practice, no source: a near-neutral has no chroma to read; black and white act as strong contrast, mid
    # greys as soft. Darkness adds strength sooner than lightness does.
    from_middle = lab[..., 0] - middle_lightness
    reach = np.where(from_middle < 0, _DARK_REACH, _LIGHT_REACH)
    contrast = -1.6 + 2.6 * np.clip((np.abs(from_middle) - 15) / reach, 0, 1)
    return n * scale.of(strength) + (1 - n) * contrast
