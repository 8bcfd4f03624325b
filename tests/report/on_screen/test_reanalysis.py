"""Two sittings in words: never more than is known, and kind."""

import itertools
import re
from dataclasses import replace

import pytest

from tenter.consultation.axes import Axis
from tenter.consultation.compared.reanalysis import (
    AxisShift,
    CauseFinding,
    CauseKnown,
    ChangeCause,
    Reanalysis,
    Reread,
    ShownChange,
)
from tenter.consultation.reading.reading import Estimate
from tenter.language import written_in
from tenter.report.on_screen.reanalysis import reanalysis_page
from tests.support.pseudo import english
from tests.support.unkind_words import unkind_words

ESTIMATES = {axis: Estimate(0.5, 0.1, 0.9) for axis in Axis}
CAUSES = {
    ChangeCause.PERSON: (CauseKnown.EXCLUDED, CauseKnown.REMAINS, CauseKnown.CANNOT_TELL),
    ChangeCause.KIT: (CauseKnown.EXCLUDED, CauseKnown.DIFFERED, CauseKnown.CANNOT_TELL),
    ChangeCause.LIGHT: (CauseKnown.EXCLUDED, CauseKnown.DIFFERED, CauseKnown.CANNOT_TELL),
    ChangeCause.METHOD: (CauseKnown.EXCLUDED,),
    ChangeCause.ANALYST: (CauseKnown.EXCLUDED, CauseKnown.DIFFERED, CauseKnown.CANNOT_TELL),
}


def found(change: ShownChange, told: dict[ChangeCause, CauseKnown], later: str = "soft autumn") -> Reanalysis:
    return Reanalysis(
        method="four-by-three",
        earlier=Reread("2024-03-14", "soft autumn", 0.83, "soft autumn", "depth-first", ESTIMATES, 21),
        later=Reread("", later, 0.9, later, "four-by-three", ESTIMATES, 1),
        change=change,
        moved=0.7,
        shifts=(
            AxisShift(Axis.UNDERTONE, 0.1, -0.4, 0.6),
            AxisShift(Axis.DEPTH, -1.2, -1.9, -0.5),
            AxisShift(Axis.CLARITY, 0.3, -0.5, 1.1),
        ),
        other_category=0.4,
        causes=tuple(CauseFinding(cause, told[cause]) for cause in ChangeCause),
    )


def every() -> list[Reanalysis]:
    mixes = [dict(zip(CAUSES, mix, strict=True)) for mix in itertools.product(*CAUSES.values())]
    names = ("soft autumn", "warm autumn")
    return [found(change, mix, later) for change in ShownChange for mix in mixes for later in names]


def test_every_mix_of_causes_has_words_that_are_kind_and_name_no_one_she():
    pages = [reanalysis_page("Ana", one) for one in every()]
    assert len(pages) == 3 * 81 * 2
    for page in pages:
        text = "\n".join(page.lines())
        assert unkind_words(text) == ()
        assert not re.search(r"\b(she|her|he|his)\b", text)
        assert page.for_client.endswith(".")
        assert page.for_client.count(".") == 1  # one sentence


@pytest.mark.parametrize("change", [ShownChange.NONE_SHOWN, ShownChange.CANNOT_TELL])
def test_where_no_change_is_shown_none_is_claimed(change: ShownChange):
    for one in every():
        if one.change is change:
            page = reanalysis_page("Ana", one)
            assert "more than chance" not in page.heading
            assert "more on the" not in page.for_client


def test_a_shown_change_is_put_down_to_the_client_only_when_nothing_else_is_left():
    told = dict.fromkeys(ChangeCause, CauseKnown.EXCLUDED)
    alone = reanalysis_page("Ana", found(ShownChange.SHOWN, {**told, ChangeCause.PERSON: CauseKnown.REMAINS}))
    assert "nothing but a change in you was left" in alone.for_client
    assert "deep" in alone.for_client
    unsure = reanalysis_page(
        "Ana",
        found(
            ShownChange.SHOWN,
            {**told, ChangeCause.PERSON: CauseKnown.CANNOT_TELL, ChangeCause.LIGHT: CauseKnown.DIFFERED},
        ),
    )
    assert "a change in you or the light" in unsure.for_client


def test_numbers_stand_with_their_ranges_and_what_each_came_to():
    text = "\n".join(reanalysis_page("Ana", every()[0]).lines())
    for words in ("14 March 2024", "83 %", "21 answers", "1 answer.", "depth-first", "−1.2 units", "95 %", "40 %"):
        assert words in text


def test_every_word_of_the_page_is_in_the_language_that_is_written(language):
    undated = [replace(one, earlier=replace(one.earlier, date="")) for one in every()[::27]]
    with written_in(language):
        told = {line for one in (*every(), *undated) for line in reanalysis_page("12", one).lines()}
    assert set(english(told)) == {"four", "by", "three", "depth", "first"}  # what the methods are called
