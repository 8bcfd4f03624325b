"""The trade's words for the ends of the axes: warm, cool, light, deep, bright, soft."""

from enum import StrEnum

from tenter.consultation.axes import Axis


class UndertoneSide(StrEnum):
    """The two sides of the undertone."""

    WARM = "warm"
    COOL = "cool"


class LeadingTrait(StrEnum):
    """The trait that names a sub-season."""

    LIGHT = "light"
    DEEP = "deep"
    WARM = "warm"
    COOL = "cool"
    BRIGHT = "bright"
    SOFT = "soft"

    @property
    def axis(self) -> Axis:
        """The axis that the trait lies on."""
        return _TRAIT_AXES[self][0]

    @property
    def sign(self) -> int:
        """The end of the axis: +1 warm, light or bright, -1 cool, deep or soft."""
        return _TRAIT_AXES[self][1]

    @property
    def opposite(self) -> "LeadingTrait":
        """The other end of the axis."""
        return trait_word(self.axis, -self.sign)


_TRAIT_AXES = {
    LeadingTrait.WARM: (Axis.UNDERTONE, 1),
    LeadingTrait.COOL: (Axis.UNDERTONE, -1),
    LeadingTrait.LIGHT: (Axis.DEPTH, 1),
    LeadingTrait.DEEP: (Axis.DEPTH, -1),
    LeadingTrait.BRIGHT: (Axis.CLARITY, 1),
    LeadingTrait.SOFT: (Axis.CLARITY, -1),
}


def trait_word(axis: Axis, sign: float) -> LeadingTrait:
    """Return the trade's word for one end of an axis.

    sign: 0 or above 0 for warm, light or bright; below for cool, deep or soft.
    """
    return next(t for t, (a, s) in _TRAIT_AXES.items() if a is axis and s == (1 if sign >= 0 else -1))
