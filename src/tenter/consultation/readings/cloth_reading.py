"""One reading of one cloth: its colour, and how and when it was taken. Readings are only ever added to."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, time
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.measurement import D65_10, Colours, Conditions
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.spaces import Lab
from tenter.consultation.cloths.kit import PLAUSIBLE_LAB
from tenter.errors import TenterError, UnknownName
from tenter.given import given_number, given_text, given_whole, of_kind, shown
from tenter.language import _

MOST_FOLDS = 64  # layers: more than any cloth is laid in to be opaque
_LONGEST = 120  # letters of what a person writes beside a reading: a line of a list
MOST_REFLECTANCE = 2.0  # twice a perfect white: more than any brightener sends back


class Ultraviolet(StrEnum):
    """Whether the lamp of the instrument had ultraviolet in it, which makes a brightener glow."""

    WITH = "with"
    WITHOUT = "without"
    UNKNOWN = "unknown"


class GivenAs(StrEnum):
    """What a reading was given as, before it became Lab."""

    LAB = "Lab"
    LCH = "LCh"
    XYZ = "XYZ"
    SPECTRUM = "spectrum"
    PHOTOGRAPH = "photograph"


class ConversionBasis(StrEnum):
    """How far a reading's colour under a light is its own."""

    MEASURED = "measured"  # given under this very light and observer
    COMPUTED = "computed from the spectrum"
    PREDICTED = "predicted, not measured"  # carried there by a reflectance recovered from one Lab value


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingCircumstances:
    """How and when a reading was taken. What the file says of a row counts before what is given for the whole.

    day: ISO date. time: ISO time or empty. folds: layers of cloth under the instrument, None where nobody said.
    direction: of the pile or weave under it. place: on the cloth. backing: what lay under it. Raises `TenterError` for
    what is no day, time, text or number of folds, and `UnknownName` for another word about ultraviolet.
    """

    day: str
    time: str = ""
    instrument: str = ""
    backing: str = ""
    folds: int | None = None
    direction: str = ""
    place: str = ""
    uv: Ultraviolet = Ultraviolet.UNKNOWN
    note: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "day", day_from(self.day))
        object.__setattr__(self, "time", _time_from(self.time))
        for name in ("instrument", "backing", "direction", "place", "note"):
            text = given_text(getattr(self, name), _("“{name}” of a reading", name=name), needed=False)
            object.__setattr__(self, name, " ".join(text.split())[:_LONGEST])
        if self.folds is not None:
            given_whole(self.folds, _("the number of folds"), 1, MOST_FOLDS)
        object.__setattr__(self, "uv", ultraviolet_from(self.uv))


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothReading:
    """One reading. lab: CIELAB under `conditions`; with a spectrum, computed from it.

    reflectance (81,): on `WAVELENGTHS_NM`, None where only a colour was given. half_width_90: of L*, a* and b*, known
    of a photograph. source, row: the file and the place in it that the reading came from. Raises `TenterError` for a
    colour, a reflectance or a half-width that no cloth has, and for a part of another kind.
    """

    cloth: str
    lab: Lab
    conditions: Conditions
    how: ReadingCircumstances
    given_as: GivenAs = GivenAs.LAB
    reflectance: tuple[float, ...] | None = None
    half_width_90: Lab | None = None
    source: str = ""
    row: int = 0

    def __post_init__(self) -> None:
        object.__setattr__(self, "cloth", cloth_name(self.cloth))
        of_kind(
            Conditions,
            self.conditions,
            "the conditions of a reading",
            "tenter.colorimetry.measurement.Conditions",
        )
        of_kind(ReadingCircumstances, self.how, "how a reading was taken", "ReadingCircumstances")
        object.__setattr__(self, "lab", plausible_lab(self.lab))
        if self.reflectance is not None:
            object.__setattr__(self, "reflectance", _checked_reflectance(self.reflectance))
        if self.half_width_90 is not None:
            L, a, b = (given_number(v, _("a half-width"), 0, PLAUSIBLE_LAB["b"][1]) for v in _three(self.half_width_90))
            object.__setattr__(self, "half_width_90", (L, a, b))

    @property
    def day(self) -> str:
        """The day of the reading, as an ISO date."""
        return self.how.day

    def basis_under(self, conditions: Conditions) -> ConversionBasis:
        """Return how the reading's colour under a light and observer is known."""
        if self.reflectance is not None:
            return ConversionBasis.COMPUTED
        return ConversionBasis.MEASURED if conditions == self.conditions else ConversionBasis.PREDICTED

    @property
    def identity(self) -> tuple[object, ...]:
        """What makes it this reading and no other, whatever file and row it came from."""
        return (self.cloth, self.how, self.conditions, self.given_as, self.lab, self.reflectance, self.half_width_90)

    @property
    def dayless_identity(self) -> tuple[object, ...]:
        """The same without the day, for a file that names none and may have been added on another."""
        return ClothReading(
            cloth=self.cloth, lab=self.lab, conditions=self.conditions, how=replace(self.how, day=date.min.isoformat()),
            given_as=self.given_as, reflectance=self.reflectance, half_width_90=self.half_width_90,
        ).identity  # fmt: skip


def spectral_reading(
    cloth: str,
    reflectance: Sequence[float],
    how: ReadingCircumstances,
    conditions: Conditions = D65_10,
    source: str = "",
    row: int = 0,
) -> ClothReading:
    """Return the reading of a spectrum, with its Lab under `conditions`.

    reflectance (81,): on `WAVELENGTHS_NM`, 0 to 1. Raises `TenterError` for one that no cloth has.
    """
    spectrum = _checked_reflectance(reflectance)
    L, a, b = steady(reflectance_to_lab(np.array(spectrum), conditions.illuminant, conditions.observer)).tolist()
    return ClothReading(
        cloth=cloth, lab=(L, a, b), conditions=conditions, how=how, given_as=GivenAs.SPECTRUM,
        reflectance=spectrum, source=source, row=row,
    )  # fmt: skip


def labs_under(readings: Sequence[ClothReading], conditions: Conditions) -> FloatArray:
    """Return CIELAB (n, 3) of readings under one light and observer, each the best way that it allows.

    Raises
    ------
    ImpossibleSurface
        If a colour without a spectrum is no surface's, so that nobody knows it under another light.
    """
    lab = np.array([one.lab for one in readings], dtype=float).reshape(-1, 3)
    spectral = [k for k, one in enumerate(readings) if one.reflectance is not None]
    if spectral:
        spectra = np.array([readings[k].reflectance for k in spectral], dtype=float)
        lab[spectral] = reflectance_to_lab(spectra, conditions.illuminant, conditions.observer)
    others = {one.conditions for one in readings if one.basis_under(conditions) is ConversionBasis.PREDICTED}
    for own in sorted(others, key=str):
        rows = [k for k, one in enumerate(readings) if one.reflectance is None and one.conditions == own]
        for start in range(0, len(rows), _AT_ONCE):
            some = rows[start : start + _AT_ONCE]
            lab[some] = Colours(lab[some], own).under(conditions).lab
    return lab


_AT_ONCE = 500  # colours whose reflectance is recovered together: 30 MB


def plausible_lab(values: object) -> Lab:
    """Return three finite numbers that can be a cloth's L*, a* and b*, or raise `TenterError`."""
    named = zip(_three(values), PLAUSIBLE_LAB.items(), strict=True)
    L, a, b = (given_number(value, f"{axis}*", low, high) for value, (axis, (low, high)) in named)
    return L, a, b


def cloth_name(value: object) -> str:
    """Return a cloth's name on one line, or raise `TenterError`."""
    name = " ".join(given_text(value, _("a cloth's number")).split())
    if len(name) > _LONGEST or not name.isprintable():
        raise TenterError(
            _(
                "{value} cannot be a cloth's number; it is at most {longest} letters on one line",
                value=shown(value),
                longest=_LONGEST,
            )
        )
    return name


def day_from(value: object) -> str:
    """Return a day as an ISO date; 29.11.2026 is understood too, and 11/12/2026 is not, as it may be two days.

    Raises `TenterError` for what is no day.
    """
    text = given_text(value, _("a day")).strip()
    parts = text.split(".")
    if len(parts) == 3 and all(part.isdecimal() for part in parts):
        text = f"{parts[2]}-{parts[1]:0>2}-{parts[0]:0>2}"
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise TenterError(_("{value} is no day; write it as 2026-11-29", value=shown(value))) from None


def _time_from(value: object) -> str:
    text = given_text(value, _("a time"), needed=False).strip()
    try:
        return time.fromisoformat(text).replace(microsecond=0, tzinfo=None).isoformat() if text else ""
    except ValueError:
        raise TenterError(_("{value} is no time; write it as 14:30", value=shown(value))) from None


def ultraviolet_from(value: object) -> Ultraviolet:
    """Return whether the lamp had ultraviolet in it, as one of the words names it, or raise `UnknownName`."""
    try:
        return Ultraviolet(str(value).strip().lower())
    except ValueError:
        raise UnknownName(_("word for ultraviolet"), value, Ultraviolet) from None


def _three(values: object) -> tuple[object, object, object]:
    found = tuple(values) if isinstance(values, tuple | list | np.ndarray) else ()
    if len(found) != 3:
        raise TenterError(_("a colour has three numbers; got {values}", values=shown(values)))
    return found[0], found[1], found[2]


def _checked_reflectance(values: object) -> tuple[float, ...]:
    found = tuple(values) if isinstance(values, tuple | list | np.ndarray) else ()
    if len(found) != WAVELENGTHS_NM.size:
        raise TenterError(
            _(
                "a reading's spectrum has {size} values, 380-780 nm every 5 nm; got {count}",
                size=WAVELENGTHS_NM.size,
                count=len(found),
            )
        )
    return tuple(given_number(value, _("a reflectance"), 0, MOST_REFLECTANCE) for value in found)
