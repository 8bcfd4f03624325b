"""An earlier sitting against a later one: the same answers show no change, and causes are excluded by what is known."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from studies.clients.simulation import World, simulated_judge
from tenter import Kit, Method, PhaseMissing, Sitting, TenterError
from tenter.consultation.axes import Axis
from tenter.consultation.compared.reanalysis import (
    CauseKnown,
    ChairLight,
    ChangeCause,
    Reanalysis,
    Sat,
    ShownChange,
    reanalysis,
)
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.words.answers import View

WARM, FAR = (1.2, 0.4, 0.5), (-1.4, 0.4, 0.5)
DAYLIGHT = ChairLight(5000, 0.001, 1200, 97)


@cache
def method() -> Method:
    return Method.bundled()


@cache
def kit() -> Kit:
    return Kit.demo()


@cache
def sat(theta: tuple[float, float, float], seed: int = 1, pairs: int = 16) -> Sitting:
    """Return the sitting of a simulated client."""
    judge = simulated_judge(kit(), method(), World.AS_MODELLED, np.array(theta), np.random.default_rng(seed))
    sitting = Sitting(kit(), method(), seed=seed)
    for _ in range(pairs):
        sitting.record(judge.judge(*sitting.propose()))
    return sitting


def compared(earlier: Sat, later: Sat) -> Reanalysis:
    return reanalysis(earlier, later, method())


def test_the_same_answers_show_no_change():
    found = compared(Sat(sat(WARM)), Sat(sat(WARM)))
    assert found.change is ShownChange.NONE_SHOWN
    assert found.earlier.category == found.later.category
    assert all(s.low < 0 < s.high and abs(s.mean) < 0.05 for s in found.shifts)


def test_a_client_who_sits_again_shows_no_change_and_one_far_moved_does():
    assert compared(Sat(sat(WARM)), Sat(sat(WARM, 2))).change is ShownChange.NONE_SHOWN
    moved = compared(Sat(sat(WARM)), Sat(sat(FAR, 2)))
    assert moved.change is ShownChange.SHOWN
    assert moved.furthest.axis is Axis.UNDERTONE
    assert moved.furthest.high < 0
    assert moved.other_category > 0.9


def test_both_are_read_under_one_method():
    other = Method.bundled("depth-first")
    earlier = Sitting(kit(), other, seed=1).record_all(e.judgement for e in sat(WARM).evidence)
    found = compared(Sat(earlier), Sat(sat(WARM)))
    assert found.method == method().name
    assert found.earlier.own_method == other.name
    assert found.told(ChangeCause.METHOD) is CauseKnown.EXCLUDED
    assert abs(found.furthest.mean) < 0.05  # the same answers, whatever method they came in under


def test_each_is_read_with_the_colours_of_its_day_where_both_were_measured():
    lab = np.maximum(kit().lab - np.array([12.0, 0.0, 0.0]), [2.0, -200.0, -200.0])  # paler since, so darker then
    then = replace(kit(), colours=replace(kit().colours, lab=lab))
    today = compared(Sat(sat(WARM)), Sat(sat(WARM)))
    dated = compared(Sat(sat(WARM), kit_then=then), Sat(sat(WARM), kit_then=kit()))
    assert today.told(ChangeCause.KIT) is CauseKnown.CANNOT_TELL
    assert dated.told(ChangeCause.KIT) is CauseKnown.EXCLUDED
    deeper = dated.earlier.estimates[Axis.DEPTH].mean - today.earlier.estimates[Axis.DEPTH].mean
    assert deeper < -0.2  # what suited then was deeper than it is now
    assert dated.shifts[Axis.DEPTH.column].mean > 0.05


def test_a_cause_is_excluded_only_by_what_was_written_down():
    nothing = compared(Sat(sat(WARM)), Sat(sat(FAR, 2)))
    assert {c.cause: c.told for c in nothing.causes} == {
        ChangeCause.PERSON: CauseKnown.CANNOT_TELL,
        ChangeCause.KIT: CauseKnown.CANNOT_TELL,
        ChangeCause.LIGHT: CauseKnown.CANNOT_TELL,
        ChangeCause.METHOD: CauseKnown.EXCLUDED,
        ChangeCause.ANALYST: CauseKnown.CANNOT_TELL,
    }
    known = {"analyst": "Ana", "light": DAYLIGHT, "kit_then": kit()}
    everything = compared(Sat(sat(WARM), **known), Sat(sat(FAR, 2), **known))
    assert everything.told(ChangeCause.PERSON) is CauseKnown.REMAINS
    assert all(c.told is CauseKnown.EXCLUDED for c in everything.causes if c.cause is not ChangeCause.PERSON)
    another = compared(Sat(sat(WARM), **known), Sat(sat(FAR, 2), **{**known, "analyst": "Bea"}))
    assert another.told(ChangeCause.ANALYST) is CauseKnown.DIFFERED
    assert another.told(ChangeCause.PERSON) is CauseKnown.CANNOT_TELL


@pytest.mark.parametrize(
    ("other", "like"),
    [
        (ChairLight(5000, 0.001, 1200), True),
        (ChairLight(5150), True),
        (ChairLight(4000), False),
        (ChairLight(5000, 0.012), False),
        (ChairLight(5000, 0.001, 300), False),
        (ChairLight(5000, 0.001, 1200, 80), False),
        (ChairLight(5000, 0.001, 1200, 93), True),
    ],
)
def test_lights_are_alike_by_all_that_was_measured_of_both(other: ChairLight, like: bool):
    assert DAYLIGHT.is_like(other) is like
    assert other.is_like(DAYLIGHT) is like


def test_photographs_alone_cannot_tell():
    shown = Sitting(kit(), method(), seed=1).record_all(
        replace(e.judgement, view=View.PHOTOGRAPH) for e in sat(FAR, 2).evidence
    )
    assert compared(Sat(sat(WARM)), Sat(shown)).change is ShownChange.CANNOT_TELL


def test_what_cannot_be_compared_is_refused():
    with pytest.raises(PhaseMissing):
        compared(Sat(Sitting(kit(), method())), Sat(sat(WARM)))
    few = Kit.from_lab(["X1", "X2"], [[50, 10, 10], [60, 20, 20]])
    with pytest.raises(TenterError, match="as measured then has no"):
        Sat(sat(WARM), kit_then=few)
    with pytest.raises(TenterError, match="CCT in kelvin"):
        ChairLight(12)
    with pytest.raises(TenterError, match=r"tenter\.Sitting"):
        Sat(None)


def test_a_pair_more_does_not_turn_the_answer():
    again = Sitting(kit(), method(), seed=1).record_all(e.judgement for e in sat(WARM).evidence)
    last = sat(WARM).evidence[-1].judgement
    assert isinstance(last, PairJudgement)
    again.record(last)
    one, two = compared(Sat(sat(WARM)), Sat(sat(WARM, 2))), compared(Sat(again), Sat(sat(WARM, 2)))
    assert abs(one.moved - two.moved) < 0.15
