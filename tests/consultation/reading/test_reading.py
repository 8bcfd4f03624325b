"""What a reading keeps of an answer taken back, and what it says of a prior from the face."""

import pytest

from tenter import EarlierResult, Face, PairJudgement
from tenter.consultation.reading.reading import sum_by_season


@pytest.mark.parametrize("asked", [True, False])
def test_an_answer_that_is_taken_back_leaves_nothing_and_a_note_that_is_leaves_all(sit, asked):
    one, other = PairJudgement("D063", "D064", "left", 2), PairJudgement("D073", "D075", "left", 3)
    sitting = sit(one, other, EarlierResult("soft autumn"))
    before = sitting.probabilities() if asked else sit(one, other).probabilities()
    sitting.undo()
    assert sitting.probabilities() == before
    sitting.undo()
    assert sitting.probabilities() == sit(one).probabilities() != before


def test_a_prior_from_the_face_is_said_where_it_was_asked_for_and_only_there(sit):
    forehead = {"lab": [62.0, 12.0, 16.0], "lab_interval_90": [[60, 64], [11, 13], [14, 18]]}
    measured = Face.from_json(
        {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2", "regions": {"forehead": forehead}}
    )
    assert sit(face=measured, face_prior=True).uses_face_prior
    assert not sit(face=measured).uses_face_prior
    assert not sit().uses_face_prior


def test_a_season_is_as_likely_as_its_sub_seasons_together(bundled):
    odds = {category: (n + 1) / 78 for n, category in enumerate(bundled.categories)}
    found = sum_by_season(bundled, odds)
    assert list(found) == list(bundled.seasons)
    assert sum(found.values()) == pytest.approx(1)
    for season, p in found.items():
        assert p == pytest.approx(sum(odds[c] for c in odds if bundled.season_of[c] == season))
