"""Undertone within the hue family, on for wear and off for judging; W3 and W4, the white and the metals."""

import itertools
from functools import cache

import numpy as np
import pytest

from tenter import DrapeJudgement, Kit, Method, Sitting, Suits
from tenter.colorimetry.spaces import lch_to_lab
from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily, hue_family
from tenter.consultation.cloths.roles import kit_tests
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.palette.palette import palette
from tenter.consultation.palette.palette_parts import Fit
from tenter.consultation.palette.wanted import nearest_own
from tenter.consultation.words.answers import Relative
from tenter.consultation.words.traits import UndertoneSide
from tenter.errors import UnknownName
from tests.support.clients.practice_clients import CATEGORIES, DARK_PAIR, VISIBLE_PAIRS, served_at

UNDERTONE = Axis.UNDERTONE.column


# -- on for wear, off for judging ------------------------------------------------------------------------------------


def test_what_is_judged_by_is_the_hue_table_alone(kit, bundled):
    judged, worn = bundled.coordinates(kit), bundled.coordinates(kit, use="wear")
    assert np.array_equal(judged, bundled.coordinates(kit, use="judge"))
    assert np.array_equal(judged, Bench.of(kit, bundled).coordinates)
    assert np.array_equal(judged[:, 1:], worn[:, 1:])
    assert (np.abs(judged - worn)[:, UNDERTONE] > 0.3).sum() > 20
    with pytest.raises(UnknownName, match="'cook'"):
        bundled.coordinates(kit, use="cook")


# common practice, no source: the test pairs are meant to differ in undertone, whatever is asked of them.
def test_every_test_pair_keeps_its_side_for_wear_too(kit, bundled):
    judged, worn = (dict(zip(kit.ids, bundled.coordinates(kit, use), strict=True)) for use in ("judge", "wear"))
    pairs = {*VISIBLE_PAIRS, DARK_PAIR, *((a.id, b.id) for t in kit_tests(kit) for a, b in t.pairs)}
    assert len(pairs) >= 6
    for warm, cool in [p for p in pairs if abs(judged[p[0]][UNDERTONE] - judged[p[1]][UNDERTONE]) > 0.3]:
        assert (judged[warm] - judged[cool])[UNDERTONE] * (worn[warm] - worn[cool])[UNDERTONE] > 0
        assert judged[warm][UNDERTONE] * worn[warm][UNDERTONE] > 0
        assert judged[cool][UNDERTONE] * worn[cool][UNDERTONE] > 0


# Regression value, against a shopkeeper's labels, which are no truth: D015 is a violet-blue, which the trade disputes.
def test_the_palette_cloths_keep_the_side_of_their_group(demo_kit, bundled):
    worn = bundled.coordinates(demo_kit, "wear")[:, UNDERTONE]
    other = [
        d.id
        for d, u in zip(demo_kit.drapes, worn, strict=True)
        if d.role == "palette" and (u > 0) != (bundled.side_of[bundled.season_of[d.group]] is UndertoneSide.WARM)
    ]
    assert other == ["D015"]


def test_a_method_without_versions_wears_what_it_judges_by(demo_kit):
    plain = Method.parse('extends = "four-by-three"\nname = "plain"\ntitle = "Plain"\nhues = []\n')
    assert np.array_equal(plain.coordinates(demo_kit, "wear"), plain.coordinates(demo_kit))


# -- W4 ----------------------------------------------------------------------------------------------------------------


@cache
def full(kit: Kit) -> Kit:
    """Return a kit with cloths of every hue, at four lightnesses and three chromas, beside its own."""
    lab = lch_to_lab(np.array(list(itertools.product((30, 45, 60, 75), (13, 25, 40), np.arange(3, 360, 12))), float))
    return Kit.from_lab(
        [*kit.ids, *(f"G{i}" for i in range(len(lab)))],
        [*kit.lab, *lab],
        [*kit.hue_families, *(str(hue_family(colour)) for colour in lab)],
        undertone={d.id: d.undertone for d in kit.drapes if d.undertone is not None},
    )


# common practice, no source. W4: the hue family that is hardest for a type still has a side that works.
@pytest.mark.parametrize("category", CATEGORIES)
def test_every_hue_family_has_a_version_or_something_instead(kit, bundled, category):
    more = full(kit)
    found = served_at(more, bundled, bundled.region(category).prototype)
    side = bundled.side_of[found.verdict.season]
    assert {h.family for h in found.palette.hues} == set(HueFamily) - {"white", "dark", "grey", "metal"}
    for answer in found.palette.hues:
        version = bundled.versions.of[answer.family]
        assert bool(answer.version) != bool(answer.instead)
        assert answer.instead == version.instead(side)
        if answer.family is HueFamily.ORANGE and side is UndertoneSide.COOL:
            assert (answer.entry, answer.instead) == (None, "coral-red or watermelon")
        elif answer.entry is None:
            # Bright browns are hardly made, and a light purple on its red side is called a pink.
            assert answer.family is HueFamily.BROWN or (answer.family, found.verdict.season) == ("purple", "spring")
        else:
            drape = answer.entry.drape
            place = version.place(more.lab[more.row(drape.id)])
            at = bundled.coordinates(more, "wear")[more.row(drape.id), UNDERTONE] if place is None else place
            assert (at > 0) == (side is UndertoneSide.WARM)


def test_a_family_that_the_hue_table_leaves_to_one_side_has_both(kit, bundled):
    more = full(kit)
    judged, worn = (bundled.coordinates(more, use)[:, UNDERTONE] for use in ("judge", "wear"))
    family = np.array(more.hue_families)
    for name, sign in (("blue", 1), ("purple", 1), ("brown", -1)):
        rows = [i for i in np.flatnonzero(family == name) if more.ids[i].startswith("G")]
        assert not (judged[rows] * sign > 0).any()
        assert (worn[rows] * sign > 0).any()
    orange = family == "orange"
    assert (worn[orange] > 0).all()


# -- W3 ----------------------------------------------------------------------------------------------------------------


# common practice, no source. W3: a wanted colour outside the palette has a near neighbour inside, of the same hue name.
@pytest.mark.parametrize("category", CATEGORIES[::2])
def test_a_wanted_colour_has_a_near_neighbour_of_its_own_hue(serve, kit, bundled, category):
    found = serve(category).palette
    own = [*found.of_fit(Fit.BEST), *found.of_fit(Fit.YES)]
    ids, worn = {e.drape.id for e in own}, bundled.coordinates(kit, "wear")
    hues, told = {e.drape.hue_family for e in own}, 0
    column = {word: i // 2 for i, word in enumerate(Relative)}  # two words an axis, in the order of the axes
    for drape in kit.drapes:
        if drape.id in ids or drape.is_metal:
            continue
        near = nearest_own(kit, bundled, drape.id, own)
        assert near.same_hue == (drape.hue_family in hues)
        assert not near.same_hue or near.entry.drape.hue_family is drape.hue_family
        step = worn[kit.row(near.entry.drape.id)] - worn[kit.row(drape.id)]
        for word in near.steps:
            positive = word in (Relative.WARMER, Relative.LIGHTER, Relative.BRIGHTER)
            assert (step[column[word]] > 0) == positive
            told += 1
    assert told > 10
    assert nearest_own(kit, bundled, "D001", []) is None


# -- white and metals --------------------------------------------------------------------------------------------------


# common practice, no source: white by undertone, then by softness; an optic white is for bright cool clients alone.
@pytest.mark.parametrize("category", CATEGORIES)
def test_the_white_is_of_the_undertone_and_optic_for_bright_cool_clients_alone(serve, kit, bundled, category):
    _, verdict, found = serve(category)
    white = found.predicted_white.drape.id
    tint = bundled.coordinates(kit, "wear")[kit.row(white), UNDERTONE]
    warm = verdict.traits[Axis.UNDERTONE].mean
    assert tint * warm > 0
    bright = verdict.traits[Axis.CLARITY].mean >= 0.25
    assert (white == "D086") == (warm < 0 and bright)


# common practice, no source: of a slight undertone both metals are the client's, the one that was seen to blend first.
def test_a_slight_undertone_wears_both_metals_and_first_the_one_that_blends(demo_kit, bundled, demo_judgements):
    def metals(client, *more):
        sitting = Sitting(demo_kit, bundled, seed=7).record_all([*demo_judgements[client], *more])
        return [e.drape.id for e in palette(sitting, sitting.verdict()).metals]

    def seen(metal, sign):
        return DrapeJudgement(metal, Suits.TOLERABLE, signs=(f"{metal}:{sign}",))

    assert set(metals("K3")) == {"D089", "D090", "D091"}
    for metal in ("D089", "D090"):
        assert metals("K3", seen(metal, "blends"))[0] == metal
        assert metals("K3", seen(metal, "stands-apart"))[-1] == metal
    assert set(metals("K5")) == {"D089", "D091"}
