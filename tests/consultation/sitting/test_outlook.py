"""What comes next: fans by information a minute, missing cloths, hidden repeats, the lay-out, and when to stop."""

from dataclasses import replace

import numpy as np
import pytest

import tenter
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.reading import plan
from tenter.consultation.reading.fans import best_fan
from tenter.consultation.reading.phases import DONE
from tenter.consultation.reading.plan import HeldSoFar, Planner
from tenter.consultation.record.no_evidence import VoidEntry
from tenter.consultation.sitting.outlook import HoldingAdvice, Outlook, outlook, whether_to_go_on
from tenter.inference.planning import representatives


def answered(sitting, count, answer="left"):
    for _ in range(count):
        sitting.record(tenter.PairJudgement(*sitting.propose(), answer))
    return sitting


def test_the_first_pair_is_light_and_of_one_hue(sit, demo_kit, bundled):
    # T5, common practice, no source: a light pair opens the undertone phase where the kit has one.
    pair = sit().propose()
    assert demo_kit[pair[0]].hue_family == demo_kit[pair[1]].hue_family
    depth = bundled.coordinates(demo_kit)[[demo_kit.row(c) for c in pair], 1]
    assert depth.min() > 0.5


def test_a_method_may_open_with_any_pair(demo_kit, bundled):
    planner, rule = Planner(bench_of(demo_kit, bundled)), replace(bundled.planning, opens_light=False)
    free = Planner(bench_of(demo_kit, replace(bundled, planning=rule)))
    pairs = planner.candidate_pairs(HeldSoFar(()))
    assert 0 < len(planner.opening_pairs(pairs)) < len(pairs)
    assert len(free.opening_pairs(pairs)) == len(pairs)


def test_a_kit_without_a_light_pair_opens_with_another(demo_kit, bundled):
    dark = demo_kit.lab[:, 0] < 45
    kept = [i for i in range(len(demo_kit)) if dark[i] and not demo_kit.drapes[i].is_metal]
    kit = tenter.Kit.from_lab(
        [demo_kit.ids[i] for i in kept], demo_kit.lab[kept], [demo_kit.hue_families[i] for i in kept]
    )
    assert set(tenter.Sitting(kit, bundled, seed=7).propose()) <= set(kit.ids)


def test_a_missing_cloth_is_not_proposed_until_that_is_undone(sit):
    sitting = sit()
    left, right = sitting.propose()
    sitting.set_aside(left)
    assert left not in sitting.propose()
    sitting.undo()
    assert set(sitting.propose()) == {left, right}
    with pytest.raises(tenter.TenterError):
        sitting.set_aside("D999")


def advice(sitting, **limits):
    return whether_to_go_on(sitting, outlook(sitting, **limits), **limits)


def test_one_pair_comes_again_unannounced_with_sides_exchanged(sit, bundled):
    sitting = answered(sit(), bundled.planning.repeat_from)
    again = sitting.propose()
    shown = [e.judgement.sides for e in sitting.entries]
    assert ((again[1],), (again[0],)) in shown[: -bundled.planning.repeat_gap]
    sitting.record(tenter.PairJudgement(*again, "left"))
    fresh = frozenset((c,) for c in sitting.propose())
    assert fresh not in {e.judgement.pair for e in sitting.entries}


def test_no_cloth_is_held_more_often_than_the_method_allows(sit, bundled):
    sitting = answered(sit(), 30)
    held = [c for e in sitting.entries for c in e.judgement.cloths]
    assert max(held.count(c) for c in held) <= bundled.planning.most_uses


def test_the_outlook_gives_a_pair_when_no_time_is_left_for_a_fan(sit):
    long, short = outlook(sit()), outlook(sit(), minutes_left=1.0)
    assert len(short.cloths) == 2
    assert long.information / long.minutes >= short.information / short.minutes
    assert advice(sit(), minutes_left=0.1) is HoldingAdvice.ENOUGH


def test_a_rest_is_advised_once_the_eye_has_worked_long(sit):
    sitting = sit()
    for minute in (39.0, 41.0):
        sitting.record(tenter.PairJudgement(*sitting.propose(), "left", minute=minute))
    assert advice(sitting) is HoldingAdvice.REST
    sitting.record(tenter.PairJudgement(*sitting.propose(), "left", minute=42.0))
    assert advice(sitting) is not HoldingAdvice.REST


def test_a_pause_between_two_entries_has_rested_the_eye(sit):
    sitting = sit()
    for minute in (38, 45, *range(49, 82, 4)):  # the last two lie on both sides of the sitting's 80 minutes
        sitting.record(tenter.Preference("D001", minute=float(minute)))
    assert advice(sitting) is not HoldingAdvice.REST
    sitting.record(tenter.Preference("D001", minute=85.0))
    assert advice(sitting) is HoldingAdvice.REST


def test_the_outlook_of_an_exhausted_kit_says_so(bundled):
    kit = tenter.Kit.from_lab(["A", "B"], [[60, 30, 10], [60, 10, 30]], ["red", "red"])
    sitting = tenter.Sitting(kit, bundled)
    sitting.record(tenter.PairJudgement("A", "B", "left"))
    assert advice(sitting) is HoldingAdvice.NOTHING_LEFT


def test_the_plan_ends_and_goes_on_answering(sit):
    sitting = answered(sit(), 45, "both-good")
    assert sitting.phase == DONE
    assert sitting.propose_fan() is None
    assert len(sitting.propose()) == 2


# T11, common practice, no source: half-face views need their sides exchanged.
def test_a_half_face_view_asks_for_its_sides_to_be_exchanged(sit):
    sitting = sit(tenter.PairJudgement("D063", "D064", "left", view="split"))
    assert sitting.exchanges_owed == (("D064", "D063"),)
    sitting.record(tenter.PairJudgement("D064", "D063", "right", view="split"))
    assert sitting.exchanges_owed == ()


def test_a_pair_stands_beside_a_fan(sit):
    sitting = sit()
    assert outlook(sitting).pair == sitting.propose()


@pytest.mark.parametrize("count", range(0, 16, 3))
def test_the_outlook_is_what_the_pair_and_the_fan_come_to_apart_and_reckons_its_stand_ins_once(sit, monkeypatch, count):
    sitting = answered(sit(), count)
    pair, planning = sitting.proposal(), sitting.method.planning
    fan = best_fan(
        Planner(sitting.bench), sitting.planning_frame, sitting.planning_posterior, sitting.phase, sitting.held
    )
    reckoned = []
    monkeypatch.setattr(plan, "representatives", lambda *said: reckoned.append(1) or representatives(*said))
    coming = outlook(sitting)
    assert coming.pair == (pair.left, pair.right)
    worth = fan is not None and fan.information / planning.fan_minutes > pair.information / planning.pair_minutes
    assert coming.is_fan == worth
    assert coming.cloths == (fan.ids if worth else coming.pair)
    assert coming.information == (fan.information if worth else pair.information)  # to the last bit
    assert len(reckoned) == 1


def test_a_planner_reckons_anew_for_other_classes_and_another_posterior(sit):
    sitting = answered(sit(), 4)
    planner, frame, now = Planner(sitting.bench), sitting.planning_frame, sitting.planning_posterior
    sitting.record(tenter.PairJudgement("D063", "D064", "left"))
    for posterior, classes in ((now, frame.sides), (now, frame.categories), (sitting.planning_posterior, frame.sides)):
        (kept, utility), (fresh, as_it_is) = (
            p.stand_ins(frame, posterior, classes) for p in (planner, Planner(sitting.bench))
        )
        assert np.array_equal(kept.ideals, fresh.ideals)
        assert np.array_equal(utility, as_it_is)


def test_a_pair_passed_over_is_not_proposed_again_unless_that_is_undone(sit):
    sitting = sit()
    first = sitting.propose()
    sitting.record(VoidEntry(first, note=VoidEntry.PASSED_OVER))
    assert set(sitting.propose()) != set(first)
    sitting.undo()
    assert sitting.propose() == first
    sitting.record(VoidEntry(first, note="a wrong one was lifted"))
    assert set(first) in [{sitting.kit.ids[r] for r in pair} for pair in candidates(sitting)]


def candidates(sitting):
    return Planner(sitting.bench).candidate_pairs(sitting.held)


@pytest.mark.parametrize(("minute", "rests"), [(5.0, False), (39.9, False), (40.0, True), (95.0, True)])
def test_a_rest_is_advised_after_the_first_answer_too_where_it_came_late(sit, bundled, minute, rests):
    assert bundled.planning.rest_after_minutes == 40
    sitting = sit()
    sitting.record(tenter.PairJudgement(*sitting.propose(), "left", minute=minute))
    assert (advice(sitting) is HoldingAdvice.REST) == rests


def test_the_outlook_gives_what_it_gives_without_a_limit_where_there_is_time_for_it(demo_kit, bundled):
    quick_fans = replace(bundled, planning=replace(bundled.planning, fan_minutes=0.5))
    sitting = tenter.Sitting(demo_kit, quick_fans, seed=7)
    free = outlook(sitting)
    assert free.is_fan
    for minutes in (free.minutes, free.minutes + 0.1, 60.0):
        assert outlook(sitting, minutes_left=minutes) == free


def test_two_cloths_are_no_fan_and_three_are():
    assert not Outlook(("A", "B"), 0.1, 1.0).is_fan
    assert Outlook(("A", "B", "C"), 0.1, 1.0).is_fan


@pytest.mark.parametrize("hardly", [True, False])
def test_where_the_answer_would_hardly_change_it_is_enough(sit, monkeypatch, hardly):
    monkeypatch.setattr("tenter.consultation.sitting.outlook.hardly_changes", lambda *_: hardly)
    assert advice(sit()) is (HoldingAdvice.ENOUGH if hardly else HoldingAdvice.GO_ON)
