"""What the page answers agrees with the garment check, which reckons each colour by itself."""

import numpy as np
import pytest

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10, Colours
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.consultation.cloths.hue_families import hue_families, hue_family
from tenter.consultation.colours.colour_words import book_words, word_lab
from tenter.consultation.colours.names import known_names
from tenter.consultation.garments.check import SURE_OF_ROLE, check_garment
from tenter.consultation.garments.garment import Garment, GarmentColour, KnownBy
from tenter.consultation.garments.given import FAMILIES, named_garment
from tenter.consultation.garments.measured_role import measured_role
from tenter.consultation.garments.role import ROLES, GarmentAnswer
from tenter.report.phone_page.asked import HOLDING_RULES, AskedColours, asked_of
from tenter.report.phone_page.screen_colours import LEVELS, grid_lab, hex_of_names, lab_of_screen
from tests.support.screen_grid import place_in_grid

CLIENTS = ("K2", "K5")


@pytest.fixture(scope="module")
def asked(kept):
    made = {}
    for client in CLIENTS:
        one = kept(client)
        made[client] = asked_of(one.palette, one.known, *named_colours(one.palette, known_names()[:1]))
    return made


def named_colours(palette, names):
    """Return the colours (n, 3) of names, and how far each name reaches."""
    colours = [named_garment(name, palette).colours[0] for name in names]
    return np.array([c.lab for c in colours]), np.array([c.half_width_90 for c in colours])


def answers_of(found: AskedColours) -> list[GarmentAnswer]:
    return [
        ROLES[s] if p >= SURE_OF_ROLE else GarmentAnswer.CANNOT_TELL
        for s, p in zip(found.step, found.certainty, strict=True)
    ]


@pytest.mark.parametrize("client", CLIENTS)
def test_two_hundred_colours_of_the_grid_have_the_role_that_the_garment_check_gives(kept, asked, client):
    one, (grid, _) = kept(client), asked[client]
    for at in np.random.default_rng(3).integers(LEVELS**3, size=200):
        lab = tuple(float(v) for v in grid_lab()[at])
        alone = measured_role(one.palette, one.known, [GarmentColour(lab, (0.0, 0.0, 0.0))])
        assert ROLES[grid.step[at]] is alone.role
        assert HOLDING_RULES[grid.held[at]] is alone.held
        for column, offset in enumerate(alone.off.values()):
            assert grid.off[at, column] == pytest.approx([offset.mean, offset.low, offset.high], abs=0.03)


@pytest.mark.parametrize("client", CLIENTS)
def test_a_typed_colour_hardly_differs_from_the_grids(kept, asked, client):
    one, (grid, _) = kept(client), asked[client]
    codes = np.random.default_rng(4).integers(256, size=(200, 3))
    same, apart = 0, []
    for rgb, lab in zip(codes, lab_of_screen(codes / 255), strict=True):
        at = place_in_grid(tuple(int(v) for v in rgb))
        alone = measured_role(one.palette, one.known, [GarmentColour(tuple(map(float, lab)), (0.0, 0.0, 0.0))])
        steps = abs(int(grid.step[at]) - ROLES.index(alone.role))
        same += steps == 0
        apart.append(steps if grid.certainty[at] >= SURE_OF_ROLE else 0)
    assert same >= 180
    assert np.mean(np.array(apart) > 0) <= 0.05  # a sure answer is hardly ever another


@pytest.mark.parametrize("client", CLIENTS)
def test_names_get_the_answers_of_the_garment_check(kept, asked, client):
    one = kept(client)
    names = [*known_names(), *book_words()[::9], *FAMILIES][CLIENTS.index(client) :: len(CLIENTS)]
    named = asked_of(one.palette, one.known, *named_colours(one.palette, names))[1]
    checks = [check_garment(one.palette, one.known, named_garment(name, one.palette)) for name in names]
    assert [ROLES[s] for s in named.step] == list(map(_at_the_middle(one), names))
    same = [a is c.answer for a, c in zip(answers_of(named), checks, strict=True)]
    assert np.mean(same) >= 0.96
    for answer, check in zip(answers_of(named), checks, strict=True):
        assert answer is check.answer or GarmentAnswer.CANNOT_TELL in (answer, check.answer)
    own = (*one.palette.colours, *one.palette.borrowed)
    assert all(own[n] == c.nearest.colour for n, c in zip(named.nearest, checks, strict=True))


def _at_the_middle(one):
    def role(name):
        lab = named_garment(name, one.palette).colours[0].lab
        return measured_role(one.palette, one.known, [GarmentColour(lab, (0.0, 0.0, 0.0))]).role

    return role


@pytest.mark.parametrize("client", CLIENTS)
def test_what_to_wear_it_with_is_what_the_garment_check_says(kept, asked, client):
    one, (grid, _) = kept(client), asked[client]
    own = (*one.palette.colours, *one.palette.borrowed)
    for at in np.random.default_rng(5).integers(LEVELS**3, size=40):
        lab = tuple(float(v) for v in grid_lab()[at])
        check = check_garment(
            one.palette, one.known, Garment((GarmentColour(lab, (2.0, 2.0, 2.0), 1.0, KnownBy.NAME),))
        )
        with_it = [own[n].name for n in (grid.white[at], grid.neutral[at], grid.near[at]) if n >= 0]
        if check.answer is GarmentAnswer.NEAR_FACE:
            assert sorted(c.name for c in check.goes_with) == sorted(with_it[:2])
        else:
            assert [c.name for c in check.between] == with_it


def test_a_screens_colour_is_carried_to_the_other_observer():
    codes = np.random.default_rng(6).random((40, 3))
    exact = Colours(srgb_to_lab(codes), D65_2).under(D65_10).lab
    assert delta_e_2000(lab_of_screen(codes), exact).max() < 0.5
    assert delta_e_2000(srgb_to_lab(codes), exact).max() > 1.0  # what leaving it out would miss


def test_places_in_the_grid_are_the_nearest():
    for rgb in np.random.default_rng(7).integers(256, size=(50, 3)):
        at = place_in_grid(tuple(int(v) for v in rgb))
        place = np.array(np.unravel_index(at, (LEVELS,) * 3)) * 255 / (LEVELS - 1)
        assert np.abs(place - rgb).max() <= 255 / (LEVELS - 1) / 2 + 0.51


def test_many_hue_families_are_those_of_each():
    labs = np.random.default_rng(8).uniform([0, -90, -90], [100, 90, 90], (400, 3))
    assert hue_families(labs) == tuple(hue_family(lab) for lab in labs)


def test_names_of_books_and_colours_of_a_palette_are_shown_as_any_other_colour():
    lab = np.array([word_lab("sage"), (52.0, 31.0, -7.0), word_lab("sage"), (71.5, -12.0, 22.0)])
    assert hex_of_names(lab, D65_10) == Colours(lab, D65_10).on_screen()[0]
