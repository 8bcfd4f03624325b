"""Findings beside the verdict: hues, misfit, tendencies, other methods, garments, unmeasured cloths, a hint."""

import numpy as np
import pytest

import tenter
from tenter.consultation.axes import Axis
from tenter.consultation.findings.diagnostics import (
    Diagnostics,
    Doubt,
    Tendency,
    diagnostics,
    doubts,
    misfit,
    predictions,
)
from tenter.consultation.findings.hue_dependence import hue_offsets
from tenter.consultation.findings.translation import read_under
from tenter.consultation.reading.evidence import Reader
from tenter.consultation.words.odds_words import OddsWord, odds_word, one_lower
from tenter.report.reading.finding import finding
from tenter.report.words.doubts import doubt_words

FACE = {
    "accepted": True,
    "basis": "chart",
    "illuminant": "D65",
    "observer": "2",
    "ita_degrees": None,
}


def face(a, b):
    lab = {"lab": [62.0, a, b], "lab_interval_90": [[60, 64], [a - 1, a + 1], [b - 1, b + 1]]}
    return tenter.Face.from_json({**FACE, "regions": {"forehead": lab, "cheek_left": lab, "cheek_right": lab}})


# I4, common practice, no source: one hue family may take more clarity than another.
@pytest.mark.parametrize("strong", ["green", "orange"])
def test_a_family_that_takes_more_clarity_is_found(sit, strong):
    up, down = ("D073", "D074", "D075"), ("D076", "D077", "D078")
    green, orange = (up, down[::-1]) if strong == "green" else (up[::-1], down)
    sitting = sit(
        tenter.FanJudgement(green),
        tenter.FanJudgement(orange),
        tenter.PairJudgement(green[0], green[2], "left", 3),
        tenter.PairJudgement(orange[0], orange[2], "left", 3),
        tenter.PairJudgement(*(("D014", "D074") if strong == "green" else ("D074", "D014")), "left", 2),
        tenter.PairJudgement(*(("D031", "D006") if strong == "green" else ("D006", "D031")), "left", 2),
    )
    found = {o.family: o for o in hue_offsets(sitting)}
    other = "orange" if strong == "green" else "green"
    assert found[strong].mean > 0.3 > -0.3 > found[other].mean
    assert found[strong].low < found[strong].mean < found[strong].high
    pooled = sitting.estimates()[Axis.CLARITY].mean
    assert found[other].mean < pooled < found[strong].mean


def test_no_family_is_singled_out_where_all_agree(demo_verdicts):
    assert demo_verdicts["K5"].hue_dependent == ()


def test_misfit_is_low_for_likely_answers_and_high_for_a_run_of_unlikely_ones():
    chances = np.array([0.8, 0.15, 0.05])
    assert misfit([chances] * 12) > 0.5
    assert misfit([chances[::-1]] * 12) < 0.001
    assert misfit([]) == 1.0


def test_a_sitting_answered_against_itself_says_so(sit):
    pairs = [("D063", "D064"), ("D061", "D062"), ("D065", "D066"), ("D071", "D072"), ("D073", "D075"), ("D082", "D083")]
    sitting = sit()
    for turn in range(4):
        for left, right in pairs:
            sitting.record(tenter.PairJudgement(left, right, "left" if turn % 2 else "right", 3))
    assert sitting.verdict().misfit < 0.1 * 4
    assert (
        sitting.verdict().misfit
        < tenter.Sitting(sitting.kit, sitting.method)
        .record_all(tenter.PairJudgement(a, b, "left", 3) for _ in range(4) for a, b in pairs)
        .verdict()
        .misfit
    )


def test_an_analyst_who_always_says_left_shows_a_side(sit):
    sitting = sit()
    for left, right in [("D063", "D064"), ("D061", "D062"), ("D065", "D066"), ("D073", "D075"), ("D082", "D083")]:
        sitting.record(tenter.PairJudgement(left, right, "left", 2))
        sitting.record(tenter.PairJudgement(right, left, "left", 2))
    found = diagnostics(sitting)
    assert found.position_bias.size > 0.3
    assert found.position_bias.notable
    assert found.fatigue is not None
    assert set(found.surprise) == {e.number for e in sitting.evidence}


def test_a_side_is_counted_in_deviations_of_what_the_answers_were_expected_to_be(sit):
    sitting = sit()
    for left, right in [("D063", "D064"), ("D062", "D061"), ("D065", "D066"), ("D073", "D075"), ("D082", "D083")]:
        sitting.record(tenter.PairJudgement(left, right, "left", 2))
    chances = np.array([p[[0, 2, 1]] for p in predictions(sitting).values()])  # left came: then right, then equal
    signs = np.array([1.0, 0.0, -1.0])
    expected, square = chances @ signs, chances @ signs**2
    found = diagnostics(sitting).position_bias
    assert found.size == pytest.approx((5 - expected.sum()) / 5)
    assert found.z == pytest.approx((5 - expected.sum()) / np.sqrt((square - expected**2).sum()))


def test_three_pairs_show_no_side_and_four_may(sit):
    sitting = sit()
    for left, right in [("D063", "D064"), ("D061", "D062"), ("D065", "D066"), ("D073", "D075")]:
        assert diagnostics(sitting).position_bias is None
        sitting.record(tenter.PairJudgement(left, right, "left", 2))
    assert diagnostics(sitting).position_bias is not None


def test_the_same_posterior_is_read_under_other_categories(demo_sittings):
    told = read_under(demo_sittings["K5"], tenter.Method.bundled("four-seasons"))
    assert told.category == "spring"
    assert not told.reread
    assert sum(told.probabilities.values()) == pytest.approx(1)
    own = read_under(demo_sittings["K5"], demo_sittings["K5"].method)
    assert own.probabilities == pytest.approx(demo_sittings["K5"].probabilities(), abs=1e-12)


def test_another_reading_of_clarity_reads_the_judgements_again(demo_sittings):
    toml = 'name = "s"\ntitle = "s"\nextends = "four-by-three"\n[readings]\nclarity = "saturation"\nmetal_tint = true\n'
    other = tenter.Method.parse(toml + 'sibling_colours = "usable"\ngrey_for_warm = "poor"\n')
    told = read_under(demo_sittings["K3"], other)
    assert told.reread
    assert sum(told.probabilities.values()) == pytest.approx(1)


def test_what_cannot_be_told_is_not_told(sit):
    assert read_under(sit(), tenter.Method.bundled()).category is None


# W5, common practice, no source: own garments are evidence, wide as unmeasured.
@pytest.mark.parametrize(
    ("word", "axis", "sign"), [("brighter", Axis.CLARITY, 1), ("deeper", Axis.DEPTH, -1), ("warmer", Axis.UNDERTONE, 1)]
)
def test_a_better_garment_bounds_its_axis(sit, word, axis, sign):
    before = sit().estimates()[axis].mean
    better = sit(tenter.GarmentJudgement("D074", (word,), True)).estimates()[axis].mean
    worse = sit(tenter.GarmentJudgement("D074", (word,), False)).estimates()[axis].mean
    assert (better - before) * sign > 0.05
    assert (better - worse) * sign > 0.05
    with pytest.raises(tenter.TenterError):
        tenter.GarmentJudgement("D074", (), True)


def test_an_unmeasured_cloth_is_read_as_every_colour_it_may_have(bundled):
    header = "id,name,hue_family,L,a,b,illuminant,observer\n"
    rows = "A,a,pink,68,32,5,D65,10\nB,b,pink,68,22,22,D65,10\n"
    measured, by_label = tenter.Kit.parse(header + rows), tenter.Kit.parse(header + rows.replace("68,32,5", ",,"))
    told = []
    for kit in (measured, by_label):
        sitting = tenter.Sitting(kit, bundled)
        frame = sitting.planning_frame
        nearest = np.argmin(np.sum((frame.lattice.ideals - sitting.bench.coordinates[0]) ** 2, axis=1))
        pair = tenter.PairJudgement("A", "B", "left", 3)
        told.append(Reader(sitting.bench, frame).log_likelihood(pair)[..., nearest])
    assert np.all(told[1] < told[0])  # to somebody whose ideal is A, another colour of A would have won less surely
    assert tenter.Sitting(by_label, bundled).bench.spreads[0].min() > 0.5
    assert not by_label["A"].measured
    with pytest.raises(tenter.TenterError, match="hue_family"):
        tenter.Kit.parse(header + "A,a,,,,,D65,10\nB,b,red,40,50,10,D65,10\n")


def test_a_face_lends_nothing_unless_asked_and_then_only_a_little_on_undertone(sit):
    yellow, pink = face(6.0, 20.0), face(16.0, 10.0)
    assert sit(face=yellow).probabilities() == sit().probabilities()
    warm, cool = (sit(face=f, face_prior=True).estimates() for f in (yellow, pink))
    assert warm[Axis.UNDERTONE].mean > 0.02 > -0.02 > cool[Axis.UNDERTONE].mean
    assert abs(warm[Axis.DEPTH].mean - cool[Axis.DEPTH].mean) < 0.05
    hinted = sit(face=yellow, face_prior=True).season_probabilities()
    assert 0.5 < hinted["spring"] + hinted["autumn"] < 0.62
    with pytest.raises(tenter.TenterError):
        sit(face_prior=True)


def test_what_was_learnt_of_an_analyst_carries_over(demo_sittings, sit):
    learnt = demo_sittings["K5"].analyst_posterior()
    assert sum(learnt.weights) == pytest.approx(1)
    assert learnt.weights != pytest.approx(demo_sittings["K5"].styles.weights)
    pair = tenter.PairJudgement("D063", "D064", "left", 3)
    assert sit(pair, analyst_prior=learnt).probabilities() != sit(pair).probabilities()


def test_the_verdict_says_what_it_would_be_without_each_phase(demo_verdicts):
    told = demo_verdicts["K5"].without_phase
    assert set(told) >= {"undertone", "clarity", "sub-season", "border"}
    assert all(0 < p <= 1 for _, p in told.values())


def test_a_repeat_is_left_out_with_the_phase_of_what_it_repeats(demo_sittings, demo_verdicts):
    sitting = demo_sittings["K1"]  # the last of their answers repeats the second with sides exchanged
    assert sitting.phase_of(12) == sitting.phase_of(2) == "undertone"
    assert "border" not in demo_verdicts["K1"].without_phase


# Common practice, no source: an analyst may answer with the side, whatever hangs there.
@pytest.mark.parametrize("side", ["left", "right"])
def test_an_analyst_who_always_says_one_side_is_doubted_aloud_and_one_word_lower(demo_kit, bundled, side):
    sitting = tenter.Sitting(demo_kit, bundled, seed=11)
    for _ in range(16):
        sitting.record(tenter.PairJudgement(*sitting.propose(), side, 2))
    verdict = sitting.verdict()
    assert Doubt.POSITION in verdict.doubts
    assert verdict.odds_word is one_lower(odds_word(verdict.probability))
    assert verdict.probabilities == sitting.probabilities()
    told = " ".join(doubt_words(verdict))
    assert f"The {side} side won more often than the cloths explain" in told
    lowered = verdict.odds_word is not odds_word(verdict.probability)  # what is open by its odds cannot be lowered
    assert ("one step less sure" in told) == lowered
    assert doubt_words(verdict)[-1] in {line.text for line in finding(sitting, verdict, minor=False).statements}


def test_the_demo_sittings_are_not_doubted(demo_verdicts):
    for verdict in demo_verdicts.values():
        assert verdict.doubts == ()
        assert doubt_words(verdict) == ()
        assert verdict.odds_word is odds_word(verdict.probability)


def test_each_tendency_doubts_only_beyond_its_limit_and_only_the_way_it_harms():
    def of(bias=0.0, fatigue=0.0, misfit=0.5):
        return doubts(Diagnostics({}, misfit, Tendency(0.3, bias), Tendency(0.3, fatigue), ()))

    assert of() == of(bias=2.5, fatigue=2.5) == of(fatigue=-4.0) == ()
    assert of(bias=-2.7) == of(bias=2.7) == (Doubt.POSITION,)
    assert of(fatigue=2.7) == (Doubt.FATIGUE,)
    assert of(misfit=0.01) == (Doubt.MISFIT,)
    assert doubts(Diagnostics({}, 0.5, None, None, ())) == ()


def test_the_lowest_word_stays_the_lowest():
    assert one_lower(OddsWord.OPEN) is OddsWord.OPEN
    assert [one_lower(word) for word in list(OddsWord)[1:]] == list(OddsWord)[:-1]
