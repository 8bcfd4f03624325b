"""The kit audit: which cloths double, which test pairs test more than one thing or can show little, what is missing.

It reads colours, hue families and roles; the shopkeeper's groups decide nothing here either.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from math import comb

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.real_surfaces import most_chroma
from tenter.colorimetry.spaces import lab_to_lch
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape, Kit
from tenter.consultation.cloths.roles import KitTest, kit_tests
from tenter.consultation.conventions.method import Method
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.laid_out.close_pairs import close_pairs
from tenter.consultation.laid_out.coverage import Gap, KitCoverage, cloths_by_category, countable, gaps, kit_coverage
from tenter.consultation.laid_out.pair_quality import (
    FEW_PAIRS,
    CleanPairs,
    Mixed,
    PairQuality,
    clean_pairs,
    pair_quality,
)
from tenter.consultation.words.odds_words import Degree, degree
from tenter.consultation.words.traits import trait_word
from tenter.language import N_, Catalogue, _, all_of, language, local_number, ngettext, pgettext

# Common practice, no source: below ΔE00 2 two cloths are one. Readings of one cloth may spread by 1 before they are
# taken again, so below 3 two cloths may turn out to be one.
ONE_CLOTH, _READING_SPREAD = 2.0, 1.0
ENOUGH_CLOTHS = 5  # of each category: the five that the first page of a reading sheet shows; common practice, no source
_POINTER_LIGHTNESS = (15.0, 90.0)  # L*: the ends of Pointer's table
_STRONGER_THAN_REAL = 10.0  # C*ab beyond Pointer's limit, which a few dyes exceed: common practice, no source
_MOST_NAMED = 6  # in one sentence
_TELLING = (Degree.MARKED, Degree.STRONG)
_ENOUGH_PAIRS = 3  # of clean pairs for each axis at each level: common practice, no source
_FEW_PAIRS_TEST = (  # by how many there are
    N_("No clean pair tests {axis} among {level} cloths; {wanted} are wanted."),
    N_("Only one clean pair tests {axis} among {level} cloths; {wanted} are wanted."),
    N_("Only two clean pairs test {axis} among {level} cloths; {wanted} are wanted."),
)


class FindingKind(StrEnum):
    """What an audit may find."""

    NEAR_DUPLICATE = "near duplicate"
    LOOK_ALIKE = "look-alike"
    MIXED_PAIR = "mixed pair"
    HARDLY_VISIBLE = "hardly visible"
    GLOSS = "gloss"
    MEASURE_AGAIN = "measure again"
    TOO_FEW_PAIRS = "too few clean pairs"
    TOO_FEW_CLOTHS = "too few cloths"
    SMALL_KIT = "small kit"
    GAP = "gap"
    UNMEASURED = "not measured"
    DECIDES_NOTHING = "decides nothing"


@dataclass(frozen=True, slots=True)
class KitFinding:
    """One thing to know of a kit: the cloths concerned, a sentence for the consultant, and what to do."""

    kind: FindingKind
    cloths: tuple[str, ...]
    text: str
    advice: str


@dataclass(frozen=True, slots=True)
class TestQuality:
    """A test that the kit's roles name, and how well each of its pairs does; empty for metals, which only confirm."""

    __test__ = False  # a test of cloths; nothing for pytest to collect

    name: str
    axis: Axis
    cloths: tuple[str, ...]
    pairs: tuple[PairQuality, ...]


@dataclass(frozen=True, slots=True)
class KitAudit:
    """All that an audit says. Counted and measured, but for `visibility`, which is predicted."""

    cloths: int
    coverage: KitCoverage
    gaps: tuple[Gap, ...]
    tests: tuple[TestQuality, ...]
    clean_pairs: tuple[CleanPairs, ...]
    findings: tuple[KitFinding, ...]

    def of_kind(self, kind: FindingKind) -> tuple[KitFinding, ...]:
        """Return the findings of one kind."""
        return tuple(f for f in self.findings if f.kind is kind)


def audit(kit: Kit, method: Method) -> KitAudit:
    """Return the audit of a kit under a method, in the language that is written; kept for the last few.

    Its limits are common practice, no source.
    """
    return _audit(kit, method, language())


@lru_cache(maxsize=4)
def _audit(kit: Kit, method: Method, _language: Catalogue) -> KitAudit:
    bench = bench_of(kit, method)
    empty, clean = gaps(bench), clean_pairs(bench)
    tests = tuple(_quality(bench, test) for test in kit_tests(kit))
    findings = (
        *_doubles(bench),
        *_pair_findings(kit, tests, clean),
        *_measure_again(bench),
        *_gloss(kit),
        *_too_few(clean),
        *_too_few_cloths(bench),
        *_small_kit(bench),
        *(_gap_finding(kit, gap) for gap in empty),
        *_unmeasured(kit),
    )
    return KitAudit(len(kit), kit_coverage(bench), empty, tests, clean, findings)


def _quality(bench: Bench, test: KitTest) -> TestQuality:
    pairs = [(a, b) for a, b in test.pairs if not (a.is_metal or b.is_metal)]
    return TestQuality(
        test.name,
        test.axis,
        tuple(c.id for c in test.cloths),
        tuple(pair_quality(bench, a.id, b.id, test.axis) for a, b in pairs),
    )


def cloth_named(drape: Drape) -> str:
    """Return a cloth's name with its id, "Cold Harbour (D024)"; the id alone where it has no other name."""
    return drape.id if drape.name == drape.id else f"{drape.name} ({drape.id})"


def _doubles(bench: Bench) -> Iterator[KitFinding]:
    rows = np.flatnonzero(countable(bench))
    pairs, apart = close_pairs(bench.kit.bench_colours.lab[rows], ONE_CLOTH + _READING_SPREAD)
    for (one, other), delta_e in zip(rows[pairs], apart, strict=True):
        yield _double(bench.kit.drapes[one], bench.kit.drapes[other], float(delta_e))


def _double(first: Drape, second: Drape, delta_e: float) -> KitFinding:
    both, ids = all_of([cloth_named(first), cloth_named(second)]), (first.id, second.id)
    apart = local_number(delta_e, 1)
    if delta_e < ONE_CLOTH:
        return KitFinding(
            FindingKind.NEAR_DUPLICATE,
            ids,
            _("{both} differ by ΔE00 {apart}: they are one cloth to the eye.", both=both, apart=apart),
            _("Keep one on the rail and the other as its spare; never hold them against each other."),
        )
    return KitFinding(
        FindingKind.LOOK_ALIKE,
        ids,
        _("{both} differ by ΔE00 {apart}, little more than readings of one cloth may.", both=both, apart=apart),
        _("Measure both again. Below ΔE00 2, one of them is a spare."),
    )


def _pair_findings(kit: Kit, tests: Sequence[TestQuality], clean: Sequence[CleanPairs]) -> Iterator[KitFinding]:
    for pair in (p for test in tests for p in test.pairs):
        ids, both = (pair.first, pair.second), all_of([cloth_named(kit[pair.first]), cloth_named(kit[pair.second])])
        if pair.mixed:
            text = _(
                "{both} are meant to test {axis}, but {mixed}.",
                both=both,
                axis=pgettext("axis", pair.axis),
                mixed=_what_is_mixed(pair),
            )
            yield KitFinding(FindingKind.MIXED_PAIR, ids, text, _advice_on_mixed(kit, pair, clean))
        if pair.hardly_visible:
            text = _(
                "{both} throw so little light that the chin shows at most {share} % of what a clear pair shows, so "
                "“nothing seen” on them means almost nothing.",
                both=both,
                share=local_number(100 * pair.visibility, 0),
            )
            yield KitFinding(FindingKind.HARDLY_VISIBLE, ids, text, _instead(kit, pair, clean))


def _what_is_mixed(pair: PairQuality) -> str:
    brightened = Mixed.BRIGHTENER in pair.mixed
    others = [
        pgettext("differ in", m)
        for m in pair.mixed
        if m is not Mixed.BRIGHTENER and not (brightened and m is Mixed.DEPTH)
    ]
    said = []
    if brightened:
        one = _("only one is brightened and changes with the ultraviolet in the light")
        apart = local_number(pair.lightness, 1)
        said.append(
            _("{one}, and they are {apart} L* apart", one=one, apart=apart) if Mixed.DEPTH in pair.mixed else one
        )
    if others and set(pair.mixed) <= {Mixed.HUE, Mixed.BRIGHTENER}:  # hue is no axis, so no share of anything is its
        said.append(_("they differ in {others} too", others=all_of(others)))
    elif others:
        said.append(
            _(
                "they differ in {others} too ({share} % of the difference is {axis})",
                others=all_of(others),
                share=local_number(100 * pair.share, 0),
                axis=pgettext("axis", pair.axis),
            )
        )
    return "; ".join(said)


def _advice_on_mixed(kit: Kit, pair: PairQuality, clean: Sequence[CleanPairs]) -> str:
    if Mixed.BRIGHTENER in pair.mixed:
        return _(
            "An answer on them is about all of that. For undertone alone, hold whites of one lightness, without "
            "brightener."
        )
    return _instead(kit, pair, clean)


def _instead(kit: Kit, pair: PairQuality, clean: Sequence[CleanPairs]) -> str:
    """Return what to hold instead: the best clean pair of the axis, of the same level if one is there."""
    best = [b for c in clean if c.axis is pair.axis for b in c.best if {b.first, b.second} != {pair.first, pair.second}]
    best.sort(key=lambda b: b.level is not pair.level)
    if not best:
        return _("Look for two cloths of one hue that differ in {axis} alone.", axis=pgettext("axis", pair.axis))
    both = all_of([cloth_named(kit[best[0].first]), cloth_named(kit[best[0].second])])
    return _("For {axis} hold {both} instead.", axis=pgettext("axis", pair.axis), both=both)


def _measure_again(bench: Bench) -> Iterator[KitFinding]:
    """Yield one finding of cloths stronger than real surfaces. Whites, which brighteners tint, and metals are left out.

    Pointer's table begins at L* 15 and ends at 90; beyond them a colour is held against its ends.
    """
    coloured = np.array([drape.hue_family is not HueFamily.WHITE for drape in bench.kit.drapes])
    colours = np.flatnonzero(countable(bench) & coloured)
    if not colours.size:
        return
    lightness, chroma, hue = lab_to_lch(bench.kit.bench_colours.lab[colours]).T
    odd = steady(chroma - most_chroma(np.clip(lightness, *_POINTER_LIGHTNESS), hue)) > _STRONGER_THAN_REAL
    cloths = [bench.kit.drapes[row] for row in colours[odd]]
    if cloths:
        left = len(cloths) - _MOST_NAMED
        more = [ngettext("{count} more", "{count} more", left)] if left > 0 else []
        named = all_of([*map(cloth_named, cloths[:_MOST_NAMED]), *more])
        yield KitFinding(
            FindingKind.MEASURE_AGAIN,
            tuple(d.id for d in cloths),
            ngettext(
                "{named} has a colour stronger than nearly all real surfaces.",
                "{named} have colours stronger than nearly all real surfaces.",
                len(cloths),
                named=named,
            ),
            _("Check the signs and the decimal points, and measure again. Only a fluorescent cloth is so strong."),
        )


def _gloss(kit: Kit) -> Iterator[KitFinding]:
    metals = [d for d in kit.drapes if d.is_metal]
    if metals:
        names = all_of([cloth_named(d) for d in metals])
        yield KitFinding(
            FindingKind.GLOSS,
            tuple(d.id for d in metals),
            ngettext(
                "{names} shines: one reading says little, so the undertone is set by hand.",
                "{names} shine: one reading says little, so the undertone is set by hand.",
                len(metals),
                names=names,
            ),
            _("Let metals confirm what cloths have shown; read them in several directions and keep the spread."),
        )


def _too_few(clean: Sequence[CleanPairs]) -> Iterator[KitFinding]:
    without = [found for found in clean if not found.count]
    if len(without) > 1:
        yield _no_pairs(without, len(without) == len(clean))
    for found in clean:
        if found.count < _ENOUGH_PAIRS and (found.count or len(without) == 1):
            words = {"axis": pgettext("axis", found.axis), "level": pgettext("of cloths", found.level)}
            yield KitFinding(
                FindingKind.TOO_FEW_PAIRS,
                tuple(dict.fromkeys(i for b in found.best for i in (b.first, b.second))),
                _(_FEW_PAIRS_TEST[found.count], wanted=_ENOUGH_PAIRS, **words),
                _("Look for {level} cloths of one hue that differ in {axis} alone.", **words),
            )


def _no_pairs(without: Sequence[CleanPairs], all_of_them: bool) -> KitFinding:
    """Return one finding of all the axes and levels that no clean pair tests."""
    levels = {axis: [pgettext("of cloths", one.level) for one in without if one.axis is axis] for axis in Axis}
    where = "; ".join(
        _("{axis} among {levels} cloths", axis=pgettext("axis", axis), levels=all_of(among))
        for axis, among in levels.items()
        if among
    )
    if all_of_them:
        text = _(
            "No clean pair tests undertone, depth or clarity; {wanted} of each are wanted among light, middle and dark "
            "cloths.",
            wanted=_ENOUGH_PAIRS,
        )
    else:
        text = _("No clean pair tests {where}; {wanted} of each are wanted.", where=where, wanted=_ENOUGH_PAIRS)
    advice = _("Look for two cloths of one hue and about one depth that differ in one of these alone.")
    return KitFinding(FindingKind.TOO_FEW_PAIRS, (), text, advice)


def _small_kit(bench: Bench) -> Iterator[KitFinding]:
    families = bench.families[countable(bench)]
    alike = sum(comb(int(count), 2) for count in np.unique(families, return_counts=True)[1])
    if alike < FEW_PAIRS:
        have = _("No pair shares a hue.")
        if alike:
            have = ngettext("Only one pair shares a hue.", "Only {count} pairs share a hue.", alike)
        yield KitFinding(
            FindingKind.SMALL_KIT,
            (),
            _(
                "{have} A sitting then soon compares cloths of two hues, which shows less, and sub-seasons of one "
                "season are the hardest to decide between.",
                have=have,
            ),
            _(
                "Add cloths of hues that the kit has already, a step away in undertone, depth or clarity. Until then "
                "expect one sub-season in five to be the neighbour's, and hold twenty comparisons or more."
            ),
        )


def _too_few_cloths(bench: Bench) -> Iterator[KitFinding]:
    few = {category: cloths for category, cloths in cloths_by_category(bench).items() if len(cloths) < ENOUGH_CLOTHS}
    if few:
        told = all_of(
            [
                f"{pgettext('season', name)} ({len(cloths) or pgettext('how many cloths', 'none')})"
                for name, cloths in few.items()
            ]
        )
        wanted = "; ".join(
            _("{traits} for {category}", traits=_marked_words(bench.method, name), category=pgettext("season", name))
            for name in few
        )
        yield KitFinding(
            FindingKind.TOO_FEW_CLOTHS,
            tuple(cloth for cloths in few.values() for cloth in cloths),
            _(
                "Fewer than {enough} cloths are in {told}. A client there has few colours to compare and to see.",
                enough=ENOUGH_CLOTHS,
                told=told,
            ),
            _("Look for cloths of several hues: {wanted}.", wanted=wanted),
        )


def _marked_words(method: Method, category: str) -> str:
    """Return what marks a category out among the others: "cool", "soft and light"."""
    prototype = method.region(category).prototype
    told = [
        pgettext("trait", trait_word(axis, value))
        for axis, value in zip(Axis, prototype, strict=True)
        if degree(value) in _TELLING
    ]
    return all_of(told) if told else _("none of them far from the middle")


def _gap_finding(kit: Kit, gap: Gap) -> KitFinding:
    place = dict(zip(("L", "a", "b"), (local_number(value, 0) for value in gap.lab), strict=True))
    look = _("Look for a {hue} near L* {L}, a* {a}, b* {b}.", hue=pgettext("hue", gap.hue_family), **place)
    if not gap.shown_truly:
        look = _(
            "Look for a {hue} near L* {L}, a* {a}, b* {b}, a colour that no ordinary screen shows as strong as it is.",
            hue=pgettext("hue", gap.hue_family),
            **place,
        )
    return KitFinding(
        FindingKind.GAP,
        (gap.nearest,),
        _(
            "There is {gap}, a place of {category}: the nearest cloth, {cloth}, is {distance} units away on Tenter's "
            "scale.",
            gap=gap.words,
            category=pgettext("season", gap.category),
            cloth=cloth_named(kit[gap.nearest]),
            distance=local_number(gap.distance, 1),
        ),
        look,
    )


def _unmeasured(kit: Kit) -> Iterator[KitFinding]:
    unmeasured = [d for d in kit.drapes if not d.measured]
    if unmeasured:
        yield KitFinding(
            FindingKind.UNMEASURED,
            tuple(d.id for d in unmeasured),
            ngettext(
                "{named} is known by hue alone, and not counted here.",
                "{named} are known by hue alone, and not counted here.",
                len(unmeasured),
                named=all_of([cloth_named(d) for d in unmeasured]),
            ),
            _("Measure before using them in a test."),
        )
