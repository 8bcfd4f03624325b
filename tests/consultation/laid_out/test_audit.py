"""The kit audit: what the bundled kit is known to contain, and laws over changed and generated kits."""

import csv
from dataclasses import replace
from importlib.resources import files
from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import brentq

from tenter import Answer, Kit, Method, PairJudgement, Sitting
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.colorimetry.real_surfaces import is_real_surface
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.roles import kit_tests
from tenter.consultation.laid_out.audit import FindingKind, audit
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.laid_out.coverage import LightnessLevel, cloths_by_category, gaps, kit_coverage
from tenter.consultation.laid_out.pair_quality import Mixed, clean_pairs, pair_quality

MIXED, DARK = ("D095", "D096"), ("D069", "D070")


def kit_of(kit, drapes, lab):
    """Return the kit with other cloths or colours; roles, families and undertones set by hand stay."""
    return Kit(tuple(drapes), Colours(np.array(lab, dtype=float), kit.colours.conditions))


def without(kit, rows):
    keep = [i for i in range(len(kit)) if i not in rows]
    return kit_of(kit, [kit.drapes[i] for i in keep], kit.lab[keep])


def with_cloth(kit, lab, **told):
    """Return the kit with one more cloth, the same as its first but for what is told."""
    more = replace(kit.drapes[0], **{"id": "NEW", "role": "palette", **told})
    return kit_of(kit, [*kit.drapes, more], [*kit.lab, lab])


def perturbed(kit, seed):
    """Return the kit with every cloth moved by ΔE00 2."""
    directions = np.random.default_rng(seed).normal(size=kit.lab.shape)
    moved = []
    for colour, direction in zip(kit.lab, directions / np.linalg.norm(directions, axis=1, keepdims=True), strict=True):
        length = brentq(lambda t, c=colour, d=direction: float(delta_e_2000(c, c + t * d)) - 2, 0, 12)
        moved.append(colour + length * direction)
    return kit_of(kit, kit.drapes, moved)


def told(found, kind):
    return {f.cloths for f in found.of_kind(kind)}


@pytest.fixture(scope="module")
def found(demo_kit, bundled):
    return audit(demo_kit, bundled)


# -- the bundled kit -----------------------------------------------------------------------------------------------


# Source: the bundled kit's own description of what is wrong with it on purpose.
def test_the_bundled_kits_planted_faults_are_found(found):
    assert MIXED in told(found, FindingKind.MIXED_PAIR)
    assert {("D086", "D087"), ("D086", "D088")} < told(found, FindingKind.MIXED_PAIR)
    assert DARK in told(found, FindingKind.HARDLY_VISIBLE)
    assert told(found, FindingKind.GLOSS) == {("D089", "D090", "D091")}
    assert ("D039", "D065") in told(found, FindingKind.LOOK_ALIKE)
    assert found.of_kind(FindingKind.NEAR_DUPLICATE) == ()
    assert found.of_kind(FindingKind.UNMEASURED) == ()


# Source: the bundled kit's description: matched pairs differ by ΔE00 12-19 with |ΔL*| <= 0.4 and |ΔC*| <= 0.5.
@pytest.mark.parametrize("name", ["red", "pink", "green", "blue", "dark", "stone"])
def test_matched_undertone_pairs_are_clean(found, name):
    [test] = [t for t in found.tests if t.name == f"undertone-{name}"]
    [pair] = test.pairs
    assert pair.axis is test.axis is Axis.UNDERTONE
    assert 12 <= round(pair.delta_e) <= 19
    assert pair.lightness <= 0.4 + 1e-9
    assert pair.chroma <= 0.5 + 0.05  # printed to one digit
    assert pair.mixed == ()
    assert pair.share > 0.98
    assert pair.hardly_visible == (name == "dark")


def test_the_mixed_pair_is_told_for_what_it_mixes(found):
    [pair] = [p for t in found.tests for p in t.pairs if (p.first, p.second) == MIXED]
    assert set(pair.mixed) == {Mixed.DEPTH, Mixed.CLARITY, Mixed.HUE}
    [finding] = [f for f in found.of_kind(FindingKind.MIXED_PAIR) if f.cloths == MIXED]
    assert all(word in finding.text for word in ("Test Mix W (D095)", "depth, clarity and hue"))
    assert "instead" in finding.advice
    assert not any(name in finding.advice for name in MIXED)


def test_of_a_pair_that_differs_in_hue_alone_besides_no_share_is_said(demo_kit, bundled):
    drapes = [replace(d, hue_family=HueFamily.TEAL) if d.id == "D067" else d for d in demo_kit.drapes]
    found = audit(kit_of(demo_kit, drapes, demo_kit.lab), bundled).of_kind(FindingKind.MIXED_PAIR)
    [finding] = [one for one in found if one.cloths == ("D067", "D068")]
    assert finding.text.endswith("are meant to test undertone, but they differ in hue too.")


def test_every_finding_names_cloths_of_the_kit_and_says_what_to_do(found, demo_kit):
    for finding in found.findings:
        assert finding.cloths
        assert all(cloth in demo_kit for cloth in finding.cloths)
        assert finding.text.endswith(".")
        assert finding.advice.endswith(".")


def mixed_by_hand(rows, coordinates):
    """Return the mixed pairs of a kit's rows as `job.md` has them, one pair after the other, in plain Python.

    A test's cloths share a role but for its last word; a pair of them is mixed unless 70 % of its squared distance is
    on the axis that the test names, or the two differ in hue family, or only one of them is a white with a brightener.
    """
    ends = {"warm": 0, "cool": 0, "neutral": 0, "light": 1, "deep": 1, "dark": 1, "mid": None, "high": 2, "low": 2}
    axes, mixed, count = {"undertone": 0, "depth": 1, "clarity": 2}, set(), 0
    for one, other in combinations([r for r in rows if r["role"].count("-") and r["hue_family"] != "metal"], 2):
        (test, end), (same, last) = (r["role"].rsplit("-", 1) for r in (one, other))
        if test != same or end == last:
            continue
        count += 1
        named = {ends[word] for word in (end, last)} - {None}
        column = axes[test.split("-")[0]] if test.split("-")[0] in axes else named.pop()
        squares = [(a - b) ** 2 for a, b in zip(coordinates[one["id"]], coordinates[other["id"]], strict=True)]
        bright = [r["hue_family"] == "white" and float(r["L"]) > 90 and float(r["b"]) < -5 for r in (one, other)]
        clean = squares[column] >= 0.7 * sum(squares) and one["hue_family"] == other["hue_family"]
        if not clean or bright[0] != bright[1]:
            mixed.add((one["id"], other["id"]))
    return mixed, count


@pytest.mark.parametrize("method", ["four-by-three", "depth-first", "four-seasons"])
def test_every_mixed_pair_of_the_bundled_kit_is_found_and_no_other(demo_kit, method):
    way = Method.bundled(method)
    text = (files("tenter.demo_studio") / "drapes.csv").read_text(encoding="utf-8")
    coordinates = dict(zip(demo_kit.ids, way.coordinates(demo_kit).tolist(), strict=True))
    expected, count = mixed_by_hand(list(csv.DictReader(text.splitlines())), coordinates)
    audited = audit(demo_kit, way)
    assert told(audited, FindingKind.MIXED_PAIR) == expected
    assert sum(len(test.pairs) for test in audited.tests) == count == 22
    assert expected == {("D086", "D087"), ("D086", "D088"), ("D087", "D088"), MIXED}


# common practice, no source: three clean pairs for each axis among light, middle and dark cloths.
def test_the_bundled_kit_has_clean_pairs_on_every_axis_at_every_level(found):
    assert [(c.axis, c.level) for c in found.clean_pairs] == [
        (axis, level) for axis in Axis for level in (LightnessLevel.LIGHT, LightnessLevel.MIDDLE, LightnessLevel.DARK)
    ]
    assert all(c.count >= len(c.best) == 3 for c in found.clean_pairs)
    assert found.of_kind(FindingKind.TOO_FEW_PAIRS) == ()


# -- what the shopkeeper says, and what is moved -------------------------------------------------------------------


def test_groups_change_nothing(found, other_labels, bundled):
    assert [d.group for d in other_labels.drapes] != [d.group for d in Kit.demo().drapes]
    assert audit(other_labels, bundled) == found


@pytest.mark.parametrize("seed", range(4))
def test_a_kit_moved_by_two_still_shows_the_mixed_and_the_dark_pair(demo_kit, bundled, seed):
    moved = audit(perturbed(demo_kit, seed), bundled)
    assert MIXED in told(moved, FindingKind.MIXED_PAIR)
    assert DARK in told(moved, FindingKind.HARDLY_VISIBLE)
    assert {("D086", "D087"), ("D086", "D088")} < told(moved, FindingKind.MIXED_PAIR)


# -- doubles -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("cloth", ["D004", "D016", "D047", "D056", "D084", "D092"])
@pytest.mark.parametrize("delta_l", [0.0, 1.0])
def test_a_duplicate_adds_exactly_its_own_finding(found, demo_kit, bundled, cloth, delta_l):
    row = demo_kit.row(cloth)
    others = np.delete(demo_kit.lab, row, axis=0)
    assert delta_e_2000(demo_kit.lab[row], others).min() > 3.5  # a cloth without look-alikes
    doubled = with_cloth(demo_kit, demo_kit.lab[row] + [delta_l, 0, 0], hue_family=demo_kit[cloth].hue_family)
    again = audit(doubled, bundled)
    more = [f for f in again.findings if f not in found.findings and f.kind is not FindingKind.TOO_FEW_CLOTHS]
    assert [(f.kind, f.cloths) for f in more] == [(FindingKind.NEAR_DUPLICATE, (cloth, "NEW"))]
    assert len(again.findings) == len(found.findings) + 1


@pytest.mark.parametrize(
    ("delta_e", "kind"),
    [(1.9, FindingKind.NEAR_DUPLICATE), (2.1, FindingKind.LOOK_ALIKE), (2.9, FindingKind.LOOK_ALIKE), (3.1, None)],
)
def test_doubles_by_distance(bundled, delta_e, kind):
    colour = np.array([50.0, 40.0, 20.0])
    away = brentq(lambda t: float(delta_e_2000(colour, colour + np.array([t, 0, 0]))) - delta_e, 0, 10)
    found = audit(Kit.from_lab(["A", "B"], [colour, colour + np.array([away, 0, 0])]), bundled)
    kinds = (FindingKind.NEAR_DUPLICATE, FindingKind.LOOK_ALIKE)
    assert [f.kind for f in found.findings if f.kind in kinds] == ([kind] if kind else [])


def test_metals_and_cloths_without_a_colour_are_no_doubles(bundled):
    text = "\n".join(
        [
            "id,name,hue_family,L,a,b,illuminant,observer,undertone",
            "A,Gilt,metal,70,3,30,D65,10,1",
            "B,Gold,metal,70,3,30,D65,10,1",
            "C,Scarf,pink,,,,D65,10,",
            "D,Shawl,pink,,,,D65,10,",
            "E,Sand,,70,3,30,D65,10,",
        ]
    )
    found = audit(Kit.parse(text), bundled)
    assert not found.of_kind(FindingKind.NEAR_DUPLICATE)
    [unmeasured], [gloss] = found.of_kind(FindingKind.UNMEASURED), found.of_kind(FindingKind.GLOSS)
    assert unmeasured.cloths == ("C", "D")
    assert gloss.cloths == ("A", "B")
    assert sum(h.total for h in found.coverage.hues) == sum(found.coverage.categories.values()) == 1


# -- pairs ---------------------------------------------------------------------------------------------------------


def test_clean_pairs_are_those_that_quality_calls_clean(demo_kit, bundled):
    bench = bench_of(demo_kit, bundled)
    rows = [i for i, d in enumerate(demo_kit.drapes) if not d.is_metal]
    every = [pair_quality(bench, demo_kit.ids[a], demo_kit.ids[b]) for a, b in combinations(rows, 2)]
    clean = [p for p in every if not p.mixed and p.step >= 0.5 and not p.hardly_visible]
    for group in clean_pairs(bench):
        own = [p for p in clean if (p.axis, p.level) == (group.axis, group.level)]
        assert group.count == len(own)
        assert all(best in own for best in group.best)
        held = [cloth for best in group.best for cloth in (best.first, best.second)]
        assert len(set(held)) == len(held)


@pytest.mark.parametrize(("first", "second"), [("D061", "D062"), ("D095", "D096"), ("D086", "D088")])
def test_quality_does_not_depend_on_the_order(demo_kit, bundled, first, second):
    bench = bench_of(demo_kit, bundled)
    one, other = pair_quality(bench, first, second), pair_quality(bench, second, first)
    assert replace(other, first=first, second=second) == one


def test_a_kit_without_roles_is_audited_by_its_clean_pairs(demo_kit, bundled, found):
    hand = {d.id: d.undertone for d in demo_kit.drapes if d.undertone is not None}
    plain = audit(Kit.from_lab(demo_kit.ids, demo_kit.lab, demo_kit.hue_families, undertone=hand), bundled)
    assert plain.tests == ()
    assert plain.clean_pairs == found.clean_pairs
    assert not plain.of_kind(FindingKind.MIXED_PAIR)


def test_too_few_clean_pairs_are_told(bundled):
    lab = [(60, 30, 20), (60, 35, -5), (30, 30, 20), (30, 35, -5)]
    found = audit(Kit.from_lab("ABCD", lab, ["red"] * 4), bundled)
    counts = {(c.axis, c.level): c.count for c in found.clean_pairs}
    assert counts[Axis.UNDERTONE, LightnessLevel.MIDDLE] == 1
    texts = [f.text for f in found.of_kind(FindingKind.TOO_FEW_PAIRS)]
    assert len(texts) == 1 + sum(0 < count < 3 for count in counts.values())
    assert "Only one clean pair tests undertone among middle cloths; 3 are wanted." in texts
    assert "clarity among light, middle and dark cloths; 3 of each are wanted." in texts[0]


def test_two_cloths_have_one_sentence_on_clean_pairs(bundled):
    found = audit(Kit.from_lab("AB", [(60, 30, 20), (30, -40, 5)]), bundled)
    assert [f.text for f in found.of_kind(FindingKind.TOO_FEW_PAIRS)] == [
        "No clean pair tests undertone, depth or clarity; 3 of each are wanted among light, middle and dark cloths."
    ]


# Source: Pointer (1980): no surface of L* 50 comes near C*ab 141, and none of L* 40 and hue 120 degrees near 100.
def test_colours_that_no_cloth_has_are_to_be_measured_again(demo_kit, bundled, found):
    assert not found.of_kind(FindingKind.MEASURE_AGAIN)
    kit = with_cloth(demo_kit, (50, 100, -100), hue_family=demo_kit["D063"].hue_family)
    [finding] = audit(kit, bundled).of_kind(FindingKind.MEASURE_AGAIN)
    assert finding.cloths == ("NEW",)
    assert "measure again" in finding.advice


@pytest.mark.parametrize("lab", [(93, 2, -11), (50, 60, 35), (85, 5, 85), (18, 1, 0)])
def test_brightened_whites_and_strong_dyes_are_believed(bundled, lab):
    assert not audit(Kit.from_lab(["A"], [lab]), bundled).of_kind(FindingKind.MEASURE_AGAIN)


@pytest.mark.parametrize(
    ("roles", "expected"),
    [
        (["undertone-red-warm", "undertone-red-cool"], [("undertone-red", "undertone", 1)]),
        (["Clarity-Leaf-High", "clarity-leaf-mid", "clarity-leaf-low"], [("clarity-leaf", "clarity", 3)]),
        (["white-cool", "white-neutral", "white-warm"], [("white", "undertone", 3)]),
        (["grey-dark", "grey-mid"], [("grey", "depth", 1)]),
        (["undertone-a-warm", "undertone-a-warm", "undertone-a-cool"], [("undertone-a", "undertone", 2)]),
        (["undertone-a-warm", "undertone-b-cool"], []),
        (["undertone-a-warm"], []),
        (["palette", "palette", "black"], []),
        (["rail-a", "rail-b"], []),
        (["shelf-warm", "shelf-dark"], []),
        (["palette-warm", "palette-cool"] * 4, []),
    ],
)
def test_tests_that_roles_name(roles, expected):
    lab = [(40 + 5 * i, 20, 10) for i in range(len(roles))]
    kit = Kit.from_lab([f"A{i}" for i in range(len(roles))], lab)
    kit = kit_of(kit, [replace(d, role=role) for d, role in zip(kit.drapes, roles, strict=True)], lab)
    assert [(t.name, t.axis, len(t.pairs)) for t in kit_tests(kit)] == expected


# -- whites --------------------------------------------------------------------------------------------------------


WHITES = [
    ((L, 2.0, b), cream)
    for L in (93.0, 96.0)
    for b in (-6.5, -9.5)
    for cream in ((90.4, 1.1, 12.3), (89, 1, 9), (87, 2, 12))
]


def white_kit(*labs):
    kit = Kit.from_lab(["BRIGHT", "CREAM"], labs, ["white"] * 2)
    ends = zip(kit.drapes, ("white-cool", "white-warm"), strict=True)
    return kit_of(kit, [replace(d, role=role) for d, role in ends], labs)


# common practice, no source. T8: a pair that differs in two things tests two things.
@pytest.mark.parametrize(("bright", "cream"), WHITES)
def test_whites_that_differ_in_lightness_and_brightener_are_mixed(bundled, bright, cream):
    [finding] = audit(white_kit(bright, cream), bundled).of_kind(FindingKind.MIXED_PAIR)
    assert finding.cloths == ("BRIGHT", "CREAM")
    assert all(word in finding.text for word in ("brightened", "ultraviolet", f"{bright[0] - cream[0]:.1f} L* apart"))


def test_whites_that_differ_in_undertone_alone_are_not_mixed(bundled):
    assert not audit(white_kit((92, -1, -4), (92, 0, 5)), bundled).of_kind(FindingKind.MIXED_PAIR)


# common practice, no source. T8: evidence on such a pair spreads over both axes: undertone, and beside whites of one
# lightness also depth, towards the lightness of the white that won.
@pytest.mark.parametrize(("bright", "cream"), WHITES)
def test_an_answer_on_mixed_whites_moves_depth_and_undertone(bundled, bright, cream):
    def moves(*labs):
        """Return how far apart the two answers leave each mean, the brightened white's less the cream's."""
        means = []
        for answer in (Answer.LEFT, Answer.RIGHT):
            sitting = Sitting(white_kit(*labs), bundled, seed=7)
            sitting.record(PairJudgement("BRIGHT", "CREAM", answer, 2))
            means.append({axis: estimate.mean for axis, estimate in sitting.estimates().items()})
        return {axis: means[0][axis] - means[1][axis] for axis in Axis}

    mixed, level = moves(bright, cream), moves(bright, (bright[0], *cream[1:]))
    assert mixed[Axis.UNDERTONE] < -0.5
    assert mixed[Axis.DEPTH] > level[Axis.DEPTH] + 0.02


# -- coverage and gaps ---------------------------------------------------------------------------------------------


def test_every_measured_cloth_but_metals_is_counted_once(demo_kit, bundled):
    counted = kit_coverage(bench_of(demo_kit, bundled))
    wearable = [d for d in demo_kit.drapes if not d.is_metal]
    assert sum(counted.categories.values()) == len(wearable) == 93
    for hue in counted.hues:
        own = sum(d.hue_family is hue.hue_family for d in wearable)
        assert sum(hue.levels.values()) == sum(hue.strengths.values()) == hue.total == own


def test_three_gaps_the_widest_first_each_told(found):
    distances = [gap.distance for gap in found.gaps]
    assert len(distances) == 3
    assert distances == sorted(distances, reverse=True)
    assert distances[-1] > 1
    for gap, finding in zip(found.gaps, found.of_kind(FindingKind.GAP), strict=True):
        assert gap.words in finding.text
        assert gap.category in finding.text
        assert finding.cloths == (gap.nearest,)


# common practice, no source: a category wants five cloths, as many as the first page of a reading sheet shows.
@pytest.mark.parametrize("left", [0, 2, 4, 5])
def test_a_category_with_fewer_cloths_than_it_needs_is_told(demo_kit, bundled, left):
    own = cloths_by_category(bench_of(demo_kit, bundled))
    assert [category for category, cloths in own.items() if len(cloths) < 5] == ["cool summer"]
    taken = own["deep winter"][left:]
    kit = without(demo_kit, {demo_kit.row(cloth) for cloth in taken})
    [finding] = audit(kit, bundled).of_kind(FindingKind.TOO_FEW_CLOTHS)
    assert "cool summer (3)" in finding.text
    assert (f"deep winter ({left or 'none'})" in finding.text) == (left < 5)
    assert ("deep for deep winter" in finding.advice) == (left < 5)
    assert set(finding.cloths) == {*own["cool summer"], *(own["deep winter"][:left] if left < 5 else ())}


def test_two_cloths_for_a_category_of_150_are_told_and_enough_for_all_are_not(bundled):
    rows = [[60 + 30 * i / 148, 14, 14] for i in range(148)]
    lopsided = Kit.from_lab(range(150), [*rows, [24, 40, 20], [22, 42, 20]])
    [finding] = audit(lopsided, bundled).of_kind(FindingKind.TOO_FEW_CLOTHS)
    assert any(f"({count})" in finding.text for count in (1, 2))
    full = {category: len(cloths) for category, cloths in cloths_by_category(bench_of(lopsided, bundled)).items()}
    assert all((category in finding.text) == (count < 5) for category, count in full.items())


@pytest.mark.parametrize("method", ["four-by-three", "depth-first", "four-seasons"])
@pytest.mark.parametrize("seed", range(4))
def test_every_gap_is_a_colour_that_real_surfaces_have_and_a_screens_limit_is_marked(demo_kit, method, seed):
    way = Method.bundled(method)
    kept = np.random.default_rng(seed).permutation(len(demo_kit))[:20]
    kit = without(demo_kit, set(range(len(demo_kit))) - {int(row) for row in kept})
    found = audit(kit, way)
    assert is_real_surface([gap.lab for gap in found.gaps]).all()
    for gap, finding in zip(found.gaps, found.of_kind(FindingKind.GAP), strict=True):
        assert gap.shown_truly == Colours(np.array(gap.lab), D65_10).on_screen()[1][0]
        assert ("no ordinary screen" in finding.advice) != gap.shown_truly


@pytest.mark.parametrize("seed", range(8))
def test_removing_cloths_never_narrows_the_widest_gap(demo_kit, bundled, seed):
    rng = np.random.default_rng(seed)
    before = gaps(bench_of(demo_kit, bundled))[0].distance
    removed, order = set(), rng.permutation(len(demo_kit))
    for step in (5, 20, 60, 90):
        removed = {int(i) for i in order[:step]}
        now = gaps(Bench.of(without(demo_kit, removed), bundled))
        after = now[0].distance if now else 0.0
        assert after >= before - 1e-12
        before = after


@pytest.mark.parametrize("method", ["four-by-three", "depth-first", "four-seasons"])
def test_a_cloth_bought_for_a_gap_closes_it_and_leaves_the_next(demo_kit, method):
    way = Method.bundled(method)
    kit, [first, *others] = demo_kit, gaps(bench_of(demo_kit, way))
    assert others
    kit = with_cloth(kit, first.lab, hue_family=first.hue_family)
    left = gaps(Bench.of(kit, way))
    assert (first.category, first.hue_family) not in [(g.category, g.hue_family) for g in left]
    assert left[0].words == others[0].words
    assert left[0].distance == pytest.approx(others[0].distance, abs=0.02)  # the surface is told to one digit


@pytest.mark.parametrize("family", ["green", "blue", "purple"])
def test_a_hue_that_is_missing_altogether_is_the_widest_gap(demo_kit, bundled, family):
    rows = {i for i, d in enumerate(demo_kit.drapes) if d.hue_family == family}
    widest = gaps(Bench.of(without(demo_kit, rows), bundled))[0]
    assert widest.hue_family == family
    assert widest.words.endswith(f" {family}")
    assert widest.distance > 1.8


def test_a_gap_is_said_in_the_words_of_its_category(demo_kit, bundled):
    said = {}
    for family in ("green", "blue", "red", "pink", "brown"):
        rows = {i for i, d in enumerate(demo_kit.drapes) if d.hue_family == family}
        said |= {g.category: g.words.split()[1:-1] for g in gaps(Bench.of(without(demo_kit, rows), bundled))}
    for category, words in said.items():
        ends = dict(zip(("cool", "warm"), (-1, 1), strict=True)), {"dark": -1, "light": 1}, {"soft": -1, "bright": 1}
        for value, axis_words in zip(bundled.region(category).prototype, ends, strict=True):
            expected = [w for w, sign in axis_words.items() if value * sign >= 0.5]
            assert [w for w in words if w in axis_words] == expected


def test_a_kit_of_metals_alone_has_nothing_to_cover(bundled):
    kit = Kit.from_lab(["A"], [(70, 3, 30)], ["metal"], undertone={"A": 1.0})
    found = audit(kit, bundled)
    assert found.gaps == ()
    assert kit.bench_colours.conditions == D65_10
    assert all(hue.total == 0 for hue in found.coverage.hues)


def test_a_small_kit_is_told_what_it_cannot_decide(demo_kit, bundled):
    small = without(demo_kit, range(24, len(demo_kit)))
    said = audit(small, bundled).of_kind(FindingKind.SMALL_KIT)
    assert len(said) == 1
    assert "pairs share a hue" in said[0].text
    assert "Add cloths of hues" in said[0].advice
    assert not audit(demo_kit, bundled).of_kind(FindingKind.SMALL_KIT)
