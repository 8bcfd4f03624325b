"""How much of the light on a cloth reaches each place of the face: the effective factor F, and its range.

A cloth on the chest lights the face by one bounce: skin of reflectance ρ looks like ρ (1 + F ρ_cloth). F is the light
that arrives from a perfect white cloth, as a share of the light that is there without it. It depends on the place on
the face and, more than on anything else, on the room. Light that comes from below glances off the skin besides, and
that part, the sheen, keeps the cloth's own colour.

Source of every figure: path-traced scenes, a head above a cloth in a grey room, lit by a side window and a ceiling
panel; the ranges are over other lights and heights of the cloth (docs/how-it-works/reflected-light.md). The sheen is
fitted to the twins among them, white against black (`./run bench reflected`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from tenter.errors import TenterError
from tenter.given import given_number
from tenter.language import _, as_written

MOST_FACTOR = 2.0  # F of a real room: the extreme among the path-traced scenes is 0.6; beyond this a figure is mistaken


@dataclass(frozen=True, slots=True)
class ReflectionFactor:
    """The factor F at one place of the face, and between which values it is.

    value, low, high: the share of the light without the cloth that a perfect white one adds, 0 to 2. sheen: what
    glances off the skin without taking on its colour, 0 to 1, of the light that arrives. Raises `TenterError` for a
    figure beyond these, and for a value outside its own range.
    """

    value: float
    low: float
    high: float
    sheen: float = 0.0

    def __post_init__(self) -> None:
        given_number(self.sheen, _("the sheen of a reflection factor"), 0, 1)
        for name in ("value", "low", "high"):
            given_number(getattr(self, name), _("“{name}” of a reflection factor", name=name), 0, MOST_FACTOR)
        if not self.low <= self.value <= self.high:
            raise TenterError(
                _(
                    "the factor {value} came with the range {low} to {high}; it has to be within it",
                    value=as_written(f"{self.value:g}"),
                    low=as_written(f"{self.low:g}"),
                    high=as_written(f"{self.high:g}"),
                )
            )


class ShadedSide(StrEnum):
    """Which side of the client's own face is turned away from the window."""

    LEFT = "left"
    RIGHT = "right"
    NEITHER = "neither"


# Window and panel, and the range over lights and heights of the cloth.
_LIT_JAW = ReflectionFactor(0.08, 0.05, 0.23, sheen=0.07)
_SHADED_JAW = ReflectionFactor(0.15, 0.08, 0.6, sheen=0.007)  # from 0.11; single scenes have 0.08 and 0.09
_EITHER_JAW = ReflectionFactor(0.11, 0.05, 0.6, sheen=0.04)  # between the two in ratio, with the range of both
_LIT_CHEEK = ReflectionFactor(0.008, 0.005, 0.04)
_SHADED_CHEEK = ReflectionFactor(0.022, 0.005, 0.04)
_EITHER_CHEEK = ReflectionFactor(0.013, 0.005, 0.04)  # as at the jaw
CHIN = ReflectionFactor(0.045, 0.02, 0.09, sheen=0.1)  # from 0.03 where the sheen was counted in; the twins have 0.02
_LIPS = ReflectionFactor(0.011, 0.006, 0.027)  # from 0.008 in the first scenes; the twins have 0.006 and 0.007
_UPPER_FACE = ReflectionFactor(0.004, 0.003, 0.005)  # of nose and forehead

REFLECTION_REGIONS = (
    *("forehead", "nose", "cheek_left", "cheek_right", "lips", "chin", "jaw_left", "jaw_right"),
)  # where the face is predicted, from the top down

# Cheeks differ by 2 to 5 in L* in soft frontal light and by 23 to 32 beside a window, in the same rendered scenes.
_SIDE_LIGHT_LAB = 10.0


def default_factors(shaded: ShadedSide = ShadedSide.NEITHER) -> dict[str, ReflectionFactor]:
    """Return F of each of `REFLECTION_REGIONS` in a room that nobody has measured; left and right are the client's."""
    factors = {"forehead": _UPPER_FACE, "nose": _UPPER_FACE, "lips": _LIPS, "chin": CHIN}
    for side in ("left", "right"):
        if shaded is ShadedSide.NEITHER:
            cheek, jaw = _EITHER_CHEEK, _EITHER_JAW
        else:
            cheek, jaw = (_SHADED_CHEEK, _SHADED_JAW) if side == shaded else (_LIT_CHEEK, _LIT_JAW)
        factors |= {f"cheek_{side}": cheek, f"jaw_{side}": jaw}
    return {region: factors[region] for region in REFLECTION_REGIONS}


def shaded_side(lightness: Mapping[str, float]) -> ShadedSide:
    """Return the shaded side by L* of the two cheeks; neither where they are alike or one is missing."""
    left, right = lightness.get("cheek_left"), lightness.get("cheek_right")
    if left is None or right is None or abs(left - right) < _SIDE_LIGHT_LAB:
        return ShadedSide.NEITHER
    return ShadedSide.LEFT if left < right else ShadedSide.RIGHT
