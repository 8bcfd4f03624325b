"""What each phase decides between: the classes that its pairs are chosen to tell apart."""

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from tenter import PairJudgement
from tenter.consultation.axes import Axis
from tenter.consultation.conventions.method_parts import Decides
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.reading.fans import _triads
from tenter.consultation.reading.phases import DONE, classes, deciding, next_phase
from tenter.consultation.reading.plan import HeldSoFar, Planner


@pytest.fixture
def at_hand(sit):
    sitting = sit(PairJudgement("D063", "D064", "left", 3), PairJudgement("D073", "D075", "right", 2))
    return sitting.planning_frame, sitting.planning_posterior


@pytest.mark.parametrize(
    ("decides", "between"),
    [
        (Decides.UNDERTONE, "sides"),
        (Decides.DEPTH, "depths"),
        (Decides.SEASON, "seasons"),
        (Decides.NEIGHBOUR, "categories"),
    ],
)
def test_a_phase_decides_between_what_it_is_named_for(at_hand, decides, between):
    frame, posterior = at_hand
    assert_array_equal(classes(frame, decides, posterior), getattr(frame, between))


def test_the_sub_season_is_decided_within_the_likeliest_season(at_hand):
    frame, posterior = at_hand
    season = frame.method.seasons[int(np.argmax(posterior.masses(frame.seasons)))]
    own = [r.season == season for r in frame.method.regions]
    assert 1 < sum(own) < len(own)
    assert_array_equal(classes(frame, Decides.CATEGORY, posterior), frame.categories[own])


def test_a_phase_that_is_over_is_followed_by_the_next_with_no_entry_yet(at_hand):
    frame, posterior = at_hand
    method = frame.method
    first, second, *_, last = method.phases
    assert next_phase(method, first.id, first.most, frame, posterior) == (second.id, 0)
    assert next_phase(method, last.id, last.most, frame, posterior) == (DONE, 0)
    assert next_phase(method, first.id, 0, frame, posterior) == (first.id, 0)


def test_fans_are_tried_widest_first(demo_kit, bundled):
    planner = Planner(bench_of(demo_kit, bundled))
    x = planner.bench.coordinates[np.array(_triads(planner, Axis.UNDERTONE, HeldSoFar(())))]
    spread = np.ptp(x, axis=1)
    column = Axis.UNDERTONE.column
    score = spread[:, column] - 2 * np.delete(spread, column, axis=1).max(axis=1)
    assert len(score) > 2
    assert (np.diff(score) <= 1e-9).all()


def test_a_fan_is_proposed_while_a_phase_has_one(sit):
    fan = sit().propose_fan()
    assert fan is not None
    assert len(set(fan)) == 3


def test_each_phase_decides_what_the_method_says_and_what_comes_after_the_last_decides_between_neighbours(bundled):
    for phase in bundled.phases:
        assert deciding(bundled, phase.id) is phase.decides
    assert deciding(bundled, DONE) is Decides.NEIGHBOUR
