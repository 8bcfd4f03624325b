"""Loves, hates and limits: honoured in the palette, and said again."""

import numpy as np
import pytest

from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.hue_families import HueFamily
from tenter.consultation.palette_quotas import AccentGroup
from tenter.consultation.personal.colours import Part
from tenter.consultation.personal.making import palette_of
from tenter.consultation.personal.wishes import Limit, Rule, Wish, Wishes, wished
from tenter.errors import TenterError, UnknownName

from .clients import CATEGORIES, client


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
    lost = sum(c.hue_family is family for c in usual.of_part(Part.NEUTRAL))
    assert len(palette.colours) >= 44 - lost
    assert [(h.sentence, h.answer) for h in palette.honoured] == [
        ("I never wear it", f"No {family} is in your palette.")
    ]


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
        (lambda: Limit("perhaps", "uniform"), "no rule of a limit 'perhaps'"),
        (lambda: Limit(Rule.NOTE, " "), "why a limit holds"),
    ],
)
def test_a_faulty_wish_says_what_is_wrong(make, said):
    with pytest.raises(TenterError, match=said):
        make()


def test_a_word_is_a_hue_family_or_a_colour_with_a_name():
    assert wished(" Purple ") is HueFamily.PURPLE
    assert len(wished("coral")) == 3
    with pytest.raises(UnknownName, match="no hue family or colour 'bleen'"):
        wished("bleen")
