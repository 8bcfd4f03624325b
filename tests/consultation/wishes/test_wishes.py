"""Loves, hates and limits: honoured in the palette, and said again."""

import numpy as np
import pytest

from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Part, StapleAnswer
from tenter.consultation.conventions.palette_quotas import AccentGroup
from tenter.consultation.personal.edits import Add, ChosenColour, Drop, colour_key, edited
from tenter.consultation.personal.making import palette_of
from tenter.consultation.wishes.honouring import first_to_buy, wished_away
from tenter.consultation.wishes.wishes import Limit, Rule, Wish, Wishes, wished
from tenter.errors import TenterError, UnknownName
from tests.support.clients.palette_clients import CATEGORIES, client


def made(category, **wishes):
    known, _ = client(category)
    return palette_of(known, categories=(category,), wishes=Wishes(**wishes))


def count(palette, family):
    return sum(c.hue_family is family for c in palette.colours)


@pytest.mark.parametrize("category", CATEGORIES[::3])
@pytest.mark.parametrize("family", [HueFamily.PURPLE, HueFamily.PINK, HueFamily.BROWN])
def test_what_is_hated_is_left_out_and_the_number_is_kept(category, family):
    _, usual = client(category)
    palette = made(category, hated=(Wish(family, "I never wear it"),))
    assert count(usual, family) > 0 == count(palette, family)
    assert len(palette.colours) == 44
    assert [(h.sentence, h.answer) for h in palette.honoured] == [
        ("I never wear it", f"No {family} is in your palette.")
    ]


# A place for a neutral whose hues are hated is filled by the next neutral of another hue, about as light.
@pytest.mark.parametrize("family", [HueFamily.BROWN, HueFamily.GREY, HueFamily.DARK, HueFamily.BLUE, HueFamily.WHITE])
@pytest.mark.parametrize("category", ["warm autumn", "bright winter"])
def test_a_hated_neutral_is_replaced_by_another_about_as_light(category, family):
    _, usual = client(category)
    palette = made(category, hated=(Wish(family),))
    assert len(palette.colours) == 44
    assert count(palette, family) == 0
    quiet, before = (sorted(c.lab[0] for c in p.of_part(Part.NEUTRAL, Part.WHITE)) for p in (palette, usual))
    assert len(quiet) == 12
    assert max(abs(L - was) for L, was in zip(quiet, before, strict=True)) <= 16
    assert not {"your navy", "denim"} & {c.title for c in palette.colours if c.hue_family is not HueFamily.BLUE}


def test_where_too_much_is_hated_fewer_colours_are_said_to_be_fewer():
    quiet = (HueFamily.BROWN, HueFamily.GREY, HueFamily.DARK, HueFamily.WHITE, HueFamily.BLUE)
    palette = made("cool summer", hated=tuple(Wish(family) for family in quiet))
    assert len(palette.colours) < 44
    assert palette.honoured[-1].answer.startswith("Your palette has fewer colours than usual: too few others suit")


def test_a_hated_colour_keeps_what_looks_like_it_away():
    _, usual = client("warm autumn")
    hated = usual.of_part(Part.ACCENT)[3].lab
    palette = made("warm autumn", hated=(Wish(hated),))
    assert min(delta_e_2000(np.array([c.lab for c in palette.colours]), np.array(hated))) > 10


def test_a_loved_hue_has_one_more_accent_and_is_named():
    _, usual = client("cool summer")
    palette = made("cool summer", loved=(Wish(HueFamily.TEAL, "my favourite"),))
    teals = [c for c in palette.of_part(Part.ACCENT) if c.hue_family in AccentGroup.TEALS.families]
    assert len(teals) == sum(c.hue_family is HueFamily.TEAL for c in usual.of_part(Part.ACCENT)) + 1
    assert len(palette.colours) == 44
    [told] = palette.honoured
    assert told.answer.startswith("Your teal: ")
    assert all(c.name in told.answer for c in teals)


# common practice, no source. W3: a wanted colour outside the palette has a near neighbour inside, of the same hue.
def test_a_loved_colour_has_the_clients_own_version():
    wanted, gains = wished("fuchsia"), []
    for category in CATEGORIES:
        _, usual = client(category)
        palette = made(category, loved=(Wish(wanted, "I love fuchsia"),))
        own, before = ([c for c in p.colours if c.hue_family is HueFamily.PINK] for p in (palette, usual))
        gains.append(_nearest(before, wanted)[0] - _nearest(own, wanted)[0])
        [told] = palette.honoured
        assert told.answer == f"Your version of fuchsia: {_nearest(own, wanted)[1]}."
    assert min(gains) >= -1e-9
    assert sum(gain > 1 for gain in gains) >= 3  # where theirs was far, it is nearer by more than can be overlooked


def _nearest(colours, lab):
    return min((float(delta_e_2000(np.array(c.lab), np.array(lab))), c.name) for c in colours)


def test_a_hue_that_a_client_has_no_version_of_is_answered_with_the_nearest():
    palette = made("cool winter", loved=(Wish(wished("orange"), "orange, always"),))
    assert count(palette, HueFamily.ORANGE) == 0
    assert palette.honoured[0].answer.startswith("No orange suits you well. The nearest of yours is ")


def test_limits_are_kept_and_said():
    palette = made(
        "light spring",
        limits=(
            Limit(Rule.MUST, "Uniform", wished("navy")),
            Limit(Rule.NEVER, "Not worn in my family", HueFamily.WHITE),
            Limit(Rule.NOTE, "Not more than five pieces a year"),
        ),
    )
    must, never, note = palette.honoured
    best = max(palette.of_part(Part.NEAR_FACE), key=lambda c: c.suitability)
    assert must.answer == f"You have to wear navy: put {best.name} between it and your face."
    assert count(palette, HueFamily.WHITE) == 0
    assert (never.sentence, note.answer) == ("Not worn in my family", "")


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Wishes(loved=(Wish(HueFamily.RED),), hated=(Wish(HueFamily.RED),)), "both loved and hated"),
        (lambda: Wish(HueFamily.METAL), "a wish is about a hue family or a colour"),
        (lambda: Wish((1.0, 2.0)), "a wish is about a hue family or a colour"),
        (lambda: Limit(Rule.MUST, "uniform"), "a limit that says must needs the hue family"),
        (
            lambda: Limit(Rule.BUDGET, "little"),
            "the number of new pieces that a budget allows is a whole number from 1 to 24",
        ),
        (lambda: Limit("perhaps", "uniform"), "no rule of a limit is called 'perhaps'"),
        (lambda: Limit(Rule.NOTE, " "), "why a limit holds"),
    ],
)
def test_a_faulty_wish_says_what_is_wrong(make, said):
    with pytest.raises(TenterError, match=said):
        make()


def test_a_word_is_a_hue_family_or_a_colour_with_a_name():
    assert wished(" Purple ") is HueFamily.PURPLE
    assert len(wished("coral")) == 3
    with pytest.raises(UnknownName, match="no hue family or colour is called 'bleen'"):
        wished("bleen")


# common practice, no source: what is beside the face first, then what goes with all of it.
def test_a_budget_says_what_to_buy_first_and_no_more():
    palette = made("warm autumn", limits=(Limit(Rule.BUDGET, "Three pieces", pieces=3),))
    first = first_to_buy(palette.colours, 3)
    assert [c.part for c in first] == [Part.NEAR_FACE, Part.NEUTRAL, Part.NEAR_FACE]
    assert first[0].suitability == max(c.suitability for c in palette.of_part(Part.NEAR_FACE))
    assert first[1].lab[0] == min(c.lab[0] for c in palette.of_part(Part.NEUTRAL))
    [told] = palette.honoured
    assert told.answer == f"Buy in this order: {', '.join(c.name for c in first)}."


@pytest.mark.parametrize("pieces", [1, 7, 24])
def test_a_larger_budget_begins_as_a_smaller_one_and_names_nothing_twice(pieces):
    _, palette = client("light summer")
    first = first_to_buy(palette.colours, pieces)
    assert len({colour_key(c) for c in first}) == pieces
    assert first == first_to_buy(palette.colours, pieces + 1)[:pieces]


def test_a_staple_that_is_not_wanted_is_swapped_however_well_it_suits():
    usual = {s.name: s for s in client("cool winter")[1].staples}
    assert usual["navy"].answer is not StapleAnswer.SWAP
    staples = {s.name: s for s in made("cool winter", hated=(Wish(wished("navy")),)).staples}
    assert staples["navy"].answer is StapleAnswer.SWAP
    assert staples["navy"].swap_for
    assert staples["white"] == usual["white"]


def test_what_became_of_a_wish_follows_the_consultants_changes():
    known, _ = client("cool summer")
    wishes = Wishes(hated=(Wish(HueFamily.PURPLE, "no purple"),), loved=(Wish(HueFamily.TEAL, "teal"),))
    palette = palette_of(known, categories=("cool summer",), wishes=wishes)
    teals = [c for c in palette.colours if c.hue_family is HueFamily.TEAL]
    edits = [Add(ChosenColour((40.0, 35.0, -35.0), "my violet")), Drop(colour_key(teals[0]))]
    loved, hated = edited(palette, edits, known, wishes=wishes).honoured
    assert hated.answer == "Your consultant chose my violet all the same."
    assert teals[0].name in palette.honoured[0].answer
    assert teals[0].name not in loved.answer.replace("Your teal: ", "").split(", ")


def test_what_was_said_against_a_colour_is_found_by_hue_and_by_likeness():
    wishes = Wishes(
        hated=(Wish(wished("coral"), "coral reminds me of school"),),
        limits=(Limit(Rule.NEVER, "mourning", HueFamily.RED), Limit(Rule.MUST, "uniform", wished("navy"))),
    )
    assert wished_away(wishes, (45.0, 60.0, 35.0)) == ("mourning",)
    assert wished_away(wishes, wished("coral"))[0] == "coral reminds me of school"
    assert wished_away(wishes, wished("navy")) == ()
