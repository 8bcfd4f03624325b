"""Several readings of a cloth on one day, made into one colour: the mean, how far they spread, and why they might.

The spread is the mean colour difference from the mean (MCDM): the mean of ΔE00 between each reading and the mean of
them, as ASTM E2214, Standard Practice for Specifying and Verifying the Performance of Color-Measuring Instruments, has
it for repeatability (from memory; there with CIELAB differences).
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_10, Conditions
from tenter.colorimetry.spaces import Lab
from tenter.consultation.readings.cloth_reading import ClothReading, ConversionBasis, Ultraviolet, labs_under
from tenter.language import N_, Sentence, _, all_of_lazy, gettext_lazy, local_number, pgettext_lazy

WIDE_SPREAD = 1.0  # ΔE00, common practice, no source: above it a cloth is read again before it is believed
# ΔE00 between readings with and without ultraviolet from which a brightener is named. Ours, no source: about where two
# colours side by side look different.
BRIGHTENER_FROM = 1.0
_EXPLAINS = 0.5  # of the spread: what readings alike in one thing no longer have of it


@dataclass(frozen=True, slots=True)
class Brightener:
    """What a lamp's ultraviolet does to a cloth.

    bluer_by: b* without it less b* with it. delta_e: the ΔE00 between the two.
    """

    bluer_by: float
    delta_e: float

    @property
    def is_named(self) -> bool:
        """Whether the cloth is bluer by so much with ultraviolet that it has a brightener."""
        return bool(self.delta_e >= BRIGHTENER_FROM and self.bluer_by > 0)


@dataclass(frozen=True, slots=True)
class ClothSummary:
    """One cloth on one day. lab: the mean, CIELAB under `conditions`. mcdm, furthest: ΔE00 from it; None of one.

    readings: those that the mean is of; apart: readings without ultraviolet of a cloth that was also read with it.
    basis: how they became colours under these conditions. causes: what a wide spread probably comes from.
    """

    cloth: str
    day: str
    conditions: Conditions
    lab: Lab
    mcdm: float | None
    furthest: float | None
    readings: tuple[ClothReading, ...]
    apart: tuple[ClothReading, ...]
    basis: tuple[ConversionBasis, ...]
    causes: tuple[Sentence, ...]
    brightener: Brightener | None

    @property
    def is_wide(self) -> bool:
        """Whether the readings spread so far that the cloth is to be read again."""
        return self.mcdm is not None and self.mcdm > WIDE_SPREAD

    @property
    def warnings(self) -> tuple[str, ...]:
        """What to know before the colour is believed, in sentences."""
        found = []
        if self.is_wide and self.mcdm is not None:
            spread = local_number(self.mcdm, 1)
            said = _("The readings spread by ΔE00 {spread} from their mean.", spread=spread)
            found.append(" ".join((said, *map(str, self.causes))))
        if self.brightener is not None and self.brightener.is_named:
            by = local_number(self.brightener.bluer_by, 1)
            found.append(_("It has a brightener: with ultraviolet in the lamp it is bluer by {by} (b*).", by=by))
        return tuple(found)


def cloth_summaries(readings: Iterable[ClothReading], conditions: Conditions = D65_10) -> tuple[ClothSummary, ...]:
    """Return a summary for each cloth and day, cloths in the order in which they came first and days in theirs.

    Raises
    ------
    ImpossibleSurface
        If a colour without a spectrum is no surface's, and is wanted under another light.
    """
    every = list(readings)
    labs = labs_under(every, conditions)
    groups: dict[str, dict[str, list[int]]] = {}
    for place, one in enumerate(every):
        groups.setdefault(one.cloth, {}).setdefault(one.day, []).append(place)
    return tuple(
        _summary([every[k] for k in places], labs[places], conditions)
        for days in groups.values()
        for _, places in sorted(days.items())
    )


def brightened_cloths(readings: Iterable[ClothReading]) -> frozenset[str]:
    """Return the ids of cloths that any day's readings, with ultraviolet and without, show to have a brightener.

    Raises as `cloth_summaries`.
    """
    return frozenset(
        found.cloth for found in cloth_summaries(readings) if found.brightener is not None and found.brightener.is_named
    )


def _summary(readings: Sequence[ClothReading], labs: FloatArray, conditions: Conditions) -> ClothSummary:
    """Return the summary of one cloth's readings of one day, and their Lab (n, 3)."""
    without = np.array([one.how.uv is Ultraviolet.WITHOUT for one in readings])
    of_mean = ~without if not without.all() else without
    kept = [one for one, is_kept in zip(readings, of_mean, strict=True) if is_kept]
    mean = labs[of_mean].mean(axis=0)
    away = steady(delta_e_2000(labs[of_mean], mean))
    several = len(kept) > 1
    mcdm = float(away.mean()) if several else None
    L, a, b = (float(v) for v in mean)
    return ClothSummary(
        cloth=kept[0].cloth,
        day=kept[0].day,
        conditions=conditions,
        lab=(L, a, b),
        mcdm=mcdm,
        furthest=float(away.max()) if several else None,
        readings=tuple(kept),
        apart=tuple(one for one, is_kept in zip(readings, of_mean, strict=True) if not is_kept),
        basis=tuple(dict.fromkeys(one.basis_under(conditions) for one in kept)),
        causes=_causes(kept, labs[of_mean], mcdm) if mcdm is not None and mcdm > WIDE_SPREAD else (),
        brightener=_brightener(readings, labs),
    )


def _brightener(readings: Sequence[ClothReading], labs: FloatArray) -> Brightener | None:
    """Return what ultraviolet does; None unless there are readings with and without it."""
    sides = [
        [k for k, one in enumerate(readings) if one.how.uv is uv] for uv in (Ultraviolet.WITH, Ultraviolet.WITHOUT)
    ]
    if not all(sides):
        return None
    lit, unlit = (labs[places].mean(axis=0) for places in sides)
    return Brightener(steady(float(unlit[2] - lit[2])), steady(float(delta_e_2000(lit, unlit))))


# What may differ between readings, as it is recorded, and what is then to be done.
_CAUSES: tuple[tuple[str, Callable[[ClothReading], object], str], ...] = (
    ("direction", lambda one: one.how.direction, N_("the pile direction; read it always the same way")),
    (
        "folds",
        lambda one: one.how.folds,
        N_("the folds: what lay under it showed through; lay it in four or more"),
    ),
    ("backing", lambda one: one.how.backing, N_("the backing, which showed through; lay the cloth in four or more")),
    ("place", lambda one: one.how.place, N_("the place on the cloth: it is dyed, faded or soiled unevenly")),
    ("instrument", lambda one: one.how.instrument, N_("the instrument; read a cloth always with the same one")),
)
READ_WITH = tuple(name for name, _value, _said in _CAUSES)
_NOTHING_RECORDED = gettext_lazy(
    "Nothing recorded says why; pile, shine or a single layer may. Read it in four folds, always in one direction."
)


def _causes(readings: Sequence[ClothReading], labs: FloatArray, mcdm: float) -> tuple[Sentence, ...]:
    """Return what a wide spread probably comes from: things in which readings alike no longer spread.

    Where every reading differs from every other in a thing, it may be a cause and cannot be shown to be the one.
    """
    shown, possible = [], []
    for name, value, said in _CAUSES:
        groups = [
            [k for k, one in enumerate(readings) if value(one) == v]
            for v in dict.fromkeys(value(one) for one in readings)
        ]
        if len(groups) < 2:
            continue
        if len(groups) == len(readings):
            possible.append((name, said))
        elif _spread_within(labs, groups) <= _EXPLAINS * mcdm:
            shown.append(said)
    if shown:
        return (gettext_lazy("It probably comes from {cause}.", cause=gettext_lazy(shown[0])),)
    if len(possible) == 1:
        return (gettext_lazy("The likely cause is {cause}.", cause=gettext_lazy(possible[0][1])),)
    if possible:
        things = all_of_lazy([pgettext_lazy("of a reading", name) for name, _said in possible])
        return (gettext_lazy("The readings differ in {things}. Vary one at a time to see which.", things=things),)
    return (_NOTHING_RECORDED,)


def _spread_within(labs: FloatArray, groups: Sequence[Sequence[int]]) -> float:
    """Return the mean ΔE00 of readings from the mean of their own group, over the groups of more than one."""
    away = [delta_e_2000(labs[group], labs[group].mean(axis=0)) for group in map(list, groups) if len(group) > 1]
    return float(np.concatenate(away).mean())
