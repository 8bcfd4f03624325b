"""The evenly lit part of a cloth, of one tint: without its folds, its shine and its other colours.

Shading multiplies light, so a*/(L* + 16) and b*/(L* + 16) stay where they are while L* falls into a fold; gloss adds
the lamp's own light and draws both towards grey. The part that is kept is about the commonest lightness and has the
commonest of those two. A pixel is of another colour if no shade of the kept part and no shine on it (`shine.py`) make
its tint, or of another tone if the cloth has two and nothing between: folds run from light to dark, stripes do not.
"""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.language import _
from tenter.numerals import whole_percent
from tenter.photo.cloth.shine import shine_of
from tenter.photo.patches.correction import D65_WHITE

_OTHER_COLOUR = 0.14  # in a*/(L* + 16), b*/(L* + 16): 9 units of chroma at L* 50
_SHORTEST_HALF = 1.25  # the kept lightness, in half-lengths of the shortest interval that holds half of the cloth
_MIN_LIGHTNESS, _MIN_TINT = 2.0, 0.025  # what is always kept about the commonest: the weave
_DEEP = 0.6  # of the usual lightness: in folds deeper than that tints are noise
# Of two tones: the part of the variance of L* that is between them, and how far apart they are. Folds, weaves and shine
# reach 0.84, stripes start at 0.88 (composed photographs of studies/cloths/hard_cloths.py).
_TWO_TONES, _TONES_APART = 0.86, 8.0
_MOST_SHINE = 0.08  # of a white's light, that a lamp adds to a cloth that shines, or takes from it; satin has as much


@dataclass(frozen=True, slots=True)
class KeptPart:
    """Which part of a cloth its colour was read from; the four parts add up to one.

    kept, darker, lighter and other: parts, 0 to 1, that were read, are folds, shine, and have another tint.
    """

    kept: float
    darker: float
    lighter: float
    other: float

    def __str__(self) -> str:
        return _(
            "read from the evenly lit {kept}; left out as darker folds {darker}, as lighter or shining {lighter}, as "
            "of another tint {other}",
            kept=whole_percent(self.kept),
            darker=whole_percent(self.darker),
            lighter=whole_percent(self.lighter),
            other=whole_percent(self.other),
        )


@dataclass(frozen=True, slots=True, eq=False)
class EvenPart:
    """Which pixels (n,) have about the commonest lightness, and which about its tint; both is what is kept.

    other: the part of the cloth, 0 to 1, that is as lit as the rest and has another colour. unlike: that part, with
    what has another tone.
    """

    near_lightness: BoolArray
    near_tint: BoolArray
    other: float
    unlike: float

    @property
    def kept(self) -> BoolArray:
        """The pixels (n,) that agree on a colour."""
        both: BoolArray = self.near_lightness & self.near_tint
        return both

    def shares(self, lightness: FloatArray) -> KeptPart:
        """Return how much of the cloth is kept, and what the rest is, by the lightness (n,) of its pixels."""
        middle = float(lightness[self.kept].mean())
        darker, lighter = (~self.near_lightness & side for side in (lightness < middle, lightness >= middle))
        off_tint = self.near_lightness & ~self.near_tint
        return KeptPart(*(float(where.mean()) for where in (self.kept, darker, lighter, off_tint)))


def even_part(xyz: FloatArray, lab: FloatArray) -> EvenPart:
    """Return the evenly lit part of a cloth of one tint, by the colours (n, 3) of its pixels."""
    lightness, tint = lab[:, 0], _tint(lab)
    near_lightness, near_tint = _about_the_commonest(lightness, tint)
    lit = lightness > _DEEP * float(np.median(lightness[near_lightness]))
    kept = near_lightness & near_tint
    other = lit & _of_another_colour(xyz, tint, kept)
    unlike = other | _of_another_tone(lightness, kept)
    return EvenPart(near_lightness, near_tint, float(other.mean()), float(unlike.mean()))


def _tint(lab: FloatArray) -> FloatArray:
    return lab[..., 1:] / (lab[..., :1] + 16)


def _about_the_commonest(lightness: FloatArray, tint: FloatArray) -> tuple[BoolArray, BoolArray]:
    """Return which pixels (n,) have about the commonest lightness, and which about its tint."""
    ordered = np.sort(lightness)
    half = (len(ordered) + 1) // 2
    lengths = ordered[half - 1 :] - ordered[: len(ordered) - half + 1]
    start = int(lengths.argmin())
    low, high = ordered[start], ordered[start + half - 1]
    commonest = (lightness >= low) & (lightness <= high)
    middle = np.median(tint[commonest], axis=0)
    off = np.linalg.norm(tint - middle, axis=1)
    reach = max(_MIN_LIGHTNESS, _SHORTEST_HALF * (high - low) / 2)
    near_lightness: BoolArray = np.abs(lightness - (low + high) / 2) <= reach
    near_tint: BoolArray = off <= max(_MIN_TINT, 2.5 * float(np.median(off[commonest])))
    return near_lightness, near_tint


def _of_another_colour(xyz: FloatArray, tint: FloatArray, kept: BoolArray) -> BoolArray:
    """Tell which pixels (n,) have another tint than the kept ones, also with the lamp's shine taken off or added."""
    if not kept.any():
        return np.zeros(len(kept), dtype=bool)
    middle = np.median(tint[kept], axis=0)
    shine = np.clip(shine_of(xyz[kept].mean(axis=0), xyz), -_MOST_SHINE, _MOST_SHINE)
    matt = xyz_to_lab(np.maximum(xyz - shine[:, None] * D65_WHITE, 1e-5), D65_WHITE)
    apart = [np.linalg.norm(seen - middle, axis=1) > _OTHER_COLOUR for seen in (tint, _tint(matt))]
    found: BoolArray = apart[0] & apart[1]
    return found


def _of_another_tone(lightness: FloatArray, kept: BoolArray) -> BoolArray:
    """Tell which pixels (n,) are of another tone than the kept ones, where the cloth has two; else none of them.

    N. Otsu (1979), "A threshold selection method from gray-level histograms", IEEE Trans. SMC 9(1), 62-66, from memory:
    the border that leaves most of the variance between two classes, and Otsu's measure of how well it parts them.
    """
    ordered = np.sort(lightness)
    below = np.arange(1, len(ordered))
    above = len(ordered) - below
    sums = np.cumsum(ordered)
    apart = (sums[-1] - sums[:-1]) / above - sums[:-1] / below
    between = below * above / len(ordered) ** 2 * apart**2
    border = int(between.argmax())
    if apart[border] < _TONES_APART or between[border] < _TWO_TONES * lightness.var():
        return np.zeros(len(lightness), dtype=bool)
    light = lightness > ordered[border]
    mostly_light = 2 * np.count_nonzero(light & kept) > np.count_nonzero(kept)
    found: BoolArray = ~light if mostly_light else light
    return found
