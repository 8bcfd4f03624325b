"""Whether to stop: by how much one more answer is expected to move the odds, and what a finished sitting says."""

import pytest

from tenter import Kit, Method, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.findings.ending import Ending, Owed, Reached
from tenter.consultation.findings.stop import StopStanding, stop_words
from tenter.consultation.reading.evidence import RESPONSES
from tenter.consultation.record.ledger import demo_ledger, judgements_of_client
from tenter.inference.likelihood import grade_probabilities


@pytest.fixture(scope="module")
def read():
    kit, method = Kit.demo(), Method.bundled()
    return {
        client: Sitting(kit, method, seed=7).record_all(judgements_of_client(demo_ledger(kit), client))
        for client in ("K1", "K3")
    }


def chances_and_odds(sitting, category, pair):
    """Return the probability of each grade of answer to a pair, and the category's odds once it came, summed out."""
    posterior, bench = sitting.planning_posterior, sitting.bench
    rows = [sitting.kit.row(cloth) for cloth in pair]
    noise, hidden = bench.pair_noise(*([row] for row in rows))
    own = sitting.planning_frame.categories[sitting.method.categories.index(category)]
    lattice = posterior.lattice
    found = []
    for h, shape in enumerate(lattice.shapes):
        utility = shape.utility(bench.coordinates[rows], lattice.ideals)
        for s, (sigma, scale) in enumerate(zip(lattice.sigmas, lattice.cut_scales, strict=True)):
            grades = grade_probabilities(utility[0] - utility[1], sigma * noise[0], RESPONSES, scale)
            found.append((posterior.weights[h, s], grades))
    answers = sum((weights[:, None] * grades).sum(axis=0) for weights, grades in found)
    with_own = sum(((weights * own)[:, None] * grades).sum(axis=0) for weights, grades in found)
    return answers, with_own / answers, float(hidden[0])


@pytest.mark.parametrize("client", ["K1", "K3"])
def test_the_expected_change_is_that_of_the_odds_over_all_answers(read, client):
    sitting = read[client]
    verdict = sitting.verdict()
    answers, odds, hidden = chances_and_odds(sitting, verdict.category, verdict.settling_pair)
    before = float(answers @ odds)
    expected = (1 - hidden) * float(answers @ abs(odds - before))
    assert verdict.stop.expected_change == pytest.approx(expected, rel=0.15, abs=0.003)


def test_one_more_answer_moves_a_young_sitting_more_than_a_settled_one(read):
    young = Sitting(Kit.demo(), Method.bundled(), seed=7)
    young.record_all(judgements_of_client(demo_ledger(young.kit), "K1")[:6])
    assert young.verdict().probability < 0.6
    assert young.verdict().stop.expected_change > read["K1"].verdict().stop.expected_change > 0


def test_stopping_is_advised_only_once_nothing_is_owed(read):
    for sitting in read.values():
        verdict = sitting.verdict()
        assert verdict.stop.advised == (verdict.not_finished is None)
        if verdict.not_finished:
            assert verdict.not_finished.owed == verdict.reached.owed
            assert verdict.not_finished.minutes >= sitting.method.planning.pair_minutes
            assert verdict.stop.why.startswith("Not finished")


def test_what_draws_a_place_runs_with_what_it_speaks_for(read):
    """A reason never has a direction that runs against the category; an objection never one that runs with it."""
    seen = 0
    for sitting in read.values():
        verdict = sitting.verdict()
        prototype = sitting.method.region(verdict.category).prototype
        for told, sign in ((verdict.reasons, 1), (verdict.against, -1)):
            for reason in told:
                if reason.direction is None:
                    continue
                seen += 1
                assert reason.direction.axis is reason.axis
                place = prototype[reason.axis.column]
                assert sign * place * reason.direction.sign > 0 or abs(place) < 0.25
                pull = sitting.without().pull(reason.entries)
                assert pull[reason.axis.column] * reason.direction.sign > 0
    assert seen >= 10


def test_an_axis_is_worth_what_its_entries_are_together(read):
    verdict = read["K1"].verdict()
    assert set(verdict.evidence_by_axis) <= set(Axis)
    assert verdict.evidence_by_axis == {a: t.log_odds for a, t in verdict.by_axis.items()}


# -- what is owed, in words ----------------------------------------------------------------------------------------


def owes(*owed, untried=(), minutes=9.0, pairs=6, pair_left=True):
    reached = Reached(Ending.UNFINISHED, owed, pairs, minutes, untried)
    return stop_words(StopStanding(reached, "warm autumn", ("deep autumn", "warm spring"), 0.8, pair_left))


def test_an_axis_is_said_to_be_untried_where_nothing_was_held_for_it_and_tried_once_where_something_was():
    words = owes(Owed.UNDERTONE, Owed.DEPTH, Owed.CLARITY, untried=(Owed.DEPTH,))
    assert "depth was not yet tried;" in words
    assert "undertone and clarity were not yet tried twice on different cloths" in words
    assert "depth" not in words.partition(";")[2]
    all_new = owes(Owed.UNDERTONE, Owed.DEPTH, untried=(Owed.UNDERTONE, Owed.DEPTH))
    assert "undertone and depth were not yet tried." in all_new
    assert "twice" not in all_new


def test_what_is_owed_besides_axes_is_said_where_it_is_owed_and_only_there():
    neighbour, odds, both = owes(Owed.NEIGHBOUR), owes(Owed.ODDS), owes(Owed.NEIGHBOUR, Owed.ODDS)
    said = {"no cloth of deep autumn or warm spring was held": neighbour, "the odds are 80 %, not yet 95 %": odds}
    for words, alone in said.items():
        assert words in both
        assert [words in one for one in (neighbour, odds)] == [one is alone for one in (neighbour, odds)]
        assert "tried" not in alone


def test_an_axis_that_is_not_owed_is_not_spoken_of():
    assert "depth" not in owes(Owed.CLARITY, untried=(Owed.DEPTH,))


def test_where_odds_are_owed_the_time_is_that_of_half_of_such_sittings_and_where_not_it_is_certain():
    assert "Half of simulated sittings were finished within 6 more pairs, about 9 minutes." in owes(Owed.ODDS)
    assert "That takes 6 more pairs, about 9 minutes." in owes(Owed.DEPTH)
    assert owes(Owed.DEPTH, pair_left=False).endswith("No pair of this kit is left to hold.")
