"""Phases, and what is evidence: rules P1 to P4."""

import numpy as np
import pytest

from tenter import (
    Answer,
    EarlierResult,
    Method,
    PairJudgement,
    PhaseMissing,
    Preference,
    Sitting,
)
from tenter.consultation.axes import Axis
from tests.support.clients.practice_clients import CATEGORIES, answer_of, undertone_answers


# common practice, no source. P1: phases come in the method's order.
@pytest.mark.parametrize(
    ("method", "phases"),
    [
        ("four-by-three", ["undertone", "clarity", "sub-season", "border"]),
        ("depth-first", ["undertone", "depth", "clarity", "sub-season", "border"]),
        ("four-seasons", ["undertone", "clarity", "border"]),
    ],
)
def test_phases_come_in_the_methods_order(kit, method, phases):
    way = Method.bundled(method)
    assert [phase.id for phase in way.phases] == phases
    sitting = Sitting(kit, way, seed=7)
    where = dict(zip(kit.ids, way.coordinates(kit), strict=True))
    theta = np.array([-0.5, 0.15, -1.35])
    passed = [sitting.phase]
    while sitting.phase != "done":
        left, right = sitting.propose()
        sitting.record(PairJudgement(left, right, *answer_of(theta, where[left], where[right])))
        passed.append(sitting.phase)
    assert list(dict.fromkeys(passed)) == [*phases, "done"]


# common practice, no source. P1: a verdict before one undertone and one clarity or depth entry names what is owed.
@pytest.mark.parametrize(
    ("entries", "owed"),
    [
        ([], ("undertone", "clarity or depth")),
        ([PairJudgement("D063", "D064", Answer.LEFT)], ("clarity or depth",)),
        ([PairJudgement("D076", "D078", Answer.LEFT)], ("undertone",)),
        ([PairJudgement("D082", "D083", Answer.LEFT)], ("undertone",)),
        ([Preference("D063", "D064"), Preference("D082", "D083")], ("undertone", "clarity or depth")),
    ],
)
def test_a_verdict_names_what_it_is_owed(sit, entries, owed):
    sitting = sit(*entries)
    assert sum(sitting.probabilities().values()) == pytest.approx(1)
    with pytest.raises(PhaseMissing) as caught:
        sitting.verdict()
    assert caught.value.owed == owed
    assert all(word in str(caught.value) for word in owed)


# common practice, no source. P1: one undertone and one clarity or depth entry are enough.
@pytest.mark.parametrize("second", [("D076", "D078"), ("D084", "D085")])
def test_undertone_and_one_more_axis_allow_a_verdict(sit, second):
    sitting = sit(PairJudgement("D063", "D064", Answer.LEFT), PairJudgement(*second, Answer.RIGHT))
    assert sitting.verdict().category in CATEGORIES


# common practice, no source. P2: the undertone phase finds a reaction, not best colours.
@pytest.mark.parametrize("side", ["warm", "cool"])
def test_undertone_entries_alone_give_an_estimate_and_no_palette(sit, side):
    sitting = sit(*undertone_answers(side, strength=1))
    with pytest.raises(PhaseMissing, match="clarity or depth"):
        sitting.palette()
    estimate = sitting.estimates()[Axis.UNDERTONE]
    assert estimate.low < estimate.mean < estimate.high
    assert (estimate.mean > 0) == (side == "warm")


# common practice, no source. P3: liking a cloth is not evidence about the face.
@pytest.mark.parametrize("source", ["client", "analyst", "third"])
def test_a_preference_leaves_the_posterior_as_it_was_to_the_last_bit(sit, source):
    sitting = sit(*undertone_answers("cool", 1)[:2])
    before, weights = sitting.probabilities(), sitting.posterior().log_weights.copy()
    sitting.record(Preference("D063", "D064", source=source, flags=("D064:too-cool",), signs=("D063:own-tint",)))
    assert sitting.probabilities() == before
    assert np.array_equal(sitting.posterior().log_weights, weights)


# common practice, no source. P4: a result from another method is no prior by default.
@pytest.mark.parametrize("category", CATEGORIES)
def test_an_earlier_result_counts_for_nothing(sit, category):
    sitting = sit(PairJudgement("D067", "D068", Answer.NOTHING_SEEN))
    before = sitting.probabilities()
    sitting.record(EarlierResult(category, "another school"))
    assert sitting.probabilities() == before
