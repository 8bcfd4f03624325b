"""What is told of each doubt about the answers: which side won too often, and into whom a face changed."""

import pytest

from tenter.consultation.axes import Axis
from tenter.consultation.findings.changed_face import FaceChange
from tenter.consultation.findings.diagnostics import Diagnostics, Doubt, Tendency
from tenter.consultation.findings.tendencies import told_doubts


def told(doubt, contradicted=False, lowered=True, **found):
    whole = Diagnostics(
        **({"surprise": {}, "misfit": 0.5, "position_bias": None, "fatigue": None} | found), hue_offsets=()
    )
    [one] = told_doubts(whole, (doubt,), contradicted, lowered)
    assert (one.code, one.odds_word_lowered) == (doubt, lowered)
    return one.text


@pytest.mark.parametrize(
    ("size", "won", "lost"), [(0.01, "left", "right"), (2.0, "left", "right"), (-0.3, "right", "left")]
)
def test_the_side_that_won_more_often_than_expected_is_named_and_the_other_is_not(size, won, lost):
    text = told(Doubt.POSITION, position_bias=Tendency(size, 3.0))
    assert f"The {won} side won" in text
    assert lost not in text


@pytest.mark.parametrize("doubt", [Doubt.MISFIT, Doubt.FATIGUE, Doubt.CHANGE])
def test_every_other_doubt_is_told_where_no_side_was_looked_for(doubt):
    assert "side won" not in told(doubt)


def test_cloths_in_doubt_are_held_again_where_there_are_any_and_the_first_pairs_where_there_are_none():
    assert "cloths in doubt" in told(Doubt.MISFIT, contradicted=True)
    assert "first pairs" in told(Doubt.MISFIT, contradicted=False)


@pytest.mark.parametrize(("sign", "trait", "other"), [(1, "warmer", "cooler"), (-1, "cooler", "warmer")])
def test_a_changed_face_is_told_by_the_way_it_went_where_that_is_known(sign, trait, other):
    text = told(Doubt.CHANGE, change=FaceChange(2.0, Axis.UNDERTONE, sign))
    assert trait in text
    assert other not in text
    unknown = told(Doubt.CHANGE)
    assert "another client" in unknown
    assert trait not in unknown


def test_doubts_are_told_in_their_order():
    whole = Diagnostics({}, 0.5, Tendency(0.3, 3.0), Tendency(0.3, 3.0), ())
    both = (Doubt.FATIGUE, Doubt.POSITION)
    assert tuple(one.code for one in told_doubts(whole, both, False, False)) == both
