"""The verdict: its words, its reasons, what speaks against it, and what a face adds to the palette."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tenter import (
    Answer,
    DrapeJudgement,
    Face,
    FanJudgement,
    Kit,
    PairJudgement,
    PhaseMissing,
    Preference,
    Sitting,
    Suits,
)
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.consultation.axes import Axis
from tenter.consultation.client.contrast import contrast_level
from tenter.consultation.client.face import FaceColour
from tenter.consultation.findings.contradictions import ContradictionCause
from tenter.consultation.findings.ending import Ending
from tenter.consultation.palette.palette import palette
from tenter.consultation.words.odds_words import EDGE, OddsWord, is_edge, odds_word

CLIENTS = ["K1", "K2", "K3", "K4", "K5"]


def log_odds(probability):
    return math.log(probability / (1 - probability))


# -- words ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("client", CLIENTS)
def test_who_is_on_an_edge_has_a_runner_up_that_is_nearly_as_likely(demo_verdicts, client):
    found = demo_verdicts[client]
    first, second = sorted(found.probabilities.values(), reverse=True)[:2]
    assert found.edge == is_edge(first, second)
    for share, near in ((EDGE * 0.99, True), (EDGE * 1.01, False)):
        third = next(c for c in found.probabilities if c not in (found.category, found.runner_up))
        told = replace(found, probabilities={**found.probabilities, third: found.probability / share})
        assert (third in told.nearly_as_likely) is near
        assert told.nearly_as_likely[0] == found.category
        order = [told.probabilities[c] for c in told.nearly_as_likely]
        assert order == sorted(order, reverse=True)
        assert is_edge(found.probability, told.probabilities[third]) is near


@pytest.mark.parametrize("clearest", ["warm", "cool", "deep"])
def test_the_leading_trait_is_the_category_s_own_whatever_trait_is_the_clearest(sit, bundled, monkeypatch, clearest):
    monkeypatch.setattr("tenter.consultation.findings.verdict._second_route", lambda _traits: clearest)
    found = sit(PairJudgement("D063", "D064", "left"), PairJudgement("D073", "D075", "left")).verdict()
    assert found.leading_trait == str(bundled.region(found.category).leading_trait)
    assert found.second_route == clearest


@pytest.mark.parametrize("word", OddsWord)
@pytest.mark.parametrize("ending", Ending)
def test_a_verdict_is_open_where_it_lies_between_two_or_its_odds_are(demo_verdicts, word, ending):
    found = demo_verdicts["K1"]
    told = replace(found, odds_word=word, reached=replace(found.reached, ending=ending))
    assert told.is_between == (ending is Ending.BETWEEN)
    assert told.is_open == (ending is Ending.BETWEEN or word is OddsWord.OPEN)
    thirds = dict.fromkeys(found.probabilities, found.probability)  # all as likely as the likeliest
    assert ("open" in replace(told, probabilities=thirds).headline) == (told.is_open and not told.is_between)
    assert told.between == ((found.category, found.runner_up) if told.is_between else ())
    assert (told.not_finished is None) == (ending is not Ending.UNFINISHED) == told.stop.advised


@pytest.mark.parametrize("client", CLIENTS)
def test_headline_names_two_categories_where_it_is_open(demo_verdicts, client):
    verdict = demo_verdicts[client]
    assert verdict.odds_word == odds_word(verdict.probability)
    expected = (
        f"open between {verdict.category} and {verdict.runner_up}"
        if verdict.probability < 0.6
        else f"{verdict.category}, {verdict.odds_word}"
    )
    assert verdict.headline == expected


# -- reasons -------------------------------------------------------------------------------------------------------


# The printed figure comes from the sitting's own frame; refitting chooses a frame anew, hence the tolerance.
@pytest.mark.parametrize("client", CLIENTS)
def test_taking_a_reason_out_moves_the_odds_by_its_figure(demo_sittings, demo_verdicts, demo_judgements, client):
    verdict, sitting = demo_verdicts[client], demo_sittings[client]
    told = [*verdict.reasons[:2], *verdict.against[:1]]
    assert told
    for reason in told:
        kept = [j for n, j in enumerate(demo_judgements[client], start=1) if n not in reason.entries]
        refitted = Sitting(sitting.kit, sitting.method, seed=7).record_all(kept).probabilities()
        moved = log_odds(verdict.probability) - log_odds(refitted[verdict.category])
        assert moved == pytest.approx(reason.log_odds, abs=0.02), reason.text


@pytest.mark.parametrize("client", CLIENTS)
def test_reasons_are_ordered_and_say_their_entries(demo_sittings, demo_verdicts, client):
    verdict, sitting = demo_verdicts[client], demo_sittings[client]
    for reasons, sign in ((verdict.reasons, 1), (verdict.against, -1)):
        sizes = [abs(r.log_odds) for r in reasons]
        assert sizes == sorted(sizes, reverse=True)
        for reason in reasons:
            assert reason.log_odds * sign > 0
            assert f"It speaks for {reason.speaks_for}." in reason.text
            assert all(str(number) in reason.text for number in reason.entries)
            held = {c for e in sitting.entries if e.number in reason.entries for c in e.judgement.cloths}
            assert all(sitting.kit[c].name in reason.text for c in held)
    numbers = [n for r in (*verdict.reasons, *verdict.against) for n in r.entries]
    assert len(numbers) == len(set(numbers))
    assert set(numbers) <= {e.number for e in sitting.evidence}


# -- contradictions ------------------------------------------------------------------------------------------------


def test_the_cream_that_beat_the_optic_white_is_held_again(demo_verdicts):
    [found] = [c for c in demo_verdicts["K1"].contradictions if c.number == 5]
    assert found.p < 0.10
    assert found.repeat == ("D086", "D088")
    assert len(found.causes) >= 2


def test_an_answer_taken_back_by_its_repeat_is_named_for_it(demo_verdicts, demo_judgements):
    contradictions = {c.number: c for c in demo_verdicts["K5"].contradictions}
    assert ContradictionCause.REPEAT in contradictions[24].causes
    assert contradictions[24].repeat == ("D010", "D005")
    assert 25 not in contradictions
    assert demo_judgements["K5"][24].pair == demo_judgements["K5"][23].pair


@pytest.mark.parametrize("client", CLIENTS)
def test_contradictions_speak_of_standing_entries_only(demo_sittings, demo_verdicts, client):
    evidence = {e.number for e in demo_sittings[client].evidence}
    for found in demo_verdicts[client].contradictions:
        assert found.number in evidence
        assert 0 <= found.p <= 1
        assert len(found.causes) >= 2


# -- what is owed --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("judgements", "owed"),
    [
        ([], ("undertone", "clarity or depth")),
        ([PairJudgement("D061", "D062", Answer.LEFT)], ("clarity or depth",)),
        ([FanJudgement(("D076", "D077", "D078"))], ("undertone",)),
        ([DrapeJudgement("D040", Suits.WORKS, flags=("D040:too-warm",))], ("clarity or depth",)),
        ([DrapeJudgement("D040", Suits.WORKS, flags=("D040:too-dark",))], ("undertone",)),
        ([PairJudgement("D061", "D062", Answer.LEFT, source="client")], ("undertone", "clarity or depth")),
    ],
)
@pytest.mark.parametrize("ask", ["verdict", "palette"])
def test_phase_missing_names_what_is_owed(sit, judgements, owed, ask):
    with pytest.raises(PhaseMissing) as caught:
        getattr(sit(*judgements), ask)()
    assert caught.value.owed == owed
    assert str(caught.value).endswith(" and ".join(owed))


def test_a_void_entry_is_owed_again(sit):
    sitting = sit(PairJudgement("D063", "D064", Answer.LEFT), PairJudgement("D082", "D083", Answer.LEFT))
    assert sitting.verdict().traits.keys() == set(Axis)
    sitting.void(1, "the lamp was on")
    with pytest.raises(PhaseMissing, match="undertone"):
        sitting.verdict()


# -- the palette and the face --------------------------------------------------------------------------------------


def measured_face(hair, skin=62.0):
    regions = {
        name: {"lab": [lightness, 10.0, 15.0], "lab_interval_90": [[lightness - 2, lightness + 2], [8, 12], [13, 17]]}
        for name, lightness in (("forehead", skin), ("cheek_left", skin), ("cheek_right", skin), ("hair", hair))
    }
    return Face.from_json(
        {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2", "regions": regions}
    )


def test_brows_alone_say_nothing_about_contrast():
    skin, brow, iris = (FaceColour((L, 10.0, 15.0), ((L, L),) * 3) for L in (70.0, 40.0, 20.0))
    brows = {"cheek_left": skin, "brow_left": brow, "brow_right": brow}
    assert contrast_level(Face(D65_10, brows)) is None
    found = contrast_level(Face(D65_10, brows | {"iris_left": iris}))
    assert found is not None
    assert (found.level, found.feature, found.step) == ("high", "iris left", 50.0)


def test_another_face_changes_contrast_and_white_and_no_probability(demo_kit, bundled, demo_judgements, demo_verdicts):
    # Published numbers none: contrast levels are common practice, no source.
    soft = replace(demo_kit["D087"], id="NEW", name="Soft White")  # the same undertone as Paper White, and less light
    lab = np.vstack([demo_kit.lab, (89.5, 0.0, 3.0)])
    kit = Kit((*demo_kit.drapes, soft), Colours(lab, demo_kit.colours.conditions))
    high, low = (
        Sitting(kit, bundled, seed=7, face=measured_face(hair)).record_all(demo_judgements["K3"])
        for hair in (15.0, 50.0)
    )
    assert high.probabilities() == low.probabilities() == demo_verdicts["K3"].probabilities
    told = demo_verdicts["K3"]
    of_high, of_low, of_none = (
        palette(s, told) for s in (high, low, Sitting(demo_kit, bundled, seed=7).record_all(demo_judgements["K3"]))
    )
    assert (of_high.contrast.level, of_low.contrast.level, of_none.contrast) == ("high", "low", None)
    assert (of_high.contrast.step, of_high.contrast.feature) == (47.0, "hair")
    assert [p.whites[0].drape.name for p in (of_high, of_low)] == ["Paper White", "Soft White"]
    assert [e.expected_utility for e in of_high.entries] == [e.expected_utility for e in of_low.entries]


def test_the_palette_tells_what_was_seen_from_what_is_predicted(demo_sittings, demo_verdicts):
    sitting = demo_sittings["K3"]
    found = palette(sitting, demo_verdicts["K3"])
    held = {c for e in sitting.evidence for c in e.judgement.cloths}
    assert {e.drape.id for e in found.entries if e.seen} == held
    assert "better than Test Rose Deep" in found.entry("D082").seen
    assert {e.drape.id for e in found.entries} == set(sitting.kit.ids)
    assert {e.drape.id for e in found.entries if e.by_hand} >= {"D089", "D090", "D091"}


def test_a_preference_is_not_what_was_seen(sit):
    entries = [PairJudgement("D063", "D064", Answer.LEFT), PairJudgement("D082", "D083", Answer.LEFT)]
    sitting = sit(*entries, Preference("D005", "D018"))
    assert palette(sitting, sitting.verdict()).entry("D005").seen == ()


def test_what_was_off_about_one_cloth_that_worked_limits_that_and_does_not_contradict_it(demo_verdicts):
    [told] = [r.text for r in demo_verdicts["K5"].reasons if r.entries == (39,)]
    assert told.startswith("Chestnut Glaze on its own worked, although Chestnut Glaze was too dark (entry 39).")
