"""A client known by photographs alone: the odds are held down, and one entry in the studio lifts that."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tenter import Face, Method, PairJudgement, Sitting
from tenter.consultation.reading.online import WITH_CARD, WITHOUT_CARD, Cap, advice, capped, photographs_alone
from tenter.consultation.words.odds_words import OddsWord
from tenter.errors import TenterError
from tenter.report.reading.finding import finding

METHOD = Method.bundled()
CARD = pytest.mark.parametrize("with_card", [True, False], ids=["card", "no card"])


def sitting_of(judgements, demo_kit, face=None, method=METHOD):
    return Sitting(demo_kit, method, seed=7, face=face).record_all(judgements)


@pytest.fixture(scope="module")
def measured_face():
    forehead = {"lab": [62.0, 12.0, 16.0], "lab_interval_90": [[60, 64], [11, 13], [14, 18]]}
    return Face.from_json(
        {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2", "regions": {"forehead": forehead}}
    )


@pytest.fixture(scope="module")
def on_photographs(demo_judgements):
    """K5's comparisons of two cloths, as if every one had been made on photographs."""
    return [replace(j, view="photograph") for j in demo_judgements["K5"] if isinstance(j, PairJudgement)]


@pytest.fixture(scope="module")
def online(on_photographs, demo_kit, measured_face):
    """The sitting with a face measured by a card, and without; only to be read."""
    return {True: sitting_of(on_photographs, demo_kit, measured_face), False: sitting_of(on_photographs, demo_kit)}


@given(st.lists(st.floats(1e-9, 1.0), min_size=12, max_size=12), st.booleans())
def test_the_cap_never_raises_the_likeliest_and_keeps_the_order(weights, with_card):
    total = sum(weights)
    odds = dict(zip(METHOD.categories, (w / total for w in weights), strict=True))
    held = capped(odds, METHOD.season_of, with_card)
    cap = WITH_CARD if with_card else WITHOUT_CARD
    best = max(odds, key=lambda c: odds[c])
    assert held[best] <= min(odds[best], cap.category) + 1e-9
    assert held[best] == max(held.values())
    assert sum(held.values()) == pytest.approx(1, abs=1e-9)
    seasons = {s: sum(p for c, p in held.items() if METHOD.season_of[c] == s) for s in METHOD.seasons}
    assert max(seasons.values()) <= cap.season + 1e-9
    ranked = sorted(odds, key=lambda c: odds[c])
    values = [held[c] for c in ranked]
    assert (np.diff(values) >= -1e-12).all()


@CARD
def test_odds_below_the_cap_stay_as_they_are(with_card):
    odds = dict.fromkeys(METHOD.categories, 1 / 12)
    assert capped(odds, METHOD.season_of, with_card) == odds


@CARD
def test_a_method_that_names_only_seasons_ends_in_leaning_too(with_card):
    seasons = Method.bundled("four-seasons")
    odds = dict(zip(seasons.categories, (0.97, 0.01, 0.01, 0.01), strict=True))
    cap = WITH_CARD if with_card else WITHOUT_CARD  # that of a season, not of a sub-season; and below "likely"
    assert max(capped(odds, seasons.season_of, with_card).values()) == pytest.approx(min(cap.season, 0.70))


def test_photographs_alone_are_at_most_leaning(online):
    by_card = online[True]
    assert photographs_alone(by_card.evidence)
    raw = max(by_card.probabilities().values())
    assert raw > 0.75  # it would be likely or more
    verdict = by_card.verdict()
    assert verdict.photographs_alone
    assert verdict.odds_word is OddsWord.LEANING
    assert verdict.probability == pytest.approx(WITH_CARD.category)
    assert verdict.probability == max(verdict.probabilities.values())
    assert verdict.season_probability <= WITH_CARD.season


def test_without_a_measured_face_they_stay_open(online):
    verdict = online[False].verdict()
    assert verdict.odds_word is OddsWord.OPEN
    assert verdict.probability <= WITHOUT_CARD.category + 1e-9
    assert verdict.season_probability <= WITHOUT_CARD.season + 1e-9
    assert "open between" in verdict.headline


def test_one_entry_in_the_studio_lifts_the_cap(on_photographs, demo_kit):
    sitting = sitting_of(on_photographs, demo_kit)
    sitting.record(replace(on_photographs[0], view="alternate"))
    verdict = sitting.verdict()
    assert not verdict.photographs_alone
    assert verdict.probability == max(sitting.probabilities().values()) > WITH_CARD.category
    assert verdict.probabilities == sitting.probabilities()


def test_voiding_the_only_studio_entry_puts_it_back(on_photographs, demo_kit):
    sitting = sitting_of(on_photographs, demo_kit)
    number = sitting.record(replace(on_photographs[0], view="alternate"))
    sitting.void(number, "the lamp was wrong")
    assert sitting.verdict().photographs_alone


def test_another_method_states_no_more(online):
    sitting = online[False]
    assert sitting.read_under(Method.bundled("four-seasons")).probability <= WITHOUT_CARD.season + 1e-9
    assert sitting.read_under(Method.bundled("depth-first")).probability <= WITHOUT_CARD.category + 1e-9


def test_a_phase_left_out_that_leaves_photographs_alone_is_capped(on_photographs, demo_kit):
    """Entries of the first phase were made in the studio, all later ones on photographs."""
    first = sitting_of(on_photographs, demo_kit)
    opening = first.phase_of(1)
    studio = [first.phase_of(e.number) == opening for e in first.evidence]
    mixed = [replace(j, view="alternate") if s else j for j, s in zip(on_photographs, studio, strict=True)]
    verdict = sitting_of(mixed, demo_kit).verdict()
    assert not verdict.photographs_alone
    assert verdict.without_phase[opening][1] <= WITHOUT_CARD.category + 1e-9


@CARD
def test_the_sheet_says_it_in_words(online, with_card):
    sitting = online[with_card]
    told = [statement.text for statement in finding(sitting, sitting.verdict(), minor=False).statements]
    assert advice(with_card) in told
    assert not any("comparisons were made on a photograph" in text for text in told)


def test_a_sitting_without_entries_is_not_one_by_photographs():
    assert not photographs_alone([])


def test_caps_are_checked():
    with pytest.raises(TenterError, match="will do"):
        Cap(category=0.7, season=0.6)
