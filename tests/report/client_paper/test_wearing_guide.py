"""Outfits, contrast, prints and shade families; and which colours a reader of few hues needs words for."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from tenter.colorimetry.colour_vision import Dichromacy, seen_with
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_10
from tenter.consultation.axes import Axis
from tenter.consultation.client.contrast import ContrastLevel, contrast_level, level_of_step
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Part
from tenter.consultation.colours.matching import harmony
from tenter.consultation.words.traits import LeadingTrait
from tenter.report.client_paper.guide import guide
from tenter.report.client_paper.in_words import alike
from tenter.report.client_paper.outfits import Outfits, colour_outfits
from tenter.report.client_paper.shades import shades
from tests.support.clients.invented_palette import invented_palette

NO_SIDES = dict.fromkeys(Axis)


@pytest.fixture(scope="module")
def parts():
    palette = invented_palette()
    return {part: shades(palette.of_part(part), D65_10) for part in Part}


def made(parts, contrast):
    return colour_outfits(parts[Part.NEAR_FACE], parts[Part.NEUTRAL] + parts[Part.WHITE], parts[Part.ACCENT], contrast)


def step(outfit):
    lightness = [s.lab[0] for s in outfit.shades]
    return max(lightness) - min(lightness)


# common practice, no source: clothes repeat the step from light to dark that a face has.
@pytest.mark.parametrize(
    ("hair", "level"), [(52.0, ContrastLevel.LOW), (33.0, ContrastLevel.MEDIUM), (10.0, ContrastLevel.HIGH)]
)
def test_outfits_repeat_the_contrast_of_the_face_before_anything_else(parts, face, hair, level):
    contrast = contrast_level(face(hair=hair))
    assert contrast.level is level
    found = made(parts, contrast)
    assert found.of_two
    two = found.of_two[0]
    assert level_of_step(step(two)) in contrast.levels
    assert two.reason.endswith("like your features")


def test_without_contrast_no_outfit_is_said_to_match_the_features(parts):
    found = made(parts, None)
    assert len(found.of_two) == 4
    assert not [o for o in (*found.of_two, *found.of_three) if "features" in o.reason]


def test_among_outfits_that_fit_alike_the_more_harmonious_comes_first(parts):
    best = max(((t, n) for t in parts[Part.NEAR_FACE] for n in (*parts[Part.NEUTRAL], *parts[Part.WHITE])), key=harmony)
    assert made(parts, None).of_two[0].shades == best


def test_no_colour_comes_twice_and_white_carries_one_outfit_at_most(parts):
    found = made(parts, None)
    used = [s.name for o in (*found.of_two, *found.of_three) for s in o.shades]
    assert len(used) == len(set(used))
    carried = [o.shades[1].family for o in (*found.of_two, *found.of_three)]
    assert carried.count(HueFamily.WHITE) <= 1
    assert all(len(o.shades) == 3 for o in found.of_three)


def test_a_palette_without_neutrals_gives_no_outfit():
    assert colour_outfits((), (), (), None) == Outfits((), ())


def test_contrast_is_said_only_where_hair_or_eyes_were_read(face):
    nothing = Outfits((), ())
    unread = guide(NO_SIDES, contrast_level(face(hair=None)), nothing, (), minor=False)
    assert unread.contrast == ""
    assert "not measured" in unread.contrast_note
    read = guide(NO_SIDES, contrast_level(face(hair=10.0)), nothing, (), minor=False)
    assert read.contrast.startswith("There is a strong step")
    assert "your hair" in read.contrast_note
    assert len(read.prints) == len(unread.prints) + 1


def test_a_contrast_of_which_the_level_is_unsure_says_what_else_it_may_be(face):
    contrast = contrast_level(face(hair=24.0))
    unsure = replace(contrast, step_90=(20.0, 45.0))
    told = guide(NO_SIDES, unsure, Outfits((), ()), (), minor=False).contrast
    assert "the step may also be small or a strong one" in told


def test_shade_families_follow_the_undertone_and_stay_open_where_it_is(face):
    told = {
        side: guide({**NO_SIDES, Axis.UNDERTONE: side}, None, Outfits((), ()), ("silver",), minor=False).shades
        for side in (LeadingTrait.WARM, LeadingTrait.COOL, None)
    }
    assert "coral" in told[LeadingTrait.WARM][0].text
    assert "berry" in told[LeadingTrait.COOL][0].text
    assert "neither golden nor ash" in told[None][1].text
    assert all("Metal rims: silver." in advice[2].text for advice in told.values())


def test_words_are_given_for_colours_that_look_alike_to_a_reader_of_few_hues():
    palette = invented_palette()
    every = shades(palette.colours, D65_10)
    found = alike(every)
    assert found
    for pair in found:
        one, other = np.array(pair.one.lab), np.array(pair.other.lab)
        assert delta_e_2000(one, other) >= 12
        assert min(delta_e_2000(seen_with(one, k), seen_with(other, k)) for k in Dichromacy) < 6
        assert pair.one.words in pair.text
        assert pair.other.words in pair.text
    named = [s.name for pair in found for s in (pair.one, pair.other)]
    assert len(named) == len(set(named))


def test_no_words_are_needed_for_colours_that_everybody_tells_apart():
    two = [s for s in shades(invented_palette().colours, D65_10) if s.name in ("Charcoal", "Pale lemon")]
    assert len(list(combinations(two, 2))) == 1
    assert alike(two) == ()
    assert alike(two[:1]) == ()
