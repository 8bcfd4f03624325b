"""The evidence in a line each: the better cloth first, each axis with its own, and what it still needs."""

import pytest

from tenter import Answer, DrapeJudgement, PairJudgement, Suits
from tenter.consultation.axes import Axis
from tenter.language import written_in
from tenter.report.reading.evidence import axis_evidence
from tenter.report.words.swatches import kit_swatches
from tests.support.pseudo import english


def evidence_of(sitting):
    return axis_evidence(sitting.verdict(), sitting.entries, kit_swatches(sitting.kit))


def lines_of(sitting):
    return [line for one in evidence_of(sitting) for line in (*one.strongest, *one.against)]


@pytest.mark.parametrize("client", ["K1", "K2", "K3", "K4", "K5"])
def test_the_strongest_of_each_axis_are_told_and_three_and_two_where_there_are_as_many(sitting_of, client):
    verdict, found = sitting_of(client).verdict(), evidence_of(sitting_of(client))
    for told, reasons, least in (("strongest", verdict.reasons, 3), ("against", verdict.against, 2)):
        axes = {reason.axis for reason in reasons}
        lines = {one.axis: getattr(shown, told) for one, shown in zip(verdict.traits.values(), found, strict=True)}
        assert {axis for axis in Axis if lines[axis]} == axes
        assert sum(map(len, lines.values())) == max(len(axes), min(least, len(reasons)))
    assert [bool(one.worth) for one in found] == [axis in verdict.by_axis for axis in verdict.traits]


def test_a_line_names_the_better_cloth_first_and_what_became_of_a_repeat(sit):
    once = sit(PairJudgement("D063", "D064", Answer.RIGHT, 2, region="jaw"), PairJudgement("D077", "D078", Answer.LEFT))
    names = [once.kit[cloth].name for cloth in ("D064", "D063")]
    first = next(line for line in lines_of(once) if names[0] in line.told)
    assert first.told == f"{names[0]} over {names[1]}, at the jaw (entry 1)"
    assert [swatch.name for swatch in first.swatches] == names
    once.record(PairJudgement("D064", "D063", Answer.RIGHT, 2))
    assert any("and the other way round, at the jaw (entries 1 and 3)" in line.told for line in lines_of(once))
    alike = sit(
        *(PairJudgement("D063", "D064", answer, 2) for answer in (Answer.RIGHT, Answer.BOTH_GOOD)),
        PairJudgement("D077", "D078", Answer.LEFT),
        DrapeJudgement("D012", Suits.FAILS),
    )
    told = [line.told for line in lines_of(alike)]
    assert any("alike another time (entries 1 and 2)" in line for line in told)
    assert any(line.endswith("on its own did not work (entry 4)") for line in told)


def test_it_says_what_an_axis_owes(sit):
    short = sit(PairJudgement("D063", "D064", Answer.RIGHT, 2), PairJudgement("D077", "D078", Answer.LEFT))
    owed = [one.owed for one in evidence_of(short)]
    assert owed[0] == "Owed: one more pair, on other cloths."
    assert "Owed: two pairs on different cloths." in owed


def test_no_word_of_it_is_left_in_english(sitting_of, language):
    sitting = sitting_of("K5")
    names = {drape.name for drape in sitting.kit.drapes}
    with written_in(language):
        found = evidence_of(sitting)
        lines = [line for one in found for line in (*one.strongest, *one.against)]
        said = [one.answers for one in found] + [line.points_to for line in lines] + [line.told for line in lines]
    for name in names:
        said = [text.replace(name, "") for text in said]
    assert english(said) == []
