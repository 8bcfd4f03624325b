"""The sitting told back: order, heights that go with the words, and a sentence that agrees with the finding."""

from dataclasses import astuple

import pytest

from tenter import Answer, DrapeJudgement, FanJudgement, PairJudgement, Suits
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.language import translated, written_in
from tenter.report.on_screen.told_back import ClothBand, ClothOutcome, ScreenLabels, told_back
from tenter.report.reading.content import reading_sheet
from tenter.report.reading.named_result import Paper
from tenter.report.words.swatches import kit_swatches
from tenter.report.words.wording import printed_percent
from tests.support.pseudo import english
from tests.support.unkind_words import unkind_words


def results(sitting):
    return [[(b.swatch.id, b.result, b.height) for b in s.bands] for s in told_back(sitting, kit_swatches(sitting.kit))]


def test_winners_stand_taller(sit):
    sitting = sit(
        PairJudgement("D061", "D062", Answer.RIGHT, 2),
        PairJudgement("D061", "D063", Answer.NOTHING_SEEN),
        FanJudgement(("D063", ("D064", "D065"), "D066")),
        DrapeJudgement("D067", Suits.FAILS),
    )
    pair, equal, fan, alone = results(sitting)
    assert [(i, r) for i, r, _ in pair] == [("D061", ClothOutcome.LESS), ("D062", ClothOutcome.MORE)]
    assert pair[0][2] < pair[1][2]
    assert equal[0][1] is equal[1][1] is ClothOutcome.NO_DIFFERENCE
    assert equal[0][2] == equal[1][2]
    assert [r for _, r, _ in fan] == [ClothOutcome.MORE, ClothOutcome.BETWEEN, ClothOutcome.BETWEEN, ClothOutcome.LESS]
    assert fan[0][2] > fan[1][2] == fan[2][2] > fan[3][2]
    assert alone[0][1] is ClothOutcome.OTHERS


def test_a_void_entry_is_not_told(sit):
    sitting = sit(PairJudgement("D061", "D062", Answer.LEFT), PairJudgement("D063", "D064", Answer.LEFT))
    sitting.void(1, "the wrong cloth was lifted")
    assert [s.number for s in told_back(sitting, kit_swatches(sitting.kit))] == [2]


@pytest.mark.parametrize("client", ["K1", "K2", "K3", "K4", "K5"])
def test_every_entry_is_told_in_order_and_kindly(sitting_of, verdict_of, card, client):
    sitting, verdict = sitting_of(client), verdict_of(client)
    showings = told_back(sitting, kit_swatches(sitting.kit))
    assert [s.number for s in showings] == [e.number for e in sitting.evidence]
    for entry, showing in zip(sitting.evidence, showings, strict=True):
        assert {b.swatch.id for b in showing.bands} == set(entry.judgement.cloths)
    sentence = reading_sheet(card(), sitting).finding.for_client
    assert verdict.category in sentence
    assert str(verdict.odds_word) in sentence
    assert printed_percent(verdict.probability) in sentence
    assert not unkind_words(" ".join([*map(str, ClothOutcome), sentence]))


def test_no_word_of_it_is_left_in_english(language):
    assert ClothBand(None, ClothOutcome.MORE).said == "did more for you"
    with written_in(language):
        said = [ClothBand(None, result).said for result in ClothOutcome]
        labels = translated(ScreenLabels())
        assert english([*said, *astuple(labels)]) == []
    assert len({*said}) == len(ClothOutcome)


def test_the_one_sentence_is_in_the_language_also_where_the_result_is_open_or_named(
    language, sitting_of, between, sitting_with, card
):
    named = sitting_with()
    named.record(ConsultantVerdict("cool winter", ""))
    with written_in(language):
        told = [reading_sheet(card(), one).finding.for_client for one in (sitting_of("K1"), between, sitting_of("K2"))]
        told.append(reading_sheet(card(), named, Paper.CLIENT).finding.for_client)
    assert english(told) == []
    assert len({*told}) == len(told)
