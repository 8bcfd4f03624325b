"""What a light does to a kit and to skin: which cloths it changes most, which pairs it spoils, which it parts.

Everything is seen by an eye that has adapted to the light (CAT16), against the same eye in D65. Where a cloth's
spectrum was not measured, a smooth one that has its colour stands for it: a prediction, and said so. A cloth with a
brightener glows by the light's ultraviolet, of which neither spectrum tells: it is left out, and said so too.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from tenter.arrays import ArrayLike, BoolArray, FloatArray, IntArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.lights.adapted_look import adapted_lab
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.colorimetry.reflectance import recover_nearest_reflectance, reflectance_to_lab
from tenter.colorimetry.typology import skins_by_ita_class
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.cloths.roles import kit_tests
from tenter.consultation.conventions.method import Method
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.pair_quality import Mixed, clean_pairs, is_brightened, pair_quality
from tenter.consultation.words.difference_words import difference_parts
from tenter.errors import TenterError, UnknownName
from tenter.language import _, all_of, ngettext, pgettext

_ALIKE = 2.0  # ΔE00 in daylight up to which two cloths pass for one colour (practice threshold of near-duplicates)
_PARTED = 1.0  # ΔE00 by which the light changes their difference, from which the pair counts as metameric (ours)
_SAID = 0.5  # ΔE00 of one part of a change, from which it is put into words (ours): half of what is seen side by side


@dataclass(frozen=True, slots=True)
class LookShift:
    """How a surface looks under the light, against D65.

    name: a cloth's id or a skin's class. title: the cloth's name. delta_e: ΔE00. delta_lab: the change of L*, a*, b*.
    words: the change in words. measured: whether its spectrum was.
    """

    name: str
    title: str
    delta_e: float
    delta_lab: tuple[float, float, float]
    words: str
    measured: bool


@dataclass(frozen=True, slots=True)
class SpoiltPair:
    """A pair that tests one axis cleanly in daylight, and what is mixed in under the light."""

    first: str
    second: str
    axis: Axis
    mixed: tuple[Mixed, ...]


@dataclass(frozen=True, slots=True)
class PartedPair:
    """Two cloths of nearly one colour in daylight that part under the light, or match only there.

    in_daylight, under_light: ΔE00 between them.
    """

    first: str
    second: str
    in_daylight: float
    under_light: float


@dataclass(frozen=True, slots=True)
class LightOnKit:
    """What a light does to a kit and to skin.

    cloths: the most changed first; metals, brightened and unmeasured ones are left out. skins: by class, the lightest
    first. spoilt: of `pairs_tried` clean pairs. parted: metameric pairs; None where fewer than two spectra were
    measured, for recovered ones cannot show them. recovered: how many cloths are known by their colour alone.
    brightened: the ids of cloths that are left out, as their look hangs on ultraviolet.
    """

    cloths: tuple[LookShift, ...]
    skins: tuple[LookShift, ...]
    spoilt: tuple[SpoiltPair, ...]
    pairs_tried: int
    parted: tuple[PartedPair, ...] | None
    recovered: int
    brightened: tuple[str, ...]

    @property
    def caveats(self) -> tuple[str, ...]:
        """What is to be said of cloths without a measured spectrum, and of those whose look hangs on ultraviolet."""
        return tuple(said for said in (self._of_recovered, self._of_brightened) if said)

    @property
    def _of_brightened(self) -> str:
        if not self.brightened:
            return ""
        return ngettext(
            "{cloths} has a brightener. How it looks depends on the ultraviolet in this light, which was not "
            "measured, so it is left out.",
            "{cloths} have a brightener. How they look depends on the ultraviolet in this light, which was not "
            "measured, so they are left out.",
            len(self.brightened),
            cloths=all_of(self.brightened),
        )

    @property
    def _of_recovered(self) -> str:
        if not self.recovered:
            return ""
        every = len(self.cloths)
        known = (
            _(
                "All {every} cloths are known by their colour alone, so that the change is predicted with a smooth "
                "spectrum; a real dye may change more.",
                every=every,
            )
            if self.recovered == every > 1
            else _(
                "{recovered} of {every} cloths are known by their colour alone, so that the change is predicted with a "
                "smooth spectrum; a real dye may change more.",
                recovered=self.recovered,
                every=every,
            )
        )
        return f"{known} " + _(
            "Pairs that match in daylight and part under this light show only where the spectra of both were measured."
        )


def light_on_kit(
    power: FloatArray,
    kit: Kit,
    method: Method,
    spectra: Mapping[str, FloatArray] | None = None,
    brightened: Collection[str] = (),
) -> LightOnKit:
    """Return what a light of power (81,) does to a kit under a method.

    spectra: measured reflectances (81,) of cloths, by id. brightened: ids of cloths whose readings show a brightener;
    whites that are bluer than any without one are known by their colour.

    Raises
    ------
    UnknownName
        If a spectrum is of no cloth of the kit.
    TenterError
        If it is not sampled on `WAVELENGTHS_NM`.
    """
    reflectance, measured = _reflectances(kit, spectra or {})
    by_day = _with_measured(kit.bench_colours.lab, reflectance, measured)
    seen = adapted_lab(reflectance, power, D65_10.observer)
    day, here = (Bench.of(_recoloured(kit, lab), method) for lab in (by_day, seen))
    cloths = [k for k, d in enumerate(kit.drapes) if d.measured and not d.is_metal]
    glowing = tuple(kit.ids[k] for k in cloths if is_brightened(day, k) or kit.ids[k] in brightened)
    rows = np.array([k for k in cloths if kit.ids[k] not in glowing], dtype=np.intp)
    shifts = look_shifts([(kit.ids[k], kit.drapes[k].name) for k in rows], by_day[rows], seen[rows], measured[rows])
    spoilt, tried = _spoilt_pairs(day, here, glowing)
    return LightOnKit(
        cloths=tuple(sorted(shifts, key=lambda s: -steady(s.delta_e))),
        skins=_skin_shifts(power),
        spoilt=spoilt,
        pairs_tried=tried,
        parted=_parted_pairs(kit, by_day, seen, rows[measured[rows]]),
        recovered=int((~measured[rows]).sum()),
        brightened=glowing,
    )


def look_shifts(
    names: Sequence[tuple[str, str]], by_day: FloatArray, seen: FloatArray, measured: BoolArray
) -> list[LookShift]:
    """Return the change of each of n surfaces between two looks, CIELAB (n, 3) under D65/10° both.

    names: of each, name and title.
    """
    change, size = steady(seen - by_day), delta_e_2000(by_day, seen)
    return [
        LookShift(*name, float(size[k]), tuple(change[k].tolist()), look_words(by_day[k], seen[k]), bool(measured[k]))
        for k, name in enumerate(names)
    ]


def look_words(before: ArrayLike, after: ArrayLike) -> str:
    """Return the change of a colour in words, CIELAB (3,) both, as "lighter and yellower"; the largest part first."""
    seen = [word for size, word in difference_parts(before, after) if steady(size) >= _SAID]
    return all_of([pgettext("difference", word) for word in seen]) or pgettext("difference", "hardly changed")


def _reflectances(kit: Kit, spectra: Mapping[str, FloatArray]) -> tuple[FloatArray, BoolArray]:
    """Return reflectances (n, 81), measured where they are known, and which are."""
    for name in spectra:
        if name not in kit:
            raise UnknownName(_("cloth with a spectrum"), name, kit.ids)
    found = recover_nearest_reflectance(kit.bench_colours.lab, D65_10.illuminant, D65_10.observer)
    for name, values in spectra.items():
        if np.shape(values) != WAVELENGTHS_NM.shape:
            raise TenterError(
                _("the spectrum of {name} is not sampled at 380-780 nm every 5 nm; resample it", name=name)
            )
        found[kit.row(name)] = values
    return found, np.array([name in spectra for name in kit.ids])


def _with_measured(lab: FloatArray, reflectance: FloatArray, measured: BoolArray) -> FloatArray:
    by_day = lab.copy()
    by_day[measured] = reflectance_to_lab(reflectance[measured], D65_10.illuminant, D65_10.observer)
    return by_day


def _recoloured(kit: Kit, lab: FloatArray) -> Kit:
    return Kit(kit.drapes, Colours(lab, D65_10))


def _spoilt_pairs(by_day: Bench, seen: Bench, glowing: Collection[str]) -> tuple[tuple[SpoiltPair, ...], int]:
    """Return the pairs that are clean by day and not under the light, and how many are clean by day.

    Pairs with a glowing cloth are left out.
    """
    tried, spoilt = 0, []
    for first, second, axis in dict.fromkeys(_meant_pairs(by_day)):
        if first in glowing or second in glowing or pair_quality(by_day, first, second, axis).mixed:
            continue
        tried += 1
        mixed = pair_quality(seen, first, second, axis).mixed
        if mixed:
            spoilt.append(SpoiltPair(first, second, axis, mixed))
    return tuple(spoilt), tried


def _meant_pairs(bench: Bench) -> Iterator[tuple[str, str, Axis]]:
    """Yield the pairs that the kit's roles name, and the best clean ones of each axis and level."""
    for test in kit_tests(bench.kit):
        for one, other in test.pairs:
            if not (one.is_metal or other.is_metal):  # whose one colour says little
                yield one.id, other.id, test.axis
    for group in clean_pairs(bench):
        yield from ((pair.first, pair.second, pair.axis) for pair in group.best)


def _parted_pairs(kit: Kit, by_day: FloatArray, seen: FloatArray, rows: IntArray) -> tuple[PartedPair, ...] | None:
    if rows.size < 2:
        return None
    found = []
    for one, other in combinations(rows, 2):
        apart = float(delta_e_2000(by_day[one], by_day[other]))
        here = float(delta_e_2000(seen[one], seen[other]))
        if steady(apart) < _ALIKE and steady(abs(here - apart)) >= _PARTED:
            found.append(PartedPair(kit.ids[one], kit.ids[other], apart, here))
    return tuple(sorted(found, key=lambda pair: -steady(abs(pair.under_light - pair.in_daylight))))


def _skin_shifts(power: FloatArray) -> tuple[LookShift, ...]:
    skins = np.stack(list(skins_by_ita_class().values()))
    by_day = reflectance_to_lab(skins, D65_10.illuminant, D65_10.observer)
    seen = adapted_lab(skins, power, D65_10.observer)
    return tuple(
        look_shifts([(name, "") for name in skins_by_ita_class()], by_day, seen, np.ones(len(skins), dtype=bool))
    )
