"""What the plan may propose: one thing tested where it can be, and hues crossed where a kit has few pairs of one."""

from dataclasses import replace

import numpy as np
import pytest

import tenter
from tenter import Kit, PairJudgement, Sitting
from tenter.consultation.conventions.method_parts import Decides
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.pair_quality import FEW_PAIRS, Mixed, mixed_words, pair_quality
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.reading.phases import DONE, classes, deciding
from tenter.consultation.reading.plan import HeldSoFar, Planner, _best, _ranked_above
from tenter.inference.planning import exact_pair_information

COMPARISONS = 24


def part_of(kit, count):
    """Return a kit of the first cloths of each hue in turn, without metals: `count` in all."""
    by_hue = {}
    for drape in kit.drapes:
        if drape.measured and not drape.is_metal:
            by_hue.setdefault(drape.hue_family, []).append(drape.id)
    turns = [ids[i] for i in range(len(kit)) for ids in by_hue.values() if i < len(ids)]
    rows = sorted(kit.row(i) for i in turns[:count])
    return Kit.from_lab(
        [kit.ids[r] for r in rows], kit.bench_colours.lab[rows], [kit.drapes[r].hue_family for r in rows]
    )


def held_along_the_plan(kit, method, count):
    """Return what was proposed at each comparison: phase, cloths, and whether a pair of one hue was left."""
    sitting, told = Sitting(kit, method, seed=3), []
    for turn in range(count):
        planner = Planner(sitting.bench)
        pairs = planner.candidate_pairs(sitting.held)
        alike = (sitting.bench.families[pairs[:, 0]] == sitting.bench.families[pairs[:, 1]]).any()
        repeat = len(planner.repeat_due(sitting.held)) > 0
        pair = sitting.propose()
        told.append((sitting.phase, pair, bool(alike) and not repeat))
        sitting.record(PairJudgement(*pair, ("left", "right", "both-good")[turn % 3]))
    return told


@pytest.mark.parametrize("count", [24, 40])
def test_a_small_kit_goes_on_across_hues_and_keeps_siblings_within_one(demo_kit, bundled, count):
    kit = part_of(demo_kit, count)
    told = held_along_the_plan(kit, bundled, COMPARISONS)
    crossed = [kit[a].hue_family is not kit[b].hue_family for _, (a, b), _ in told]
    assert any(crossed)
    # common practice, no source. S6: siblings are compared within a hue family while a pair of one hue remains.
    for (phase, _, alike_left), across in zip(told, crossed, strict=True):
        if phase != DONE and deciding(bundled, phase) is Decides.CATEGORY and alike_left:
            assert not across


def test_a_full_kit_is_held_within_one_hue(demo_kit, bundled):
    assert len(Planner(bench_of(demo_kit, bundled)).candidate_pairs(HeldSoFar(()))) >= FEW_PAIRS
    assert all(demo_kit[a].hue_family is demo_kit[b].hue_family for _, (a, b), _ in held_along_the_plan(
        demo_kit, bundled, COMPARISONS
    ))  # fmt: skip


def test_what_the_plan_calls_mixed_is_what_the_audit_calls_so(demo_kit, bundled):
    bench = bench_of(demo_kit, bundled)
    rows = np.random.default_rng(2).choice(np.flatnonzero(~bench.metals), (300, 2))
    rows = rows[rows[:, 0] != rows[:, 1]]
    counted = Planner(bench).mixed(rows)
    for (one, other), mixed in zip(rows, counted, strict=True):
        found = set(pair_quality(bench, demo_kit.ids[one], demo_kit.ids[other]).mixed)
        axes = found - {Mixed.HUE, Mixed.BRIGHTENER}
        if Mixed.BRIGHTENER not in found:  # the plan does not count a brightener
            assert mixed == (Mixed.HUE in found) + bool(axes)


def test_a_pair_that_tests_one_thing_is_held_before_one_that_promises_little_more(demo_kit, bundled):
    sitting = Sitting(demo_kit, bundled, seed=1)
    bench, planner = sitting.bench, Planner(sitting.bench)
    pairs = planner.candidate_pairs(sitting.held)
    mixed = planner.mixed(pairs)
    assert {0, 1} <= set(mixed)
    worth = planner.preferred(np.ones(len(pairs)), pairs)
    assert worth[mixed == 0].min() > worth[mixed > 0].max()
    frame, posterior = sitting.planning_frame, sitting.planning_posterior
    best = planner.best_pair(frame, posterior, frame.sides, pairs)
    told = planner.information(frame, posterior, frame.sides, pairs)
    place = next(i for i, p in enumerate(pairs) if {demo_kit.ids[r] for r in p} == {best.left, best.right})
    assert best.information == pytest.approx(told[place])
    assert told[mixed < mixed[place]].max(initial=0) <= told[place]
    assert bench is planner.bench


@pytest.mark.parametrize(
    ("cloths", "said"),
    [
        (("D063", "D064"), ""),
        (("D095", "D096"), "more than one thing: clarity, undertone, depth and hue."),
        (("D089", "D091"), ""),  # metals: nothing is said of what is no plain colour
    ],
)
def test_the_bench_says_what_else_two_cloths_differ_in(demo_kit, bundled, cloths, said):
    words = mixed_words(bench_of(demo_kit, bundled), cloths)
    assert said in words
    assert bool(words) == bool(said)


def test_the_bench_says_that_one_white_is_brightened(bundled):
    kit = Kit.from_lab(["plain", "brightened"], np.array([[94.0, 0, 2], [94, 1, -8]]), ["white", "white"])
    assert "undertone and brightener" in mixed_words(bench_of(kit, bundled), ("plain", "brightened"))


def test_a_question_of_one_cloth_or_three_has_nothing_mixed_in(demo_kit, bundled):
    bench = bench_of(demo_kit, bundled)
    assert mixed_words(bench, ("D063",)) == mixed_words(bench, ("D063", "D064", "D001")) == ""


def test_a_kit_whose_every_pair_was_seen_says_so(bundled):
    kit = Kit.from_lab(["A", "B"], np.array([[70.0, 20, 20], [70, 20, -20]]))
    sitting = Sitting(kit, bundled)
    sitting.record(PairJudgement("A", "B", "left"))
    with pytest.raises(tenter.NothingToPropose, match="every pair has been seen"):
        sitting.propose()


def test_a_repeat_is_of_a_pair_that_lies_further_back_than_the_gap(demo_kit, bundled):
    sitting = Sitting(demo_kit, bundled, seed=3)
    for _ in range(8):
        sitting.record(PairJudgement(*sitting.propose(), "left"))
    assert Planner(bench_of(demo_kit, bundled)).repeat_due(HeldSoFar(())).shape == (0, 2)  # of none held
    shown = [sorted(demo_kit.row(cloth) for cloth in e.judgement.cloths) for e in sitting.entries]
    for gap in range(1, 8):
        rule = replace(bundled.planning, repeat_gap=gap, repeat_from=8, hidden_repeats=1)
        planner = Planner(bench_of(demo_kit, replace(bundled, planning=rule)))
        assert planner.repeat_due(sitting.held).tolist() == shown[:-gap], gap
    rule = replace(bundled.planning, repeat_gap=1, repeat_from=4, hidden_repeats=3, most_uses=9)
    planner = Planner(bench_of(demo_kit, replace(bundled, planning=rule)))
    first = sitting.entries[0].judgement.cloths
    sitting.record(PairJudgement(*first[::-1], "right"))
    due = planner.repeat_due(sitting.held).tolist()
    assert due
    assert shown[0] not in due, "a pair that came twice does not come again"


def test_what_promises_most_is_looked_at_closely_and_the_rest_ranks_below():
    rough = np.array([0.2, 0.9, 0.4, 0.9, 0.1])
    assert _best(rough, 3).tolist() == [1, 3, 2]
    known = _ranked_above(rough, np.array([1, 3, 2]), np.array([0.5, 0.8, 0.3]))
    assert known.tolist() == [0.2, 0.5, 0.3, 0.8, 0.1]
    assert _ranked_above(rough, np.array([1]), np.array([0.15])).tolist() == [0.15, 0.15, 0.15, 0.15, 0.1]


def test_no_repeat_is_due_where_the_consultant_has_held_more_pairs_again_than_are_asked_for(demo_kit, bundled):
    sitting = Sitting(demo_kit, bundled, seed=3)
    for _ in range(8):
        sitting.record(PairJudgement(*sitting.propose(), "left"))
    rule = replace(bundled.planning, repeat_gap=1, repeat_from=2, hidden_repeats=1, most_uses=9)
    planner = Planner(bench_of(demo_kit, replace(bundled, planning=rule)))
    assert len(planner.repeat_due(sitting.held))
    for entry in sitting.entries[:3]:
        sitting.record(PairJudgement(*entry.judgement.cloths[::-1], "right"))
        assert not len(planner.repeat_due(sitting.held))


def test_only_a_plan_that_opens_with_undertone_opens_with_a_light_pair(demo_kit, bundled):
    sitting = Sitting(demo_kit, bundled)
    planner, frame, posterior = Planner(sitting.bench), sitting.planning_frame, sitting.planning_posterior
    every = planner.candidate_pairs(HeldSoFar(()))
    for phase in bundled.phases:
        pairs = planner.of_one_hue(every) if phase.decides is Decides.CATEGORY else every
        pairs = planner.opening_pairs(pairs) if phase.decides is Decides.UNDERTONE else pairs
        best = planner.best_pair(frame, posterior, classes(frame, phase.decides, posterior), pairs)
        told = planner.proposal(frame, posterior, phase.id, HeldSoFar(()), np.random.default_rng(1))
        assert {told.left, told.right} == {best.left, best.right}


@pytest.mark.parametrize("count", [40, 3000])
def test_what_a_pair_promises_is_its_information_on_the_showings_on_which_it_can_show_anything(
    demo_kit, bundled, count
):
    sitting = Sitting(demo_kit, bundled)
    bench, frame, posterior = sitting.bench, sitting.planning_frame, sitting.planning_posterior
    first, second = np.triu_indices(len(demo_kit), 1)
    pairs = np.random.default_rng(4).permutation(np.stack([first, second], axis=1))[:count]
    planner = Planner(bench)
    told = planner.information(frame, posterior, frame.sides, pairs)
    stand_ins, utility = planner.stand_ins(frame, posterior, frame.sides)
    noise, hidden = (table[pairs[:, 0], pairs[:, 1]] for table in bench.noise_table)
    exact = (1 - hidden) * exact_pair_information(utility, stand_ins, noise, pairs, RESPONSES)
    assert (hidden > 0).any()
    looked_at = np.argsort(-told)[:48]  # those that promise most are worked out in full, and rank above the rest
    np.testing.assert_allclose(told[looked_at], exact[looked_at])
    assert told.max() == pytest.approx(exact.max(), rel=0.02)
    assert np.delete(told, looked_at).max(initial=0) <= told[looked_at].min() + 1e-12


def test_a_mixed_pair_is_held_where_it_promises_half_as_much_again_and_not_where_it_promises_a_tenth(demo_kit, bundled):
    planner = Planner(bench_of(demo_kit, bundled))
    pairs = planner.candidate_pairs(HeldSoFar(()))
    mixed = planner.mixed(pairs)
    two = pairs[[int(np.flatnonzero(mixed == 0)[0]), int(np.flatnonzero(mixed == 1)[0])]]
    for promised, held in ((1.1, 0), (1.5, 1)):
        assert int(np.argmax(planner.preferred(np.array([1.0, promised]), two))) == held
