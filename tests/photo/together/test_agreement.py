"""Whether photographs of one face agree, and what is said where they do not."""

import json
from itertools import combinations, permutations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.regions.interval_parts import ColourInParts
from tenter.photo.regions.regions import SKIN, Region
from tenter.photo.together.agreement import ApartCode, agreement_of

REGIONS = (*SKIN, Region.LIPS)
OWN, SHARED = np.array([0.7, 0.6, 0.9]), np.array([1.2, 0.7, 0.9])
FACE = {region: np.array([64.0 - 3 * k, 10.0 + 0.5 * k, 15.0 + 0.4 * k]) for k, region in enumerate(REGIONS)}
CARD = np.array([[0.8, -0.6], [1.6, -0.6], [1.6, 0.6], [0.8, 0.6]])


def photograph(light=1.0, moved=None):
    """The face as a photograph shows it whose card got so much of the light, with some regions moved."""
    found = {}
    for region, lab in FACE.items():
        seen = xyz_to_lab(lab_to_xyz(lab, D65_WHITE) / light, D65_WHITE) + (moved or {}).get(region, np.zeros(3))
        found[region] = ColourInParts(seen, np.zeros(3), OWN, np.array([2.0, 0, 0]), SHARED)
    return found


def everywhere(delta):
    return {region: np.array(delta, dtype=float) for region in REGIONS}


def agreement(*photographs, cards=None):
    names = [f"{letter}.jpg" for letter, _ in zip("abcde", photographs, strict=False)]
    return agreement_of(names, photographs, cards or [None] * len(photographs))


def codes(found):
    return [apart.code for apart in found.findings]


def test_the_same_face_in_the_same_light_agrees():
    found = agreement(photograph(), photograph(moved=everywhere([0.3, -0.3, 0.4])), photograph(0.99))
    assert (found.agree, found.findings, dict(found.apart), found.odd) == (True, (), {}, None)
    assert found.text.startswith("The 3 photographs agree")
    assert found.face is not None
    assert found.face.freedom == 2


def test_another_light_on_the_card_is_told_by_the_whole_face_and_by_how_much():
    found = agreement(photograph(), photograph(0.8))
    assert codes(found) == [ApartCode.LIGHTNESS]
    by = abs(found.shifts[0, 0] - found.shifts[1, 0])
    assert 5 < by < 6.5
    assert f"in lightness by {by:.0f} all over the face: b.jpg is lightest" in found.text
    assert "did not get the same light in both" in found.text
    assert "a third tells which one is off" in found.text
    assert set(found.apart) == set(REGIONS)


@pytest.mark.parametrize(("light", "said"), [(0.75, "lighter than the others"), (1.3, "darker than the others")])
@pytest.mark.parametrize("place", [0, 1, 2])
def test_of_three_the_odd_one_is_named_with_what_its_card_got(light, said, place):
    photographs = [photograph(), photograph(1.01)]
    photographs.insert(place, photograph(light))
    found = agreement(*photographs)
    assert found.odd == place
    assert f"{'abc'[place]}.jpg shows the whole face" in found.text
    assert said in found.text
    assert ("less light" in found.text) is (light < 1)
    assert f"Leave {'abc'[place]}.jpg out" in found.text


def test_of_three_that_all_differ_none_is_odd():
    found = agreement(photograph(0.7), photograph(), photograph(1.4))
    assert found.odd is None
    assert "in all" in found.text


def test_another_colour_on_the_card_is_told():
    found = agreement(photograph(), photograph(moved=everywhere([0, 2.5, -3])))
    assert codes(found) == [ApartCode.COLOUR]
    assert "a* by 2.5 and b* by 3.0" in found.text
    assert "Light of another colour fell on the card" in found.text


def test_light_from_another_side_is_not_the_cards_doing():
    turned = {Region.CHEEK_LEFT: np.array([8.0, 0, 0]), Region.CHEEK_RIGHT: np.array([-8.0, 0, 0])}
    found = agreement(photograph(), photograph(moved=turned))
    assert codes(found) == [ApartCode.SIDE_LIGHT]
    assert "cheek left (L* +8.0)" in found.text
    assert "cheek right (L* −8.0)" in found.text
    assert set(found.apart) == set(turned)


def test_one_region_alone_is_named_with_what_may_lie_behind_it():
    found = agreement(photograph(), photograph(moved={Region.LIPS: np.array([0.0, 9, 0])}))
    assert codes(found) == [ApartCode.REGIONS]
    assert "lips (a* +9.0)" in found.text
    assert "make-up" in found.text
    assert list(found.apart) == [Region.LIPS]
    assert found.apart[Region.LIPS].tolist() == [False, True, False]


def test_a_change_of_light_alone_is_not_said_again_of_tint_or_of_a_region():
    found = agreement(photograph(), photograph(0.6))
    assert ApartCode.COLOUR not in codes(found)
    assert ApartCode.REGIONS not in codes(found)
    assert ApartCode.SIDE_LIGHT not in codes(found)


@pytest.mark.parametrize("other", [photograph(0.4), photograph(moved=everywhere([0, 5, 7]))], ids=["dark", "tint"])
def test_what_is_hardly_one_skin_is_asked_about_first(other):
    found = agreement(photograph(), other)
    assert codes(found)[0] is ApartCode.OTHER_FACE
    assert "Check that all show one person" in found.text


def test_the_order_changes_nothing_but_the_names():
    photographs = [photograph(), photograph(0.78), photograph(1.02, {Region.CHIN: np.array([0.0, 0.5, 0.5])})]
    first = agreement(*photographs)
    for order in permutations(range(3)):
        again = agreement(*(photographs[n] for n in order))
        assert order[again.odd] == first.odd
        assert_allclose(again.shifts, first.shifts[list(order)], atol=1e-9)
        assert_allclose(again.face.chi_square, first.face.chi_square)
        assert {r: a.tolist() for r, a in again.apart.items()} == {r: a.tolist() for r, a in first.apart.items()}


@pytest.mark.parametrize(
    ("other", "moved"),
    [(CARD + 0.01, False), (CARD + np.array([0.2, 0]), True), (np.roll(CARD, 2, axis=0), True), (None, None)],
)
def test_a_card_that_stayed_where_it_was_is_pointed_out(other, moved):
    found = agreement(photograph(), photograph(), cards=[CARD, other])
    assert found.card_moved is moved
    assert found.agree
    assert ("seems to be in the same place" in found.text) is (moved is False)


AWAY = CARD + np.array([0.2, 0])


@pytest.mark.parametrize(
    ("lights", "cards", "alike"),
    [
        ((1, 1, 1), (CARD, CARD + 0.01, AWAY), {(0, 1)}),
        ((1, 1, 1), (CARD, None, CARD), {(0, 2)}),
        ((1, 1, 1), (CARD, CARD, CARD), {(0, 1), (0, 2), (1, 2)}),
        ((1, 0.7, 1), (CARD, CARD, CARD), set()),
        ((1, 1, 0.7), (CARD, CARD, AWAY), {(0, 1)}),
        ((1, 0.7), (CARD, CARD), set()),
    ],
    ids=["one moved", "one unseen", "none moved", "its light changed", "another light elsewhere", "it changed for two"],
)
def test_photographs_share_a_hold_of_the_card_where_nobody_moved_it_and_its_light_was_the_same(lights, cards, alike):
    found = agreement(*map(photograph, lights), cards=cards)
    pairs = combinations(range(len(lights)), 2)
    assert {(n, k) for n, k in pairs if found.holds[n] == found.holds[k]} == alike


def test_photographs_without_common_skin_are_compared_by_what_they_share():
    lips = {Region.LIPS: photograph()[Region.LIPS]}
    found = agreement(photograph(), lips)
    assert found.face is None
    assert found.agree
    assert list(found.regions) == [Region.LIPS]


def test_the_json_gives_spread_and_expectation_of_every_region():
    document = json.loads(json.dumps(agreement(photograph(), photograph(0.8), photograph()).to_json()))
    assert list(document) == ["agree", "text", "findings", "odd_one_out", "card_moved", "face", "regions"]
    assert document["odd_one_out"] == "b.jpg"
    assert document["findings"][0]["code"] == "lightness"
    for spread in (document["face"], document["regions"]["chin"]):
        assert spread["agree"] == [False, True, True]
        assert spread["spread"][0] > 3 * spread["expected"][0]
        assert spread["degrees_of_freedom"] == 2
