"""Leaving entries out of a sitting, against reading the rest again from the start on the same lattice."""

import numpy as np
import pytest

import tenter
from tenter.consultation.reading.evidence_set import EvidenceSet
from tenter.inference.posterior import Posterior

# Hypotheses that carry no weight even with an entry left out are dropped; this is what they may hold together.
DROPPED = 2e-5


def read_anew(sitting, entries):
    """Return the posterior of some entries on the sitting's own fine frame, each likelihood computed again."""
    focus = sitting.focus
    fresh = EvidenceSet(focus.bench, focus.frame, focus.hint)
    fresh.read(entries)
    return fresh.posterior(entries)


@pytest.mark.parametrize("client", ["K3", "K5"])
def test_leaving_one_entry_out_is_reading_the_rest_from_the_start(demo_sittings, client):
    sitting = demo_sittings[client]
    leave_out = sitting.without()
    for entry in sitting.evidence[::4]:
        rest = [e for e in sitting.evidence if e.number != entry.number]
        refitted = read_anew(sitting, rest).masses(sitting.focus.frame.categories)
        assert leave_out.category_masses([entry.number]) == pytest.approx(refitted, abs=DROPPED)


def test_leaving_out_a_split_view_returns_its_partner_to_half(demo_sittings):
    sitting = demo_sittings["K5"]  # entries 9 and 10 are one pair of metals, exchanged
    rest = [e for e in sitting.evidence if e.number != 9]
    refitted = read_anew(sitting, rest).masses(sitting.focus.frame.categories)
    assert sitting.without().category_masses([9]) == pytest.approx(refitted, abs=DROPPED)


def test_leaving_nothing_out_is_the_sitting_itself(demo_sittings):
    sitting = demo_sittings["K4"]
    found = sitting.without().category_masses([])
    assert found == pytest.approx(list(sitting.probabilities().values()), abs=DROPPED)


def test_leaving_everything_out_keeps_no_entry(demo_sittings):
    sitting = demo_sittings["K3"]
    weights = sitting.without().weights([e.number for e in sitting.evidence])
    prior = np.exp(sitting.without().log_prior)
    assert weights == pytest.approx(prior / prior.sum(), rel=2e-5, abs=1e-12)  # evidence is kept in single width


# The chance of an entry's outcome given the others, by the rule of the whole: p(y) = sum of p(y | h) p(h | the rest).
@pytest.mark.parametrize("client", ["K1", "K3"])
def test_chances_of_an_entry_come_from_all_the_others(demo_sittings, client):
    sitting = demo_sittings[client]
    leave_out = sitting.without()
    for entry in sitting.evidence:
        chances = leave_out.outcome_chances(entry)
        assert chances.sum() == pytest.approx(1, abs=1e-9)
        assert chances.min() > 0
    agreeing = {e.number: leave_out.outcome_chances(e)[0] for e in sitting.evidence}
    if client == "K1":
        assert agreeing[5] == min(agreeing.values())


def test_the_posterior_of_no_entry_is_the_prior(sit):
    sitting = sit()
    prior = Posterior.of(sitting.focus.frame.lattice)
    assert list(sitting.probabilities().values()) == pytest.approx(
        list(prior.masses(sitting.focus.frame.categories)), abs=1e-12
    )


def test_after_a_rest_the_same_numbers_are_found_again(demo_sittings):
    sitting = demo_sittings["K5"]
    odds, left_out = sitting.probabilities(), sitting.without().category_masses([9])
    sitting.rest()
    assert sitting.probabilities() == odds
    assert np.array_equal(sitting.without().category_masses([9]), left_out)


# The posterior and what is left out are kept while nothing changes; every change lets go of them.
def test_odds_asked_along_the_way_change_none_that_follow(bundled):
    kit, answers = tenter.Kit.demo(), [("D063", "D064"), ("D082", "D083"), ("D073", "D075"), ("D065", "D066")]
    judgements = [tenter.PairJudgement(*pair, tenter.Answer.LEFT, 2) for pair in answers]
    asked = tenter.Sitting(kit, bundled, seed=3)
    for judgement in judgements:
        asked.record(judgement)
        asked.probabilities()
        asked.without().category_masses([1])
    fresh = tenter.Sitting(kit, bundled, seed=3).record_all(judgements)
    assert asked.probabilities() == fresh.probabilities()
    for sitting in (asked, fresh):
        sitting.void(2, "a lamp was on")
    without_second = asked.probabilities()
    assert without_second == fresh.probabilities()
    asked.undo()
    assert asked.probabilities() == pytest.approx(tenter.Sitting(kit, bundled).record_all(judgements).probabilities())
    assert asked.probabilities() != without_second


def test_odds_after_the_only_entry_was_taken_back_are_those_of_none(bundled):
    kit = tenter.Kit.demo()
    sitting = tenter.Sitting(kit, bundled)
    sitting.record(tenter.PairJudgement("D063", "D064", tenter.Answer.LEFT, 2))
    told = sitting.probabilities()
    sitting.undo()
    assert sitting.probabilities() == tenter.Sitting(kit, bundled).probabilities() != told
