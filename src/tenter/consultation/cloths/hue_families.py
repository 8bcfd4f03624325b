"""Plain hue families: which cloths may be compared without the hue itself being the difference.

Common practice, no source: the borders are ours, on CIELAB under D65/10°, each with its reason beside it. A kit may
overrule the family of any cloth.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import ArrayLike, BoolArray, FloatArray, steady
from tenter.colorimetry.spaces import lab_to_lch


class HueFamily(StrEnum):
    """The plain hue names of the trade."""

    RED = "red"
    PINK = "pink"
    ORANGE = "orange"
    YELLOW = "yellow"
    GREEN = "green"
    TEAL = "teal"
    BLUE = "blue"
    PURPLE = "purple"
    BROWN = "brown"
    WHITE = "white"
    DARK = "dark"
    GREY = "grey"
    METAL = "metal"


# A typical colour of each family, for a cloth that nobody has measured: the middle of what is sold under the name.
TYPICAL_LAB: dict[HueFamily, tuple[float, float, float]] = {
    HueFamily.RED: (42.0, 47.0, 25.0),
    HueFamily.PINK: (68.0, 32.0, 5.0),
    HueFamily.ORANGE: (65.0, 30.0, 48.0),
    HueFamily.YELLOW: (80.0, 3.0, 55.0),
    HueFamily.GREEN: (52.0, -27.0, 20.0),
    HueFamily.TEAL: (52.0, -26.0, -8.0),
    HueFamily.BLUE: (48.0, 0.0, -28.0),
    HueFamily.PURPLE: (46.0, 20.0, -22.0),
    HueFamily.BROWN: (44.0, 12.0, 20.0),
    HueFamily.WHITE: (92.0, 0.0, 4.0),
    HueFamily.DARK: (20.0, 0.0, -2.0),
    HueFamily.GREY: (58.0, 0.0, 0.0),
    HueFamily.METAL: (70.0, 3.0, 15.0),
}


@dataclass(frozen=True, slots=True)
class _Block:
    """A box in L*, C*, h. The hue range goes upward from its first angle and may pass 360."""

    family: HueFamily
    lightness: tuple[float, float]
    chroma: tuple[float, float]
    hue_degrees: tuple[float, float]
    reason: str

    def holds(self, L: float, C: float, h: float) -> bool:
        low, high = self.hue_degrees
        in_hue = (h - low) % 360 < high - low or high - low >= 360
        return self.lightness[0] <= L < self.lightness[1] and self.chroma[0] <= C < self.chroma[1] and in_hue

    def of_those(self, L: FloatArray, C: FloatArray, h: FloatArray) -> BoolArray:
        """Tell which of many colours, (n,) each, it holds."""
        low, high = self.hue_degrees
        in_hue = ((h - low) % 360 < high - low) | (high - low >= 360)
        within = (self.lightness[0] <= L) & (self.lightness[1] > L) & (self.chroma[0] <= C) & (self.chroma[1] > C)
        held: BoolArray = within & in_hue
        return held


_ANY, _ROUND, _MANY = (-1.0, 1000.0), (0.0, 360.0), 1000.0  # any C*, any hue in degrees, and more than any L*

# The first block that holds a colour names it, so the near-neutrals come first.
_BLOCKS = (
    _Block(
        HueFamily.WHITE, (86, _MANY), (0, 14), _ROUND, "up to a cream or an icy tint it is bought and worn as white"
    ),
    _Block(HueFamily.DARK, (-1, 28), (0, 16), _ROUND, "below L* 28 a hue of C* 16 is only seen beside a true black"),
    _Block(HueFamily.GREY, (28, 86), (0, 10), _ROUND, "stones and greys: a tint, not a hue"),
    _Block(HueFamily.BROWN, (-1, 52), (10, 42), (42, 95), "brown is a dark or muted orange or yellow"),
    _Block(HueFamily.BROWN, (52, 86), (10, 19), (42, 102), "beige and reed are light browns"),
    _Block(HueFamily.PINK, (52, _MANY), _ANY, (325, 402), "light reds, coral and rose"),
    _Block(HueFamily.PINK, (40, 52), (40, _MANY), (325, 352), "magenta: strong, bluish and not dark"),
    _Block(HueFamily.RED, (-1, 52), _ANY, (345, 402), "from berry to brick"),
    _Block(HueFamily.ORANGE, _ANY, _ANY, (42, 75), "peach to burnt orange"),
    _Block(HueFamily.YELLOW, (50, _MANY), _ANY, (75, 108), "gold to lemon"),
    _Block(HueFamily.GREEN, _ANY, _ANY, (75, 178), "olive to emerald; a dark yellow reads as olive"),
    _Block(HueFamily.TEAL, _ANY, _ANY, (178, 222), "turquoise, aqua, petrol"),
    _Block(HueFamily.BLUE, _ANY, _ANY, (222, 292), "sky to navy"),
    _Block(HueFamily.PURPLE, _ANY, _ANY, (292, 345), "violet, lavender, plum"),
)


def hue_family(lab: ArrayLike) -> HueFamily:
    """Return the family of one CIELAB colour (3,) under D65/10°; never `METAL`, which a Lab value cannot show.

    The borders are ours. Common practice, no source.
    """
    L, C, h = (float(v) for v in steady(lab_to_lch(np.asarray(lab, dtype=float))))
    return next((b.family for b in _BLOCKS if b.holds(L, C, h)), HueFamily.RED)


def hue_families(lab: ArrayLike) -> tuple[HueFamily, ...]:
    """Return the family of each of many CIELAB colours (n, 3) under D65/10°, as `hue_family` has it."""
    L, C, h = steady(lab_to_lch(np.asarray(lab, dtype=float))).T
    found = np.full(L.shape, len(_BLOCKS))
    for place, block in reversed(list(enumerate(_BLOCKS))):  # the first that holds a colour names it
        found[block.of_those(L, C, h)] = place
    names = [*(block.family for block in _BLOCKS), HueFamily.RED]
    return tuple(names[place] for place in found)
