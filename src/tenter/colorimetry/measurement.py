"""Lab values that know the light and observer they were taken with."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import Observer, illuminant_power, observer_from
from tenter.colorimetry.reflectance import recover_reflectance, reflectance_to_lab
from tenter.colorimetry.spaces import in_srgb_gamut, srgb_hex
from tenter.errors import TenterError
from tenter.given import given_array


@dataclass(frozen=True, slots=True)
class Conditions:
    """The light and the observer of a Lab value; raises `UnknownName` where either is not among those bundled."""

    illuminant: str
    observer: Observer

    def __post_init__(self) -> None:
        illuminant_power(self.illuminant)
        object.__setattr__(self, "observer", observer_from(self.observer))

    def __str__(self) -> str:
        return f"{self.illuminant}/{self.observer}°"


D65_2 = Conditions("D65", Observer.CIE_1931_2)
D65_10 = Conditions("D65", Observer.CIE_1964_10)


class MixedConditions(TenterError):
    """Two colours that were taken under different lights or by different observers."""

    def __init__(self, one: Conditions, other: Conditions) -> None:
        self.one, self.other = one, other
        super().__init__(
            f"a colour under {one} was combined with one under {other}, which can differ by 5 ΔE00 for the same cloth; "
            "convert one of them with .under(conditions)"
        )


@dataclass(frozen=True, eq=False)
class Colours:
    """CIELAB colours, shape (..., 3), and the conditions they were taken under.

    `recovered` is true once a colour has been carried to other conditions through a recovered reflectance: it is then a
    prediction, and every page says so. Raises `TenterError` if `lab` is not of that shape or holds a number that is
    missing or infinite.
    """

    lab: FloatArray
    conditions: Conditions
    recovered: bool = False

    def __post_init__(self) -> None:
        lab = given_array(self.lab, "Lab")
        if lab.shape[-1:] != (3,) or not np.all(np.isfinite(lab)):
            raise TenterError(
                f"Lab values need finite L*, a* and b* in the last axis; got an array of shape {lab.shape}"
            )
        lab.setflags(write=False)
        object.__setattr__(self, "lab", lab)

    def _require_same(self, other: "Colours") -> None:
        if self.conditions != other.conditions:
            raise MixedConditions(self.conditions, other.conditions)

    def delta_e_2000(self, other: "Colours") -> FloatArray:
        """Return CIEDE2000 to other colours, shape (...); the two broadcast.

        Raises `MixedConditions` when the conditions differ.
        """
        self._require_same(other)
        return delta_e_2000(self.lab, other.lab)

    def minus(self, other: "Colours") -> FloatArray:
        """Return the difference in L*, a*, b*, shape (..., 3); raises `MixedConditions` when the conditions differ."""
        self._require_same(other)
        return self.lab - other.lab

    @cached_property
    def reflectance(self) -> FloatArray:
        """A smooth reflectance (..., 81) with these colours: recovered, not measured.

        Raises `ImpossibleSurface` if a colour has none.
        """
        return recover_reflectance(self.lab, self.conditions.illuminant, self.conditions.observer)

    def under(self, conditions: Conditions) -> "Colours":
        """Return the same surfaces under other conditions, through a recovered reflectance.

        Raises `ImpossibleSurface` if a colour has none.
        """
        if conditions == self.conditions:
            return self
        lab = reflectance_to_lab(self.reflectance, conditions.illuminant, conditions.observer)
        return Colours(lab, conditions, recovered=True)

    def on_screen(self) -> tuple[list[str], list[bool]]:
        """Return '#rrggbb' of each colour as seen under D65 by the 2 degree observer, and whether sRGB can show it."""
        shown = np.atleast_2d(self.under(D65_2).lab)
        return srgb_hex(shown), [bool(v) for v in in_srgb_gamut(shown)]
