"""The sitting told back: ten pictures at most, the better cloth marked, what showed nothing of the client left out."""

import re
from dataclasses import astuple

import pytest

from tenter import Answer, FanJudgement, PairJudgement
from tenter.language import translated, written_in
from tenter.report.on_screen.plain_cloths import plain_cloth_names
from tenter.report.on_screen.told_back import ScreenLabels, told_back
from tenter.report.words.swatches import kit_swatches
from tenter.translations import catalogue
from tests.support.pseudo import english
from tests.support.unkind_words import unkind_words

OWED = (PairJudgement("D061", "D062", Answer.RIGHT, 2), PairJudgement("D076", "D078", Answer.RIGHT, 2))


def pictures_of(sitting):
    groups = told_back(sitting, sitting.verdict(), kit_swatches(sitting.kit))
    return [picture for group in groups for picture in group.pictures]


def told(sitting, number):
    return next((picture for picture in pictures_of(sitting) if picture.number == number), None)


def test_the_better_cloth_is_marked_and_both_have_names_of_people(sit):
    sitting = sit(*OWED, PairJudgement("D063", "D064", Answer.RIGHT, 2, region="jaw"))
    found = told(sitting, 3)
    assert [(side.name, side.did_more) for side in found.sides] == [("Warm pink", False), ("Carnation, cool", True)]
    assert found.text == "Carnation did more for your jaw than warm pink."
    seen = PairJudgement("D089", "D090", Answer.LEFT, 2, region="jaw", signs=("D089:blends", "D090:stands-apart"))
    metals = told(sit(*OWED, seen), 3)
    assert metals.text == "Brass Foil blended with your jaw; Pewter Foil stood apart from your jaw."


def test_one_colour_is_said_as_one_and_a_name_that_has_its_trait_does_not_get_it_twice(sit):
    signs = ("D063:cloth-first", "D063:even", "D064:drained")  # the last two are no reasons for this answer
    seen = PairJudgement("D063", "D064", Answer.RIGHT, 2, region="jaw", signs=signs)
    sitting = sit(*OWED, seen)
    assert told(sitting, 3).text.endswith("than warm pink, which was noticed before your jaw.")
    with written_in(catalogue("de")):
        found = told(sitting, 3)
    assert [side.name for side in found.sides] == ["Warmrosa", "Nelkenrosa, kühl"]
    assert found.text.endswith("auf Ihre Kieferlinie; Nelkenrosa tat mehr für Ihre Kieferlinie.")


def test_repeats_side_effects_and_doubtful_answers_are_left_out(sit):
    split = [PairJudgement(*pair, Answer.LEFT, 2, view="split") for pair in (("D071", "D072"), ("D072", "D071"))]
    sitting = sit(
        *OWED,
        PairJudgement("D063", "D064", Answer.RIGHT, 1),
        PairJudgement("D064", "D063", Answer.LEFT, 3),  # the same, clearer
        PairJudgement("D065", "D066", Answer.RIGHT, 2),
        PairJudgement("D065", "D066", Answer.LEFT, 2),  # and now the other way
        *split,
        PairJudgement("D067", "D068", Answer.RIGHT, 2),
    )
    sitting.void(9, "the wrong cloth was lifted")
    assert [picture.number for picture in pictures_of(sitting)] == [1, 4, 2]


def test_alike_and_a_fan_are_told_as_two_cloths(sit):
    sitting = sit(
        *OWED,
        PairJudgement("D069", "D070", Answer.NOTHING_SEEN),
        FanJudgement(("D075", ("D074",), "D073"), region="eye"),
    )
    assert told(sitting, 3).text == "Between dark bark and black-green no difference was seen."
    assert [side.did_more for side in told(sitting, 3).sides] == [False, False]
    assert told(sitting, 4).text == "Khaki green did more for your eyes than bright avocado."


@pytest.mark.parametrize("client", ["K1", "K2", "K3", "K4", "K5"])
def test_ten_pictures_at_the_most_of_every_axis_without_what_the_rest_speak_against(sitting_of, verdict_of, client):
    sitting, verdict = sitting_of(client), verdict_of(client)
    groups = told_back(sitting, verdict, kit_swatches(sitting.kit))
    found = [picture for group in groups for picture in group.pictures]
    assert 5 <= len(found) <= 10
    assert not {picture.number for picture in found} & {doubt.number for doubt in verdict.contradictions}
    entries = {entry.number: entry.judgement for entry in sitting.evidence}
    for picture in found:
        assert sum(side.did_more for side in picture.sides) == (entries[picture.number].winner is not None)
    names = {side.name.split(",")[0].lower() for picture in found for side in picture.sides}
    said = re.sub("|".join(map(re.escape, names)), "", " ".join(picture.text.lower() for picture in found))
    assert not unkind_words(said)  # the names of colours, such as old gold, are none
    kit_names = [drape.name for drape in sitting.kit.drapes if drape.hue_family != "metal"]
    assert not [name for picture in found for name in kit_names if name in picture.text]


def test_no_word_of_it_is_left_in_english(language, sitting_of, verdict_of):
    sitting = sitting_of("K5")
    metals = [drape.name for drape in sitting.kit.drapes if drape.hue_family == "metal"]
    with written_in(language):
        groups = told_back(sitting, verdict_of("K5"), kit_swatches(sitting.kit))
        said = [group.title + group.text for group in groups]
        said += [side.name for group in groups for picture in group.pictures for side in picture.sides]
        said += [picture.text for group in groups for picture in group.pictures]
        labels = translated(ScreenLabels())
    for name in metals:
        said = [text.replace(name, "") for text in said]
    assert english([*said, *astuple(labels)]) == []


def test_a_metal_keeps_the_name_of_the_kit(demo_kit):
    assert plain_cloth_names(demo_kit)["D089"] == ("Brass Foil",)
