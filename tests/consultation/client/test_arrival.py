"""The face check: closed words, kind reasons, and the gravest finding decides."""

from datetime import UTC, datetime, timedelta

import pytest

from tenter.consultation.client.arrival import CHECKS, Fitness, face_check, settles_at
from tenter.errors import UnknownName
from tests.support.unkind_words import unkind_words

EVERY = [(check, finding) for check in CHECKS for finding in check.findings]


def test_the_checks_are_those_of_the_trade():
    # Common practice, no source: what is looked at before the first cloth.
    assert [check.word for check in CHECKS] == ["make-up", "lenses", "tan", "glasses", "flush", "nails"]
    assert all(check.findings[0].fitness is Fitness.GO for check in CHECKS)
    assert {finding.fitness for _, finding in EVERY} == set(Fitness)


@pytest.mark.parametrize(("check", "finding"), EVERY, ids=lambda said: said.word)
def test_a_reason_is_kind_and_says_nothing_of_health(check, finding):
    assert finding.reason.endswith(".")
    assert not unkind_words(f"{finding.label}. {finding.reason}")
    health = (
        "rosacea",
        "acne",
        "illness",
        "disease",
        "medication",
        "hormon",
        "menopause",
        "pregnan",
        "alcohol",
        "diagnos",
    )
    assert not any(word in f"{check.title} {finding.label} {finding.reason}".lower() for word in health)


@pytest.mark.parametrize(
    ("found", "fitness"),
    [
        ({}, Fitness.GO),
        ({"nails": "plain", "tan": "none"}, Fitness.GO),
        ({"nails": "coloured", "tan": "none"}, Fitness.ADAPT),
        ({"nails": "coloured", "tan": "fresh"}, Fitness.POSTPONE),
        ({"tan": "self-tan", "make-up": "none"}, Fitness.POSTPONE),
        ({"flush": "warm"}, Fitness.ADAPT),
        ({"lenses": "tinted-in"}, Fitness.ADAPT),
    ],
)
def test_the_gravest_finding_decides(found, fitness):
    checked = face_check(found)
    assert checked.fitness is fitness
    assert len(checked.to_do) == sum(f.fitness is not Fitness.GO for _, f in checked.found)


def test_what_stands_on_no_list_is_refused():
    with pytest.raises(UnknownName, match="no finding at the arrival is called 'orange'"):
        face_check({"tan": "orange"})
    with pytest.raises(UnknownName, match="no check of the face is called 'weight'"):
        face_check({"weight": "none"})


def test_the_skin_settles_within_the_time_in_which_its_colour_returns():
    # Common practice, no source: 10 to 20 minutes.
    since = datetime(2026, 3, 14, 10, tzinfo=UTC)
    assert timedelta(minutes=10) <= settles_at(since) - since <= timedelta(minutes=20)
