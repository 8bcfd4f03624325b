"""A garment's colours as they are known: by an instrument, a photograph beside a card, or a name alone.

Each colour carries a 90 % interval, and all of them are under D65/10°, as a palette is. A colour that was taken under
another light or by the other observer is carried there through a recovered reflectance, which widens the interval by
what that misses: little for greys, most for colours of middling strength. The misses are the 90th percentiles over 273
measured surfaces (M. J. Vrhel, R. Gershon, L. S. Iwan 1994), rounded up: regression values, ours.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import ArrayLike, FloatArray
from tenter.colorimetry.measurement import D65_2, D65_10, Colours, Conditions
from tenter.colorimetry.reflectance import recover_nearest_reflectance, reflectance_to_lab
from tenter.colorimetry.spaces import Lab
from tenter.errors import TenterError
from tenter.given import given_array, shown
from tenter.language import _, as_written

_READ = (0.8, 0.8, 0.8)  # half-widths of an instrument's reading of a cloth: its folds, its weave, the instrument
_OTHER_OBSERVER = (0.3, 1.6, 1.0)  # over all surfaces
_OTHER_LIGHT = (1.1, 4.9, 3.0)  # over all surfaces, from another illuminant
# How many times as much at each C*ab: of surfaces up to 10, 10 to 20, 20 to 30, 30 to 45, and stronger.
_CHROMA, _SHARE = (5.0, 15.0, 25.0, 37.0, 60.0), (0.4, 0.72, 1.2, 1.42, 1.1)
_DARKEST, _LIGHTEST, _STRONGEST = 0.0, 110.0, 128.0


class KnownBy(StrEnum):
    """How the colour of a garment is known."""

    SPECTRUM = "spectrum"
    READING = "reading"
    PHOTO = "photo"
    NAME = "name"


@dataclass(frozen=True, slots=True, eq=False)
class GarmentColour:
    """One colour of a garment: Lab under D65/10°, half-widths of its 90 % interval, and its part of the area.

    reflectance: (81,) on `WAVELENGTHS_NM`, 0 to 1, where it was measured; None where the colour alone is known. Raises
    `TenterError` for a colour that no cloth has, a half-width that is not finite and at least 0, and an area outside 0
    to 1.
    """

    lab: Lab
    half_width_90: Lab
    area: float = 1.0
    known_by: KnownBy = KnownBy.READING
    reflectance: FloatArray | None = None

    def __post_init__(self) -> None:
        L, a, b = self.lab
        within = _DARKEST <= L <= _LIGHTEST and max(abs(a), abs(b)) <= _STRONGEST
        if not within:
            raise TenterError(
                _(
                    "no cloth has L* {lightness}, a* {a}, b* {b}; L* runs from {darkest} to {lightest}, a* and b* "
                    "within ±{strongest}. Check the reading",
                    lightness=as_written(f"{L:.1f}"),
                    a=as_written(f"{a:.1f}"),
                    b=as_written(f"{b:.1f}"),
                    darkest=as_written(f"{_DARKEST:g}"),
                    lightest=as_written(f"{_LIGHTEST:g}"),
                    strongest=as_written(f"{_STRONGEST:g}"),
                )
            )
        if not all(0 <= half < np.inf for half in self.half_width_90):
            raise TenterError(
                _("half-widths are finite and at least 0; got {half_width}", half_width=shown(self.half_width_90))
            )
        if not 0 < self.area <= 1:
            raise TenterError(
                _("a colour's part of the area is above 0 and at most 1; got {area}", area=shown(self.area))
            )


@dataclass(frozen=True, slots=True, eq=False)
class Garment:
    """A garment's colours, the largest first: one, or those of a print. name: what its owner calls it.

    unlike: the part of it, from 0 to 1, that looked unlike its colours in a photograph, so that nothing is known of it.
    Raises `TenterError` for no colour, areas that do not add up to 1 within 0.02, and a part outside 0 to 1.
    """

    colours: tuple[GarmentColour, ...]
    name: str = ""
    unlike: float = 0.0

    def __post_init__(self) -> None:
        if not self.colours:
            raise TenterError(_("a garment has at least one colour"))
        total = sum(colour.area for colour in self.colours)
        if not 0.98 <= total <= 1.02:
            raise TenterError(
                _(
                    "the colours of a garment cover all of it; their areas add up to {total}",
                    total=as_written(f"{total:.2f}"),
                )
            )
        if not 0 <= self.unlike <= 1:
            raise TenterError(
                _("the part unlike a garment's colours is from 0 to 1; got {unlike}", unlike=shown(self.unlike))
            )
        ordered = sorted(self.colours, key=lambda c: -c.area)
        object.__setattr__(self, "colours", tuple(ordered))

    @property
    def is_print(self) -> bool:
        """Whether it has several colours."""
        return len(self.colours) > 1

    @property
    def known_by(self) -> KnownBy:
        """How its colours are known."""
        return self.colours[0].known_by


def from_reading(lab: ArrayLike, conditions: Conditions = D65_10, name: str = "") -> Garment:
    """Return a garment of one colour, measured by an instrument: Lab (3,) under the conditions named.

    Raises `TenterError` unless it is three finite numbers that a cloth can have.
    """
    values = _one_lab(lab)
    half = np.hypot(_READ, _carried(values, conditions))
    return Garment((GarmentColour(_triple(_to_bench(values, conditions)), _triple(half)),), name)


def from_spectrum(reflectance: ArrayLike, name: str = "") -> Garment:
    """Return a garment of one colour whose reflectance (81,) was measured, on `WAVELENGTHS_NM`, 0 to 1.

    Raises `TenterError` for another shape, and for a factor outside 0 to 1.5.
    """
    values = given_array(reflectance, "a reflectance")
    if values.ndim != 1 or not np.all((values >= 0) & (values <= 1.5)):
        raise TenterError(f"a reflectance is one row of factors from 0 to 1; got {shown(reflectance)}")
    lab = reflectance_to_lab(values, D65_10.illuminant, D65_10.observer)
    return Garment((GarmentColour(_triple(lab), _READ, 1.0, KnownBy.SPECTRUM, values),), name)


def from_photo(
    lab: ArrayLike,
    half_width_90: ArrayLike,
    areas: Sequence[float] = (1.0,),
    for_kit: ArrayLike | None = None,
    unlike: float = 0.0,
) -> Garment:
    """Return a garment read in a photograph beside a card.

    Parameters
    ----------
    lab, half_width_90 : array_like, shape (n, 3)
        Under D65/2°, as a photograph gives them, with the half-widths of the 90 % intervals.
    areas
        Of each colour, 0 to 1.
    for_kit : array_like, shape (n, 3), optional
        The same under D65/10° where that is known already.
    unlike
        The part of the garment, 0 to 1, that looked unlike these colours.

    Raises
    ------
    TenterError
        If colours, intervals and areas are not as many, or one of them cannot be a garment's.
    """
    seen, half = np.atleast_2d(given_array(lab, "Lab")), np.atleast_2d(given_array(half_width_90, "half-widths"))
    if seen.shape != half.shape or len(seen) != len(areas):
        raise TenterError(f"{len(seen)} colours came with {len(half)} intervals and {len(areas)} areas")
    bench = _to_bench(seen, D65_2) if for_kit is None else np.atleast_2d(given_array(for_kit, "Lab"))
    widths = np.hypot(half, _carried(seen, D65_2))
    return Garment(
        tuple(
            GarmentColour(_triple(value), _triple(width), float(area), KnownBy.PHOTO)
            for value, width, area in zip(bench, widths, areas, strict=True)
        ),
        unlike=unlike,
    )


def from_name(lab: Lab, half_width_90: Lab, name: str) -> Garment:
    """Return a garment known by a colour's name alone: a typical Lab (3,) under D65/10°, and how far such names reach.

    half_width_90 (3,): of L*, a* and b*.
    """
    return Garment((GarmentColour(lab, half_width_90, 1.0, KnownBy.NAME),), name)


def _one_lab(lab: ArrayLike) -> FloatArray:
    values = given_array(lab, "Lab")
    if values.shape != (3,) or not np.all(np.isfinite(values)):
        raise TenterError(_("a reading is L*, a* and b*, three finite numbers; got {lab}", lab=shown(lab)))
    return values


def _to_bench(lab: FloatArray, conditions: Conditions) -> FloatArray:
    """Return colours (..., 3) under D65/10°; one that no surface has goes through the nearest that one has."""
    if conditions == D65_10:
        return lab
    Colours(lab, conditions)
    found = recover_nearest_reflectance(np.atleast_2d(lab), conditions.illuminant, conditions.observer)
    return reflectance_to_lab(found, D65_10.illuminant, D65_10.observer).reshape(lab.shape)


def _carried(lab: FloatArray, conditions: Conditions) -> FloatArray:
    """Return the half-widths (..., 3) that carrying colours (..., 3) to D65/10° adds."""
    if conditions == D65_10:
        return np.zeros(lab.shape)
    whole = _OTHER_OBSERVER if conditions.illuminant == D65_10.illuminant else _OTHER_LIGHT
    share = np.interp(np.hypot(lab[..., 1], lab[..., 2]), _CHROMA, _SHARE)
    found: FloatArray = np.asarray(share)[..., None] * np.array(whole)
    return found


def _triple(values: ArrayLike) -> Lab:
    L, a, b = (float(v) for v in np.asarray(values, dtype=float))
    return L, a, b
