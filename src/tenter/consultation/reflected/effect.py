"""What a surface's light does to a face, place by place: the predicted change in Lab and ΔE00, with its interval.

This is reflected light alone. The contrast of a cloth with the face changes how the face looks too, and no published
model gives a number for that; it is named beside every prediction (`CONTRAST`) and has no number here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import ArrayLike, FloatArray, steady
from tenter.colorimetry.difference import delta_e_1976, delta_e_2000
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer
from tenter.colorimetry.measurement import Conditions
from tenter.colorimetry.reflectance import (
    WavelengthMismatch,
    recover_nearest_reflectance,
    recover_reflectance,
    reflectance_to_lab,
    under_reflected_light,
)
from tenter.consultation.cloths.reflection_factors import ReflectionFactor
from tenter.errors import TenterError
from tenter.given import given_array
from tenter.language import _, as_written, gettext_lazy

# ΔE*ab that half of 90 observers could just see between fair skin shades side by side (1.3 between dark ones): E. R.
# Leow and others (2006), Prosthet. Orthot. Int. 30(1), 5-16; the abstract was read. Held one after the other, less is
# seen, so that what lies below this is too small on any skin.
LEAST_VISIBLE_LAB = 0.8
_BRIGHTEST = 2.0  # reflectance factor: a brightened white reaches about 1.2; beyond this a file holds percent
CONTRAST = gettext_lazy(
    "The contrast between a cloth and the face also changes how the face looks. No published model gives a number for "
    "that, so Tenter gives none: look at the forehead and the eyes, where reflected light is too small to be seen."
)


class EffectSize(StrEnum):
    """Whether a change can be seen."""

    VISIBLE = "visible"
    DEPENDS = "depends on the room"
    TOO_SMALL = "too small to see"


@dataclass(frozen=True, eq=False)
class ThrowingSurface:
    """A surface that throws light on a face: its reflectance (81,), and whether that was recovered from a Lab value.

    Raises `WavelengthMismatch` for a spectrum sampled otherwise, and `TenterError` for one that no surface has.
    """

    name: str
    reflectance: FloatArray
    recovered: bool

    def __post_init__(self) -> None:
        object.__setattr__(self, "reflectance", _checked_reflectance(self.reflectance, self.name))

    @classmethod
    def of_lab(cls, name: str, lab: ArrayLike, conditions: Conditions) -> "ThrowingSurface":
        """Return a surface of which CIELAB (3,) alone is known; its reflectance is recovered, the smoothest there is.

        Raises
        ------
        ImpossibleSurface
            If no surface has that colour.
        """
        found = recover_reflectance(np.asarray(lab, dtype=float), conditions.illuminant, conditions.observer)
        return cls(name, found, recovered=True)


@dataclass(frozen=True, eq=False)
class LitSkin:
    """Skin at one place of a face: its CIELAB (3,) without the surface, and a reflectance (81,) that has it."""

    lab: FloatArray
    reflectance: FloatArray
    recovered: bool
    conditions: Conditions

    @classmethod
    def of_lab(cls, lab: ArrayLike, conditions: Conditions) -> "LitSkin":
        """Return skin of which CIELAB (3,) alone is known; a colour that no surface has is drawn toward grey."""
        values = np.asarray(lab, dtype=float)
        found = recover_nearest_reflectance(values[None], conditions.illuminant, conditions.observer)[0]
        return cls(values, found, True, conditions)

    @classmethod
    def of_reflectance(cls, reflectance: ArrayLike, conditions: Conditions) -> "LitSkin":
        """Return skin whose reflectance (81,) was measured, on `WAVELENGTHS_NM`.

        Raises `WavelengthMismatch` for a spectrum sampled otherwise, and `TenterError` for one that no surface has.
        """
        found = _checked_reflectance(reflectance, _("the skin"))
        return cls(reflectance_to_lab(found, *_named(conditions)), found, False, conditions)

    def lab_beside(self, surface: ThrowingSurface | None, factor: float, sheen: float = 0.0) -> FloatArray:
        """Return the predicted CIELAB (3,) of the skin beside a surface; None: beside one that throws nothing.

        factor, sheen: as `ReflectionFactor` has them, shares of the light.
        """
        thrown = np.zeros_like(self.reflectance) if surface is None else surface.reflectance
        apparent = under_reflected_light(self.reflectance, thrown, factor, sheen)
        return reflectance_to_lab(apparent, *_named(self.conditions))


@dataclass(frozen=True, eq=False)
class ReflectedEffect:
    """The predicted change at one place of the face.

    delta_lab (3,) with delta_lab_range (3, 2), at the factor, and over the factor's range. delta_e_2000,
    delta_e_2000_range: likewise, in ΔE00. delta_e_ab, delta_e_ab_range: in ΔE*ab. A range says what the room may make
    of it, not how exact the arithmetic is.
    """

    region: str
    factor: ReflectionFactor
    delta_lab: FloatArray
    delta_lab_range: FloatArray
    delta_e_2000: float
    delta_e_2000_range: tuple[float, float]
    delta_e_ab: float
    delta_e_ab_range: tuple[float, float]
    recovered: bool

    @property
    def visible(self) -> bool:
        """Whether the change can be seen in any room: over the factor's whole range."""
        return self.size is EffectSize.VISIBLE

    @property
    def size(self) -> EffectSize:
        """Whether the change can be seen, over the factor's whole range."""
        low, high = (steady(end) >= LEAST_VISIBLE_LAB for end in self.delta_e_ab_range)
        return EffectSize.VISIBLE if low else EffectSize.DEPENDS if high else EffectSize.TOO_SMALL

    def to_json(self) -> dict[str, object]:
        """Return plain values for `json.dumps`."""
        return {
            "delta_lab": [round(float(v), 3) for v in self.delta_lab],
            "delta_lab_range": [[round(float(v), 3) for v in ends] for ends in self.delta_lab_range],
            "delta_e_2000": round(self.delta_e_2000, 3),
            "delta_e_2000_range": [round(end, 3) for end in self.delta_e_2000_range],
            "delta_e_ab": round(self.delta_e_ab, 3),
            "visible": self.visible,
            "size": str(self.size),
            "factor": self.factor.value,
            "factor_range": [self.factor.low, self.factor.high],
        }


def reflected_effect(
    region: str,
    skin: LitSkin,
    factor: ReflectionFactor,
    surface: ThrowingSurface,
    against: ThrowingSurface | None = None,
) -> ReflectedEffect:
    """Return what a surface does to skin, beside `against` in its place or, without one, beside a perfect black."""
    factors = (factor.low, factor.value, factor.high)
    before = np.array([skin.lab_beside(against, f, factor.sheen) for f in factors])
    after = np.array([skin.lab_beside(surface, f, factor.sheen) for f in factors])
    change, e_2000, e_ab = after - before, delta_e_2000(before, after), delta_e_1976(before, after)
    return ReflectedEffect(
        region,
        factor,
        change[1],
        np.stack([change.min(axis=0), change.max(axis=0)], axis=-1),
        float(e_2000[1]),
        (float(e_2000.min()), float(e_2000.max())),
        float(e_ab[1]),
        (float(e_ab.min()), float(e_ab.max())),
        skin.recovered or surface.recovered or (against is not None and against.recovered),
    )


def reflected_effects(
    skins: Mapping[str, LitSkin],
    factors: Mapping[str, ReflectionFactor],
    surface: ThrowingSurface,
    against: ThrowingSurface | None = None,
) -> dict[str, ReflectedEffect]:
    """Return what a surface does at every place whose skin and factor are both known, in the order of the factors."""
    return {
        region: reflected_effect(region, skins[region], factor, surface, against)
        for region, factor in factors.items()
        if region in skins
    }


def _named(conditions: Conditions) -> tuple[str, Observer]:
    return conditions.illuminant, conditions.observer


def _checked_reflectance(values: ArrayLike, whose: str) -> FloatArray:
    reflectance = given_array(values, _("the reflectance of {whose}", whose=whose))
    if reflectance.shape != WAVELENGTHS_NM.shape:
        raise WavelengthMismatch(reflectance.size, WAVELENGTHS_NM.size)
    if not np.all((reflectance >= 0) & (reflectance <= _BRIGHTEST)):
        raise TenterError(
            _(
                "the reflectance of {whose} runs from {least} to {most}; a surface has 0 to 1, "
                "or a little more where a brightener glows. Divide percent by 100",
                whose=whose,
                least=as_written(f"{reflectance.min():g}"),
                most=as_written(f"{reflectance.max():g}"),
            )
        )
    reflectance.setflags(write=False)
    return reflectance
