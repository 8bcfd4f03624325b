"""A faded cloth: which pairs no longer match, and which sittings used it since."""

import pytest

from tenter import Kit, Method
from tenter.colorimetry.measurement import D65_10
from tenter.consultation.cloths.roles import kit_tests
from tenter.consultation.fading.cloth_uses import SittingUse, used_since, uses_in_ledger
from tenter.consultation.fading.faded_pairs import faded_pairs
from tenter.consultation.fading.kit_drift import kit_drift
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.pair_quality import pair_quality
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.readings.kit_on_day import kit_on_day
from tenter.consultation.record.ledger import parse_ledger
from tenter.consultation.record.ledger_writing import ledger_text
from tenter.errors import UnreadableInput
from tests.support.readings_given import reading

THEN, NOW = "2025-05-01", "2026-05-01"


@pytest.fixture(scope="module")
def clean_test(demo_kit, bundled):
    """A pair that the demo kit's roles name and that tests one thing."""
    bench = bench_of(demo_kit, bundled)
    every = ((test, one, other) for test in kit_tests(demo_kit) for one, other in test.pairs)
    cloths = ((t, a, b) for t, a, b in every if not (a.is_metal or b.is_metal))
    return next((t, a, b) for t, a, b in cloths if not pair_quality(bench, a.id, b.id, t.axis).mixed)


def book(kit, cloth, change):
    L, a, b = (float(v) for v in kit.lab[kit.row(cloth)])
    dL, da, db = change
    return ReadingBook((reading(cloth, lab=(L, a, b), day=THEN), reading(cloth, lab=(L + dL, a + da, b + db), day=NOW)))


@pytest.mark.parametrize(
    ("change", "parted"),
    [((8, 0, 0), ("lightness",)), ((0, -12, -8), ("chroma",)), ((1.5, 0, 0), ()), ((0, -3, 0), ())],
)
def test_a_pair_no_longer_matches_in_what_it_does_not_test(demo_kit, bundled, clean_test, change, parted):
    test, one, other = clean_test
    assert (test.axis, other.id) == ("undertone", "D062")
    found = kit_drift(book(demo_kit, one.id, change), demo_kit, bundled)
    broken = {frozenset(pair.cloths): pair for pair in found.pairs}
    pair = broken.get(frozenset((one.id, other.id)))
    assert (pair.parted if pair else ()) == parted
    if pair:
        assert (pair.test, pair.before.mixed, pair.after.axis) == (test.name, (), test.axis)
        assert pair.reason == f"now also differs in {parted[0]}"
    assert all(one.id in cloths for cloths in broken)
    assert found.pairs_of(one.id) == found.pairs


def test_a_cloth_without_a_reading_since_a_day_was_not_read_on_one_day(demo_kit, bundled):
    read = book(demo_kit, "D061", (5, 0, 0))
    found = {since: kit_drift(read, demo_kit, bundled, since=since) for since in ("", NOW, "2026-06-01")}
    assert [one.once for one in found.values()] == [(), ("D061",), ()]


def test_a_change_that_nobody_sees_breaks_no_pair(bundled):
    rows = "D1,warm,45,30,20,D65,10,undertone-red-warm\nD2,cool,46.9,34,0,D65,10,undertone-red-cool\n"
    kit = Kit.parse(f"id,name,L,a,b,illuminant,observer,role\n{rows}")
    found = {change: kit_drift(book(kit, "D1", (change, 0, 0)), kit, bundled) for change in (-0.6, -1.6)}
    assert [len(one.pairs) for one in found.values()] == [0, 1]
    assert [one.drifts[0].delta_e < 1 for one in found.values()] == [True, False]


def test_a_depth_pair_may_differ_in_lightness_and_not_in_more(bundled):
    rows = "D1,light,45,30,10,D65,10,depth-red-light\nD2,dark,22,30,10,D65,10,depth-red-dark\n"
    kit = Kit.parse(f"id,name,L,a,b,illuminant,observer,role\n{rows}")
    light = {
        one: kit_on_day(kit, [reading("D1", lab=lab, day=NOW)], NOW).kit
        for one, lab in enumerate([(50.0, 30.0, 10.0), (45.0, 10.0, 35.0)])
    }
    assert faded_pairs(kit, light[0], bundled, {"D1"}) == ()
    [pair] = faded_pairs(kit, light[1], bundled, {"D1"})
    assert (pair.cloths, str(pair.before.axis)) == (("D1", "D2"), "depth")
    assert "undertone" in pair.parted
    assert "lightness" not in pair.parted


def test_no_pair_breaks_by_a_cloth_that_stayed(demo_kit, bundled, clean_test):
    found = kit_drift(book(demo_kit, clean_test[1].id, (0, 0, 0)), demo_kit, bundled)
    assert found.pairs == ()
    assert [one.delta_e for one in found.drifts] == [0]


def test_a_pair_of_two_cloths_that_stayed_is_not_asked(demo_kit, bundled, clean_test):
    _, one, _other = clean_test
    faded = kit_on_day(demo_kit, book(demo_kit, one.id, (15, 0, 0)).readings, NOW).kit
    assert faded_pairs(demo_kit, faded, bundled, {one.id})
    assert not any(
        one.id in p.cloths for p in faded_pairs(demo_kit, faded, bundled, {"D096"}) if "D096" not in p.cloths
    )


def test_cloths_of_one_day_and_of_another_kit_are_named(demo_kit, bundled):
    readings = [reading("D002"), reading("other", day=THEN), reading("other", lab=(60.0, 0.0, 0.0), day=NOW)]
    found = kit_drift(ReadingBook(tuple(readings)), demo_kit, bundled)
    assert [one.cloth for one in found.drifts] == ["other"]
    assert (found.once, found.not_in_kit, found.pairs) == (("D002",), ("other",), ())


USES = (
    SittingUse("K3", "2026-06-01", frozenset({"D001", "D002"})),
    SittingUse("K1", "2025-05-01", frozenset({"D001"})),
    SittingUse("K0", "2025-04-30", frozenset({"D001"})),
    SittingUse("K4", "2026-06-02", frozenset({"D002"})),
    SittingUse("K9", "", frozenset({"D001"})),
)


def test_sittings_since_the_baseline_are_found_and_undated_ones_are_not_lost(demo_kit, bundled):
    found = used_since(USES, "D001", "2025-05-01")
    assert [use.sitting for use in found.since] == ["K1", "K3"]
    assert [use.sitting for use in found.undated] == ["K9"]
    whole = kit_drift(book(demo_kit, "D001", (0, 0, 0)), demo_kit, bundled, USES)
    assert whole.uses["D001"] == found


LEDGER = (
    "client,step,kind,cloths,answer,day\nK1,1,pair,D063 D064,D063,2026-06-01\n"
    "K1,2,pair,D063+D001 D064,D064,01.06.2026\n"
    "K1,1,single,D002,works,2026-07-01\nK2,1,pair,D063 D064,D063,\n"
)


def test_a_ledger_says_which_cloths_each_sitting_used_and_on_which_day(demo_kit):
    rows = parse_ledger(LEDGER, demo_kit)
    assert uses_in_ledger(rows) == (
        SittingUse("K1", "2026-06-01", frozenset({"D063", "D064", "D001"})),
        SittingUse("K1", "2026-07-01", frozenset({"D002"})),
        SittingUse("K2", "", frozenset({"D063", "D064"})),
    )
    assert parse_ledger(ledger_text(rows), demo_kit) == rows
    with pytest.raises(UnreadableInput, match="row 2, column day: 'June' is no day"):
        parse_ledger(LEDGER.replace("2026-06-01", "June"), demo_kit)


def test_the_kit_file_may_have_another_light(bundled):
    kit = Kit.from_lab(["D1", "D2"], [[50, 30, 10], [50, 10, 30]], illuminant="D50", observer="2")
    readings = [reading("D1", day=THEN), reading("D1", lab=(52.0, 20.0, 10.0), day=NOW)]
    found = kit_drift(ReadingBook(tuple(readings)), kit, Method.bundled())
    assert found.drifts[0].baseline.conditions == D65_10
    assert found.drifts[0].baseline.lab == (50.0, 20.0, 10.0)
