"""What each phase decides between: the classes that its pairs are chosen to tell apart."""

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from tenter import PairJudgement
from tenter.consultation.method import Decides
from tenter.consultation.phases import classes


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
