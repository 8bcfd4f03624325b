"""How cleanly a pair of cloths tests one axis: what else it differs in, and how much of it can be seen."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray, IntArray, steady
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import chroma
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.visibility import visibility
from tenter.consultation.laid_out.bench import MIDDLE_CUTS, Bench
from tenter.consultation.laid_out.coverage import LightnessLevel, countable, lightness_level
from tenter.consultation.laid_out.pair_on_skins import PairOnSkin, pair_on_skins
from tenter.language import _, all_of, pgettext

FEW_PAIRS = 60  # of one hue: with fewer left, pairs of two hues may be proposed too

# Common practice, no source: from this share of the squared distance on one axis a pair tests that axis.
CLEAN_SHARE = 0.7
# Another axis is named as mixed in from half of what a clean pair may leave to the other two.
_NAMED_SHARE = (1 - CLEAN_SHARE) / 2
_LEAST_STEP = 0.5  # bench units on the axis tested: half of what separates the middle from a marked trait
_WHITES_APART = 2.0  # L*: whites that differ by more do not match in lightness (practice threshold of a drifted cloth)
_HARDLY_VISIBLE = 0.5  # an undertone pair below half of a clear pair's effect on the chin can show little
_BEST_KEPT = 3


class Mixed(StrEnum):
    """What a pair differs in besides the axis that it is meant to test."""

    UNDERTONE = "undertone"
    DEPTH = "depth"
    CLARITY = "clarity"
    HUE = "hue"
    BRIGHTENER = "brightener"


@dataclass(frozen=True, slots=True)
class PairQuality:
    """How well two cloths test one axis.

    `step` is their distance on `axis` in bench units, `share` that axis's part of the squared distance, 0 to 1;
    `delta_e` (ΔE00), `lightness` (L*) and `chroma` (C*) are differences, at least 0; `visibility` tells how much of an
    undertone difference shows on the chin, from 0.25 to 1, and `on_skins` what the pair does to the skins of
    `PAIR_SKINS` (predictions). `mixed` is empty for a pair that tests one thing.
    """

    first: str
    second: str
    axis: Axis
    level: LightnessLevel
    step: float
    share: float
    delta_e: float
    lightness: float
    chroma: float
    visibility: float
    mixed: tuple[Mixed, ...]
    on_skins: tuple[PairOnSkin, ...]

    @property
    def hardly_visible(self) -> bool:
        """Whether so little light reaches the chin that an undertone cannot well be told."""
        return self.axis is Axis.UNDERTONE and self.visibility < _HARDLY_VISIBLE


@dataclass(frozen=True, slots=True)
class CleanPairs:
    """The pairs of one hue family that test one axis at one level: how many, and the best, no cloth of them twice."""

    axis: Axis
    level: LightnessLevel
    count: int
    best: tuple[PairQuality, ...]


def is_brightened(bench: Bench, row: int) -> bool:
    """Tell whether the cloth in a row of the kit is a white bluer than a surface without brightener can be.

    It then differs from others in more than lightness. The border, b* below -5 at L* above 90, is ours.
    """
    L, _, b = bench.kit.bench_colours.lab[row]
    return bench.kit.drapes[row].hue_family is HueFamily.WHITE and bool(L > 90 and b < -5)


def pair_quality(bench: Bench, first: str, second: str, axis: Axis | None = None) -> PairQuality:
    """Return how well two cloths, by id, test an axis: the one they differ in most when none is given.

    Raises `UnknownName` for a cloth that the kit does not have.
    """
    rows = np.array([bench.kit.row(first), bench.kit.row(second)])
    one, other = rows
    lab, x = bench.kit.bench_colours.lab[rows], bench.coordinates[rows]
    shares = _shares(x[:1] - x[1:])[0]
    tested = axis or list(Axis)[int(shares.argmax())]
    return PairQuality(
        first=first,
        second=second,
        axis=tested,
        level=lightness_level(float(x[:, Axis.DEPTH.column].mean())),
        step=steady(abs(float(x[0, tested.column] - x[1, tested.column]))),
        share=float(shares[tested.column]),
        delta_e=float(delta_e_2000(lab[0], lab[1])),
        lightness=abs(float(lab[0, 0] - lab[1, 0])),
        chroma=abs(float(chroma(lab[0]) - chroma(lab[1]))),
        visibility=float(visibility(bench.chins, rows[:1], rows[1:])[0]),
        mixed=tuple(_mixed_in(bench, int(one), int(other), shares, tested)),
        on_skins=pair_on_skins(bench.faces, int(one), int(other)),
    )


def mixed_words(bench: Bench, cloths: Sequence[str]) -> str:
    """Return what two cloths differ in besides what they test, as a sentence; empty where nothing, or not known."""
    rows = [bench.kit.row(cloth) for cloth in cloths]
    if len(rows) != 2 or not countable(bench)[rows].all():
        return ""
    pair = pair_quality(bench, cloths[0], cloths[1])
    if not pair.mixed:
        return ""
    things = [pgettext("differ in", thing) for thing in (pair.axis, *pair.mixed)]
    return _("These cloths differ in more than one thing: {things}.", things=all_of(things))


def _shares(apart: FloatArray) -> FloatArray:
    squares = apart**2
    shares: FloatArray = steady(squares / np.maximum(squares.sum(axis=1, keepdims=True), 1e-12))
    return shares


def _mixed_in(bench: Bench, one: int, other: int, shares: FloatArray, tested: Axis) -> Iterator[Mixed]:
    in_share = shares[tested.column] < CLEAN_SHARE
    one_brightened = is_brightened(bench, one) != is_brightened(bench, other)
    lab = bench.kit.bench_colours.lab
    for axis in Axis:
        of_whites = axis is Axis.DEPTH and one_brightened and steady(abs(lab[one, 0] - lab[other, 0])) > _WHITES_APART
        if axis is not tested and (of_whites or (in_share and shares[axis.column] >= _NAMED_SHARE)):
            yield Mixed(axis)
    if bench.families[one] != bench.families[other]:
        yield Mixed.HUE
    if one_brightened:
        yield Mixed.BRIGHTENER


def clean_pairs(bench: Bench) -> tuple[CleanPairs, ...]:
    """Return the clean pairs of a kit for every axis at every level, light first.

    Both cloths are measured, of one hue family and no metals; the pair mixes nothing in, steps at least half a bench
    unit and, where it tests undertone, shows at least half of a clear pair's effect. The best have the largest step for
    what else they differ in.
    """
    first, second = _comparable(bench)
    apart = bench.coordinates[first] - bench.coordinates[second]
    shares = _shares(apart)
    tested = shares.argmax(axis=1)
    every = np.arange(first.size)
    step, share = steady(np.abs(apart[every, tested])), shares[every, tested]
    hidden = (tested == Axis.UNDERTONE.column) & (visibility(bench.chins, first, second) < _HARDLY_VISIBLE)
    clean = np.flatnonzero((share >= CLEAN_SHARE) & (step >= _LEAST_STEP) & ~hidden)
    depths = (bench.coordinates[first, Axis.DEPTH.column] + bench.coordinates[second, Axis.DEPTH.column]) / 2
    levels = np.searchsorted(MIDDLE_CUTS, steady(depths[clean]))  # as `lightness_level` has them
    # A pair's worth is its step less what is mixed in, both in bench units.
    mixed_in = np.where(np.arange(len(Axis)) == tested[:, None], 0, apart)
    worth = steady(step - np.linalg.norm(mixed_in, axis=1))
    found = []
    for axis in Axis:
        for place, level in reversed(list(enumerate(LightnessLevel))):
            own = clean[(tested[clean] == axis.column) & (levels == place)]
            ranked = own[np.argsort(-worth[own], kind="stable")]
            found.append(CleanPairs(axis, level, own.size, _best_of(bench, first[ranked], second[ranked], axis)))
    return tuple(found)


def _comparable(bench: Bench) -> tuple[IntArray, IntArray]:
    """Return the pairs of one hue family, both cloths measured and neither or both of them brightened."""
    rows = np.flatnonzero(countable(bench))
    brightened = np.array([is_brightened(bench, row) for row in range(len(bench.kit))])
    one, other = np.triu_indices(rows.size, k=1)
    first, second = rows[one], rows[other]
    alike = (bench.families[first] == bench.families[second]) & (brightened[first] == brightened[second])
    return first[alike], second[alike]


def _best_of(bench: Bench, first: IntArray, second: IntArray, axis: Axis) -> tuple[PairQuality, ...]:
    used: set[int] = set()
    best: list[PairQuality] = []
    for one, other in zip(first, second, strict=True):
        if len(best) < _BEST_KEPT and not used & {int(one), int(other)}:
            used |= {int(one), int(other)}
            best.append(pair_quality(bench, bench.kit.ids[one], bench.kit.ids[other], axis))
    return tuple(best)
