"""Cloths that decide nothing: what the bundled kit has, and laws over places and kits."""

from dataclasses import replace

import numpy as np
import pytest

from tenter import Kit, Method
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.audit import FindingKind
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.worth.reach import Reach, cloth_reach, reach_findings


@pytest.fixture(scope="module")
def reach(demo_kit, bundled):
    return {found.cloth: found for found in cloth_reach(bench_of(demo_kit, bundled))}


def at(bench, coordinates):
    """Return the bench with its cloths at other places of the three axes."""
    return replace(bench, coordinates=np.array(coordinates, dtype=float))


# Regression value: which cloths of the bundled kit decide nothing.
def test_the_bundled_kits_cloths_that_decide_nothing(reach, demo_kit, bundled):
    told = {cloth: found.suits for cloth, found in reach.items() if found.decides_nothing}
    everyone, nobody = Reach.NEARLY_EVERYONE, Reach.NEARLY_NOBODY
    assert told == {
        **dict.fromkeys(("D015", "D024", "D066", "D079"), everyone),
        **dict.fromkeys(("D013", "D058"), nobody),
    }
    findings = reach_findings(bench_of(demo_kit, bundled))
    assert {f.cloths for f in findings} == {(cloth,) for cloth in told}
    assert all(f.kind is FindingKind.DECIDES_NOTHING and f.text.endswith(".") for f in findings)
    assert "Cold Harbour (D024) suits nearly everyone" in " ".join(f.text for f in findings)


def test_metals_have_no_reach(reach, demo_kit):
    assert set(reach) == {d.id for d in demo_kit.drapes if not d.is_metal}
    assert all(0 <= found.ahead <= 1 and found.information >= 0 for found in reach.values())


def test_a_cloth_in_the_middle_is_ahead_of_more_and_says_less_than_any_further_out(demo_kit, bundled):
    steps = [0.0, 1.2, 1.8, 2.6]
    places = [[step * sign * (axis is other) for other in Axis] for step in steps for axis in Axis for sign in (1, -1)]
    small = Kit.from_lab(range(len(places)), np.full((len(places), 3), 50.0))
    ahead = np.array([found.ahead for found in cloth_reach(at(Bench.of(small, bundled), places))]).reshape(4, 6)
    assert np.all(np.diff(ahead, axis=0) < 0)
    lone = Bench.of(Kit.from_lab("A", [(50, 20, 20)]), bundled)
    middle, out = (cloth_reach(at(lone, [place]))[0].information for place in ((0, 0, 0), (1.4, 0, 0)))
    assert out > 2 * middle


def test_the_order_of_the_kit_changes_nothing(reach, demo_kit, bundled):
    order = np.random.default_rng(3).permutation(len(demo_kit))
    hand = {d.id: d.undertone for d in demo_kit.drapes if d.undertone is not None}
    ids, families = (np.array(names)[order] for names in (demo_kit.ids, demo_kit.hue_families))
    shuffled = Kit.from_lab(ids.tolist(), demo_kit.lab[order], families.tolist(), undertone=hand)
    found = {each.cloth: each for each in cloth_reach(Bench.of(shuffled, bundled))}
    assert {c: f.suits for c, f in found.items()} == {c: f.suits for c, f in reach.items()}
    assert all(found[c].ahead == pytest.approx(reach[c].ahead, abs=1e-3) for c in reach)


def test_a_double_has_the_reach_of_its_twin(demo_kit, bundled):
    rows = [demo_kit.row(cloth) for cloth in ("D001", "D024", "D050", "D024")]
    first, second, _, twin = cloth_reach(Bench.of(Kit.from_lab("ABCD", demo_kit.lab[rows]), bundled))
    assert (twin.ahead, twin.information) == (second.ahead, second.information)
    assert first.ahead != second.ahead


@pytest.mark.parametrize("method", ["four-by-three", "depth-first", "four-seasons"])
def test_three_cloths_and_metals_alone_have_an_answer(method):
    way = Method.bundled(method)
    three = Bench.of(Kit.from_lab("ABC", [(45, 50, 30), (60, -20, 5), (30, 5, -30)]), way)
    assert [found.cloth for found in cloth_reach(three)] == ["A", "B", "C"]
    assert cloth_reach(Bench.of(Kit.from_lab("A", [(70, 3, 30)], ["metal"], undertone={"A": 1.0}), way)) == ()
