"""When a sitting is finished, when it lies between two, and what it owes: simulated sittings and planted gaps."""

from dataclasses import replace

import numpy as np
import pytest

from tenter import Answer, PairJudgement, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.findings.ending import Ending, Owed, on_border, reached
from tenter.consultation.palette.palette import palette
from tenter.consultation.palette.palette_parts import Fit
from tenter.consultation.sitting.outlook import HoldingAdvice, outlook, whether_to_go_on
from tenter.consultation.words.odds_words import ENOUGH, percent

SURE = {"warm spring": 0.97, "light spring": 0.03}


def towards(sitting, ideal, count):
    """Answer a number of proposals as somebody at an ideal, without noise."""
    for _ in range(count):
        left, right = sitting.propose()
        x = sitting.bench.coordinates
        gained = [-float(np.sum((x[sitting.kit.row(c)] - ideal) ** 2)) / 2 for c in (left, right)]
        apart = gained[0] - gained[1]
        answer = Answer.BOTH_GOOD if abs(apart) < 0.35 else Answer.LEFT if apart > 0 else Answer.RIGHT
        strength = 2 if abs(apart) > 1.2 else 1
        sitting.record(PairJudgement(left, right, answer, strength=strength))
    return sitting


def prototype(sitting, category):
    return np.array(sitting.method.region(category).prototype)


@pytest.fixture(scope="module")
def in_the_middle(demo_kit, bundled):
    """A sitting of a client well inside a category."""
    sitting = Sitting(demo_kit, bundled, seed=4)
    return towards(sitting, 1.2 * prototype(sitting, "bright winter"), 20)


@pytest.fixture(scope="module")
def between(demo_kit, bundled):
    """A sitting of a client half-way between two siblings."""
    sitting = Sitting(demo_kit, bundled, seed=4)
    return towards(sitting, (prototype(sitting, "deep winter") + prototype(sitting, "cool winter")) / 2, 26)


def test_a_client_well_inside_a_category_is_finished(in_the_middle):
    verdict = in_the_middle.verdict()
    assert verdict.probability >= ENOUGH
    assert verdict.reached.ending is Ending.FINISHED
    assert verdict.reached.owed == ()
    assert not verdict.is_between
    assert not verdict.is_open
    assert whether_to_go_on(in_the_middle, outlook(in_the_middle)) is HoldingAdvice.FINISHED
    assert "is finished" in verdict.stop.why


def test_a_client_on_a_border_is_between_the_two_and_that_is_an_answer(between):
    verdict = between.verdict()
    assert {verdict.category, verdict.runner_up} == {"deep winter", "cool winter"}
    assert verdict.reached.ending is Ending.BETWEEN
    assert verdict.headline.startswith("between ")
    assert whether_to_go_on(between, outlook(between)) is HoldingAdvice.FINISHED
    told = verdict.stop.why
    assert "border" in told
    assert "not finished" not in told


def test_nothing_is_finished_at_once_however_sure_the_odds(demo_kit, bundled):
    sitting = Sitting(demo_kit, bundled)
    found = reached(sitting, SURE)
    assert found.ending is Ending.UNFINISHED
    assert set(found.owed) == {Owed.UNDERTONE, Owed.DEPTH, Owed.CLARITY, Owed.NEIGHBOUR}
    assert found.pairs == 4  # one for each


@pytest.mark.parametrize("axis", Axis)
def test_an_axis_with_one_route_is_owed(in_the_middle, demo_kit, bundled, axis):
    x, rows = in_the_middle.bench.coordinates, np.flatnonzero(~in_the_middle.bench.metals)
    sitting = Sitting(demo_kit, bundled)
    pairs = [(a, b) for a in rows for b in rows if a < b]
    clean = [p for p in pairs if abs(x[p[0]] - x[p[1]])[axis.column] > 0.95 * np.linalg.norm(x[p[0]] - x[p[1]]) > 0.6]
    for pair in (clean[0], clean[0][::-1]):  # the same two cloths with their sides exchanged are one route
        sitting.record(PairJudgement(*(demo_kit.ids[r] for r in pair), Answer.LEFT))
        assert Owed(axis) in reached(sitting, SURE).owed
    other = next(p for p in clean if not set(p) & set(clean[0]))
    sitting.record(PairJudgement(*(demo_kit.ids[r] for r in other), Answer.LEFT))
    assert Owed(axis) not in reached(sitting, SURE).owed


def test_a_neighbour_is_owed_until_a_cloth_of_one_was_held(in_the_middle, demo_kit, bundled):
    x, method = in_the_middle.bench.coordinates, bundled
    cells = np.array([method.category_at(place) for place in x])
    own, near, far = (
        demo_kit.ids[int(np.flatnonzero(cells == c)[0])] for c in ("warm spring", "light spring", "deep winter")
    )
    sitting = Sitting(demo_kit, bundled)
    sitting.record(PairJudgement(own, far, Answer.LEFT))
    assert Owed.NEIGHBOUR in reached(sitting, SURE).owed
    sitting.record(PairJudgement(own, near, Answer.LEFT))
    assert Owed.NEIGHBOUR not in reached(sitting, SURE).owed


def test_odds_that_are_not_there_yet_are_owed_and_open_ones_for_longer(in_the_middle):
    likely, spread = (reached(in_the_middle, {"bright winter": p, "deep winter": 1 - p}) for p in (0.8, 0.55))
    assert likely.owed == spread.owed == (Owed.ODDS,)
    assert spread.pairs > likely.pairs >= 1


def test_an_unfinished_sitting_says_what_is_owed_and_for_how_long(in_the_middle, demo_kit, bundled):
    few = Sitting(demo_kit, bundled, seed=4).record_all(e.judgement for e in in_the_middle.evidence[:7])
    verdict = few.verdict()
    assert verdict.reached.ending is Ending.UNFINISHED
    told = verdict.stop.why
    assert f"the odds are {percent(verdict.probability)}, not yet 95 %" in told
    assert f"within {verdict.reached.pairs} more pairs" in told
    one_pair = replace(verdict.reached, owed=(Owed.DEPTH,), pairs=1, minutes=bundled.planning.pair_minutes)
    only_an_axis = replace(verdict, reached=one_pair)
    assert only_an_axis.stop.why.endswith("That takes one more pair, about 1 minute.")


def test_a_client_is_on_no_border_of_two_that_hold_little_together(between):
    verdict = between.verdict()
    first, second = verdict.category, verdict.runner_up
    assert on_border(between, first, second, verdict.probabilities)
    assert not on_border(between, first, second, {first: 0.45, second: 0.39})
    assert not on_border(between, first, "light spring", {first: 0.6, "light spring": 0.4})


def test_the_palette_of_a_client_between_two_seasons_holds_what_serves_both(demo_kit, bundled):
    sitting = Sitting(demo_kit, bundled, seed=2)
    towards(sitting, (prototype(sitting, "light spring") + prototype(sitting, "light summer")) / 2, 28)
    verdict = sitting.verdict()
    assert verdict.is_between
    both = {verdict.category, verdict.runner_up}
    assert both == {"light spring", "light summer"}
    handed = palette(sitting, verdict)
    own = {e.category for fit in (Fit.BEST, Fit.YES) for e in handed.of_fit(fit)}
    assert own == both
