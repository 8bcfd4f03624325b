"""What a reason may name: the axis on which it draws the client's place, never one that runs against what it says."""

from itertools import product

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter import Answer, Kit, Method, PairJudgement, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.findings.pull import Named, main_axis, runs_against, what_to_name
from tenter.consultation.record.ledger import demo_ledger, judgements_of_client
from tenter.consultation.words.traits import LeadingTrait as End


def at(**places):
    found = np.zeros(3)
    for axis, place in places.items():
        found[Axis(axis).column] = place
    return found


WARM_LIGHT = at(undertone=1.0, depth=1.0)


def test_the_axis_named_is_the_one_that_the_answer_draws_along_and_not_the_widest_gap():
    wide_in_depth = at(undertone=0.5, depth=-2.0)
    told = what_to_name(at(undertone=0.8, depth=-0.1), wide_in_depth, WARM_LIGHT, speaks_for=True)
    assert told == Named((End.WARM,))


def test_two_axes_that_draw_alike_are_both_named():
    told = what_to_name(at(undertone=0.8, depth=0.7), at(undertone=1.0, depth=1.0), WARM_LIGHT, speaks_for=True)
    assert told == Named((End.WARM, End.LIGHT))


@pytest.mark.parametrize(("depth", "ends"), [(0.45, (End.WARM,)), (0.5, (End.WARM, End.LIGHT))])
def test_a_second_axis_is_named_only_where_it_draws_about_as_far(depth, ends):
    told = what_to_name(at(undertone=0.8, depth=depth), at(undertone=1.0, depth=1.0), WARM_LIGHT, speaks_for=True)
    assert told == Named(ends)


def test_an_axis_on_which_the_cloths_do_not_differ_that_way_is_not_named():
    assert what_to_name(at(undertone=0.8), at(undertone=-1.0), WARM_LIGHT, speaks_for=True) == Named()
    assert what_to_name(at(undertone=0.8), at(undertone=0.1), WARM_LIGHT, speaks_for=True) == Named()


def test_a_reason_that_draws_back_is_about_a_cloth_too_far_on_the_right_side():
    told = what_to_name(at(undertone=-0.8), at(undertone=-1.0), WARM_LIGHT, speaks_for=True)
    assert told == Named((End.COOL,), overshoot=True)
    beside = what_to_name(at(undertone=-0.8, depth=0.5), at(undertone=-1.0, depth=0.4), WARM_LIGHT, speaks_for=True)
    assert beside == Named((End.LIGHT,))


def test_an_objection_names_what_runs_against_the_category():
    told = what_to_name(at(undertone=0.9, depth=-0.6), at(undertone=1.0, depth=-1.0), WARM_LIGHT, speaks_for=False)
    assert told == Named((End.DEEP,))
    assert what_to_name(at(undertone=0.9), at(undertone=1.0), WARM_LIGHT, speaks_for=False).overshoot


def test_nothing_runs_against_a_category_in_the_middle_of_an_axis():
    middle = at(undertone=1.0, depth=0.2)
    assert not runs_against(End.DEEP, middle)
    assert not runs_against(End.LIGHT, middle)
    assert what_to_name(at(depth=-0.8), at(depth=-1.0), middle, speaks_for=True) == Named((End.DEEP,))


@pytest.mark.parametrize("speaks_for", [True, False])
def test_what_is_named_never_runs_against_what_is_said(speaks_for):
    steps = (-1.0, -0.3, 0.0, 0.4, 1.1)
    for pull, gain in product(product(steps, repeat=3), product((-1.0, 0.1, 1.0), repeat=3)):
        told = what_to_name(np.array(pull), np.array(gain), WARM_LIGHT, speaks_for)
        if not told.overshoot:
            assert not any(runs_against(e if speaks_for else e.opposite, WARM_LIGHT) for e in told.ends)
        for end in told.ends:
            column = end.axis.column
            assert pull[column] * end.sign > 0
            assert gain[column] * end.sign > 0


def test_opposite_ends_lie_on_one_axis():
    for end in End:
        assert end.opposite.axis is end.axis
        assert end.opposite.sign == -end.sign
        assert end.opposite.opposite is end


def test_ties_go_to_the_first_axis_whatever_the_last_bit():
    pull = np.array([0.3, 0.3 + 1e-15, 0.3 - 1e-15])
    assert main_axis(pull, np.ones(3)) is next(a for a in Axis if a.column == 0)


@pytest.mark.parametrize("axis", Axis)
def test_an_answer_on_cloths_that_differ_in_one_thing_is_about_that_however_little_it_draws(axis):
    pull, apart = np.full(3, 0.2), np.full(3, 0.05)
    pull[axis.column], apart[axis.column] = 0.05, 2.4
    assert main_axis(pull, apart) is axis


@pytest.fixture(scope="module")
def told():
    """A sitting of a warm spring whose answers say one thing again and again, with one that says the other."""
    kit = Kit.demo()
    sitting = Sitting(kit, Method.bundled(), seed=3)
    ideal = np.array(sitting.method.region("warm spring").prototype)
    for n in range(16):
        left, right = sitting.propose()
        away = [float(np.linalg.norm(sitting.bench.coordinates[kit.row(c)] - ideal)) for c in (left, right)]
        answer = Answer.LEFT if (away[0] < away[1]) != (n == 9) else Answer.RIGHT
        sitting.record(PairJudgement(left, right, answer))
    return sitting, sitting.verdict()


def test_the_pull_is_what_a_sitting_without_the_entries_says(told):
    sitting, _ = told
    rest = Sitting(sitting.kit, sitting.method, seed=3)
    rest.record_all(e.judgement for e in sitting.evidence if e.number != 2)
    pull = sitting.without().pull([2])
    for axis in Axis:
        moved = sitting.estimates()[axis].mean - rest.estimates()[axis].mean
        spread = (sitting.estimates()[axis].high - sitting.estimates()[axis].low) / 3.29
        assert pull[axis.column] == pytest.approx(moved / spread, abs=0.06)


def test_the_pull_is_counted_in_deviations_about_the_clients_own_place(told):
    sitting, _ = told
    without, posterior = sitting.without(), sitting.posterior()
    assert np.abs(posterior.mean).max() > 0.5  # far from the middle, so that it matters about what they are counted
    deviations = np.sqrt(np.diagonal(posterior.covariance))
    moved = without.place([]) - without.place([2, 3])
    assert_allclose(without.pull([2, 3]), moved / deviations, rtol=0.01)


def test_all_entries_of_an_axis_are_worth_more_together_than_the_strongest_of_them_alone(told):
    _, verdict = told
    undertone = verdict.by_axis[Axis.UNDERTONE]
    alone = [r.log_odds for r in verdict.reasons if r.axis is Axis.UNDERTONE]
    assert len(undertone.entries) > len(alone) > 1
    assert undertone.log_odds > max(alone)
    assert sorted(n for a in verdict.by_axis.values() for n in a.entries) == [e.number for e in told[0].evidence]


def test_every_sentence_says_what_it_speaks_for(told):
    _, verdict = told
    assert verdict.reasons
    for reason in verdict.reasons:
        assert reason.speaks_for == verdict.category
        assert f"It speaks for {verdict.category}." in reason.text
    for objection in verdict.against:
        assert objection.speaks_for != verdict.category
        assert f"It speaks for {objection.speaks_for}." in objection.text


def test_a_reason_or_objection_that_is_itself_doubted_says_so():
    kit = Kit.demo()
    verdict = Sitting(kit, Method.bundled(), seed=7).record_all(judgements_of_client(demo_ledger(kit), "K1")).verdict()
    doubted = {c.number for c in verdict.contradictions}
    assert any(one.flagged for one in verdict.reasons)
    for one in (*verdict.reasons, *verdict.against):
        assert one.flagged == bool(doubted & set(one.entries))
        assert one.flagged == ("doubted: the other answers speak against it" in one.text)


@pytest.mark.parametrize("times", [0.01, 0.5, 3.0, 100.0])
def test_what_is_named_does_not_hang_on_how_far_all_axes_draw(times):
    steps = (-1.0, -0.55, 0.0, 0.65, 0.9)
    gain = np.array([1.0, -0.5, 0.8])
    for pull, speaks_for in product(product(steps, repeat=3), (True, False)):
        told = what_to_name(np.array(pull), gain, WARM_LIGHT, speaks_for)
        assert what_to_name(times * np.array(pull), gain, WARM_LIGHT, speaks_for) == told


@pytest.mark.parametrize("axis", Axis)
def test_an_axis_on_which_the_cloths_are_alike_or_that_draws_nothing_is_never_what_an_answer_is_about(axis):
    alone, alike = np.eye(3)[axis.column], 3 * (1 - np.eye(3)[axis.column])
    assert main_axis(alike + alone, alone) is axis  # the others draw more, on cloths that are alike there
    assert main_axis(alone, alike + alone) is axis  # the cloths differ more on the others, which draw nothing
    assert main_axis(-alone, alone) is axis
