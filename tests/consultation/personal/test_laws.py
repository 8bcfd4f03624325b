"""Rules of practice as laws over the twelve categories, on the personal palette. Common practice, no source."""

import numpy as np
import pytest

from tenter import Method
from tenter.colorimetry.spaces import lab_to_lch, lch_to_lab
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.colours.colours import Part, StapleAnswer, Suited
from tenter.consultation.conventions.staple_customs import STAPLES
from tenter.consultation.palette.palette import PLAIN, TOLERANCE
from tenter.consultation.personal.borrowing import neighbours_of
from tenter.consultation.personal.choosing import pool
from tenter.consultation.personal.making import palette_of
from tenter.consultation.personal.tried import nothing_tried
from tenter.consultation.words.traits import UndertoneSide
from tests.support.clients.palette_clients import CATEGORIES, METHOD, client, known_about

QUIET = (HueFamily.WHITE, HueFamily.DARK, HueFamily.GREY, HueFamily.METAL)


def suits(known, *labs):
    lab = np.array(labs, dtype=float)
    return known.suitability(known.places(lab, [hue_family(colour) for colour in lab]))


def side_of(category):
    return METHOD.side_of[METHOD.season_of[category]]


def lightness(colours):
    return float(np.mean([c.lab[0] for c in colours]))


# B3, B4: the trait neighbour is the second season by custom, the next by odds may be another; borrow what is near.
@pytest.mark.parametrize("category", CATEGORIES)
def test_what_is_borrowed_is_a_neighbours_and_near_the_ideal(category):
    known, palette = client(category)
    by_odds = max((c for c in known.masses if c != category), key=lambda c: known.masses[c])
    neighbours = {METHOD.region(category).trait_neighbour, by_odds}
    assert len(palette.borrowed) >= 1
    for colour in palette.borrowed:
        place = known.places(np.array([colour.lab]), [colour.hue_family])[0]
        assert METHOD.category_at(place) in neighbours
        assert np.linalg.norm(place - known.ideal) <= TOLERANCE + 1e-9
        assert (colour.fit, colour.part) == (Suited.BORROW, Part.SMALL)
    assert not {c.lab for c in palette.borrowed} & {c.lab for c in palette.colours}


# B3: the second by custom and the next by odds may be two categories: both may be borrowed from.
def test_where_custom_and_odds_differ_both_neighbours_lend():
    differing = 0
    for category in CATEGORIES:
        known, _ = client(category)
        by_odds = max((c for c in known.masses if c != category), key=lambda c: known.masses[c])
        trait = METHOD.region(category).trait_neighbour
        assert neighbours_of(pool(known, nothing_tried(), ()), (category,)) == {trait, by_odds}
        differing += trait != by_odds
    assert differing >= 4


# B5: equal answers across a border place the client on it: a colour counts as for the one that it suits less.
@pytest.mark.parametrize("pair", [("light spring", "light summer"), ("deep autumn", "deep winter"), CATEGORIES[5:7]])
def test_between_two_the_palette_is_what_both_share(pair):
    first, second = (np.array(METHOD.region(c).prototype) for c in pair)
    known = known_about(tuple(0.65 * first + 0.35 * second))  # on the first one's side of the border
    both = [known.within(c) for c in pair]
    offered = pool(known, nothing_tried(), both)
    assert np.array_equal(offered.score, np.minimum(*(k.suitability(offered.places) for k in both)))
    between = palette_of(known, categories=pair)
    assert between.categories == pair
    assert len(between.colours) == 44
    assert between.colours != palette_of(known, categories=pair[:1]).colours


# D1: black suits the deep; a season's own dark neutral suits at least as well, and both before mid grey.
@pytest.mark.parametrize("category", ["deep autumn", "deep winter"])
def test_a_deep_clients_own_dark_comes_before_black_and_black_before_grey(category):
    known, palette = client(category)
    own = max(c.suitability for c in palette.of_part(Part.NEUTRAL) if c.lab[0] < 30)
    black, grey = suits(known, STAPLES["black"], (55, 0, 0))
    assert own >= black > grey


# D2: a plain mid grey is poor for the warm and clear; soft types are exempt, and so is a method that reads it so.
@pytest.mark.parametrize("category", CATEGORIES)
def test_the_warm_and_clear_have_no_plain_grey(category):
    known, palette = client(category)
    greys = [c for c in palette.colours if c.hue_family is HueFamily.GREY]
    tints = [known.places(np.array([c.lab]), [c.hue_family])[0][0] for c in greys]
    [staple] = [s for s in palette.staples if s.name == "grey"]
    if side_of(category) is UndertoneSide.WARM and category != "soft autumn":
        assert all(abs(tint) >= PLAIN for tint in tints)
        assert staple.answer is StapleAnswer.SWAP
    if category == "soft summer":
        assert staple.answer is not StapleAnswer.SWAP


# D3: too light is an error of its own: who turns out deeper has a deeper palette, of the same undertone.
@pytest.mark.parametrize("category", CATEGORIES)
def test_depth_moves_the_palette_in_depth_alone(category):
    theta = np.array(METHOD.region(category).prototype)

    def about(step):
        known = known_about(tuple(theta + np.array([0, step, 0])))
        return known, palette_of(known, categories=(category,))

    (light, lighter), (_, deeper) = about(0.3), about(-0.3)
    assert lightness(lighter.of_part(Part.NEAR_FACE)) > lightness(deeper.of_part(Part.NEAR_FACE))
    assert lightness(lighter.colours) > lightness(deeper.colours)
    undertones = [
        np.mean([light.places(np.array([c.lab]), [c.hue_family])[0][0] for c in p.of_part(Part.ACCENT)])
        for p in (lighter, deeper)
    ]
    assert abs(undertones[0] - undertones[1]) < 0.25


# D4: a neutral's undertone counts: of two beiges or browns, equal in L* and C*, the golden one is for the warm.
@pytest.mark.parametrize("category", CATEGORIES)
@pytest.mark.parametrize("L", [72.0, 42.0])
def test_a_golden_neutral_suits_the_warm_and_a_rosy_one_the_cool(category, L):
    known, _ = client(category)
    rosy, golden = suits(known, *lch_to_lab(np.array([[L, 9, 15], [L, 9, 85]])))
    assert (golden > rosy) == (side_of(category) is UndertoneSide.WARM)


# W1: what is a little off the ideal is worn away from the face, with something nearer the ideal at it.
@pytest.mark.parametrize("category", CATEGORIES)
def test_accents_have_something_nearer_the_ideal_to_hold_to_the_face(category):
    known, palette = client(category)

    def off(colour):
        return float(np.linalg.norm(known.places(np.array([colour.lab]), [colour.hue_family])[0] - known.ideal))

    nearest = min(off(c) for c in palette.of_part(Part.NEAR_FACE))
    assert all(off(c) >= nearest for c in palette.of_part(Part.ACCENT))
    assert np.mean([off(c) for c in palette.of_part(Part.NEAR_FACE)]) < np.mean(
        [off(c) for c in palette.of_part(Part.ACCENT)]
    )


# W2: the neutrals follow the ideal's depth.
@pytest.mark.parametrize(("undertone", "clarity"), [(0.8, -0.6), (-0.8, -0.6), (0.8, 0.6), (-0.8, 0.6)])
def test_neutrals_follow_the_ideals_depth(undertone, clarity):
    found = [palette_of(known_about((undertone, depth, clarity))) for depth in (-1.4, 0.0, 1.4)]
    dark = [lightness([c for c in p.colours if c.title in ("instead of black", "a suit")]) for p in found]
    middle = [lightness([c for c in p.colours if c.title in ("denim", "trench", "bag", "shoe")]) for p in found]
    assert dark == sorted(dark)
    assert middle == sorted(middle)
    [light] = [c for c in found[-1].colours if c.title == "instead of black"]
    assert dark[0] < dark[-1]
    assert light.lab[0] > 24  # the darkest of a light client is not black


# W4: each hue has a version that works, on the client's side of it, or what to wear instead.
@pytest.mark.parametrize("category", CATEGORIES)
def test_every_hue_has_a_version_of_the_clients_side_or_one_of_their_colours_instead(category):
    known, palette = client(category)
    side = side_of(category)
    missing = {m.hue_family: m.instead for m in palette.missing}
    for family, version in METHOD.versions.of.items():
        own = [c for c in palette.colours if c.hue_family is family]
        if version.instead(side):
            instead = {c.name: c for c in palette.colours if c.name in missing[family].split(" or ")}
            assert " or ".join(instead) == missing[family]
            assert own == []
            assert {c.hue_family for c in instead.values()} == {HueFamily.RED}
            continue
        assert own, family
        for colour in own:
            place = version.place(np.array(colour.lab))
            at = known.places(np.array([colour.lab]), [family])[0][0] if place is None else float(place)
            assert (at > 0) == (side is UndertoneSide.WARM)


def test_a_client_of_no_sure_undertone_has_both_versions():
    known = known_about((0.0, 0.2, -0.2))
    assert 0.3 < known.warm < 0.7
    palette = palette_of(known)
    pink = METHOD.versions.of[HueFamily.PINK]
    pinks = [pink.place(np.array(c.lab)) for c in palette.colours if c.hue_family is HueFamily.PINK]
    assert min(pinks) < 0 < max(pinks)
    assert palette.missing == ()
    assert {"gold", "silver"} <= {m.name for m in palette.metals}


@pytest.mark.parametrize("category", CATEGORIES)
def test_every_staple_is_answered_and_a_swap_is_of_the_palette(category):
    _, palette = client(category)
    names = {c.name for c in palette.colours}
    assert [s.name for s in palette.staples] == list(STAPLES)
    for staple in palette.staples:
        assert (staple.swap_for in names) == (staple.answer is not StapleAnswer.NEAR)


# The trade, from memory. Common practice, no source: where each sub-season wears what every shop sells.
@pytest.mark.parametrize(
    ("category", "near", "swapped"),
    [
        ("light spring", "beige", "black navy grey brown"),
        ("warm spring", "camel beige", "black navy grey white"),
        ("bright spring", "", "grey"),
        ("light summer", "grey", "black camel brown beige"),
        ("cool summer", "navy grey denim", "black camel brown white beige"),
        ("soft summer", "navy grey denim", "black camel white"),
        ("soft autumn", "camel brown beige", "black navy white"),
        ("warm autumn", "camel brown beige", "black navy grey white"),
        ("deep autumn", "camel brown", "grey white"),
        ("bright winter", "black navy white", "camel brown beige"),
        ("cool winter", "black navy white", "camel brown beige"),
        ("deep winter", "black navy white", "camel beige"),
    ],
)
def test_staples_are_worn_as_the_trade_has_it(category, near, swapped):
    _, palette = client(category)
    found = {answer: {s.name for s in palette.staples if s.answer is answer} for answer in StapleAnswer}
    assert found[StapleAnswer.NEAR] == set(near.split())
    assert found[StapleAnswer.SWAP] == set(swapped.split())


# D2 is disputed: a method that does not call grey poor for the warm lets them wear it away from the face.
def test_where_a_method_calls_grey_fair_the_warm_wear_it_away_from_the_face():
    own = Method.parse(
        'extends = "four-by-three"\nname = "fair"\ntitle = "Fair"\n[readings]\nclarity = "chroma"\nmetal_tint = true\n'
        'sibling_colours = "usable"\ngrey_for_warm = "neutral"\n'
    )
    palette = palette_of(known_about(own.region("warm spring").prototype, method=own), categories=("warm spring",))
    assert [s.answer for s in palette.staples if s.name == "grey"] == [StapleAnswer.AWAY]


# The trade: black and a pure white are a winter's own; the others have a dark of their own, and white is cream to warm.
@pytest.mark.parametrize("category", CATEGORIES)
def test_a_winters_palette_has_black_and_a_pure_white_and_no_other(category):
    _, palette = client(category)
    winter = METHOD.season_of[category] == "winter"
    [dark] = [c for c in palette.colours if c.title in ("your black", "instead of black")]
    [white] = [c for c in palette.colours if c.title == "your white"]
    assert (dark.title == "your black", dark.name == "black", white.name == "pure white") == (winter,) * 3
    if METHOD.side_of[METHOD.season_of[category]] is UndertoneSide.WARM:
        [swap] = [s.swap_for for s in palette.staples if s.name == "white"]
        assert swap == white.name


# The trade: an optic white is for the bright and cool. Common practice, no source.
@pytest.mark.parametrize("category", CATEGORIES)
def test_the_plain_white_of_a_shop_is_for_the_bright_and_cool(category):
    _, palette = client(category)
    [white] = [s for s in palette.staples if s.name == "white"]
    undertone, _, clarity = METHOD.region(category).prototype
    assert (white.answer is StapleAnswer.NEAR) == (undertone < -0.25 and clarity > 0.25)


# The trade: a cream for the warm, a white of snow for the cool.
@pytest.mark.parametrize("category", CATEGORIES)
def test_the_whites_are_cream_for_the_warm_and_snow_for_the_cool(category):
    _, palette = client(category)
    for white in palette.of_part(Part.WHITE):
        _, C, h = lab_to_lch(np.array(white.lab))
        cream = C >= 4 and 78 <= h <= 104
        assert cream == (side_of(category) is UndertoneSide.WARM)
    assert [c.title for c in palette.of_part(Part.WHITE)].count("your white") == 1


@pytest.mark.parametrize("name", ["depth-first", "four-seasons"])
def test_every_bundled_method_makes_palettes(name):
    method = Method.bundled(name)
    for region in method.regions[::3]:
        palette = palette_of(known_about(region.prototype, method=method), categories=(region.name,))
        assert len(palette.colours) == 44


def test_a_methods_own_quotas_are_kept():
    own = Method.parse(
        'extends = "four-by-three"\nname = "few"\ntitle = "Few"\npalette_shifts = []\n[palette]\ndark = 1\nmiddle = 0\n'
        "light = 1\nwhites = 1\nnear_face = 2\nreds_and_pinks = 1\nblues = 1\ngreens = 0\npurples = 0\nteals = 0\n"
        "yellows_and_oranges = 2\n"
    )
    palette = palette_of(known_about(own.region("warm autumn").prototype, method=own), categories=("warm autumn",))
    assert len(palette.colours) == own.quotas.total == 9
    assert sum(c.part is Part.NEAR_FACE for c in palette.colours) == 2
    assert not any(c.hue_family is HueFamily.GREEN for c in palette.of_part(Part.ACCENT))
