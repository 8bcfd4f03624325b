"""What a cloth's light does to a face: laws, the exact exchange of two patches, and Lab values alone."""

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_2, D65_10
from tenter.colorimetry.reflectance import WavelengthMismatch, resample, under_reflected_light
from tenter.colorimetry.typology import mean_skin_reflectance
from tenter.consultation.cloths.reflection_factors import (
    CHIN,
    REFLECTION_REGIONS,
    ReflectionFactor,
    ShadedSide,
    default_factors,
    shaded_side,
)
from tenter.consultation.cloths.roles import kit_tests
from tenter.consultation.reflected.effect import (
    LEAST_VISIBLE_LAB,
    EffectSize,
    LitSkin,
    ThrowingSurface,
    reflected_effect,
    reflected_effects,
)
from tenter.errors import TenterError

SKINS = Path(__file__).parents[2] / "data" / "nist_skin" / "nist_skin_mean_360-830nm_5nm.csv"
WHITE = ThrowingSurface("white", np.full(81, 0.9), recovered=False)
GREY = ThrowingSurface("grey", np.full(81, 0.2), recovered=False)
BLACK = ThrowingSurface("black", np.zeros(81), recovered=False)


@pytest.fixture(scope="module")
def skins():
    """100 inner forearms: tests/data/nist_skin/README.md."""
    table = np.loadtxt(SKINS, delimiter=",", skiprows=1)
    return [LitSkin.of_reflectance(r, D65_2) for r in resample(table[:, 1:].T, table[:, 0])]


@pytest.fixture(scope="module")
def skin():
    return LitSkin.of_reflectance(mean_skin_reflectance(), D65_2)


@pytest.mark.parametrize("shaded", ShadedSide)
def test_a_black_cloth_does_nothing(skin, shaded):
    effects = reflected_effects(dict.fromkeys(REFLECTION_REGIONS, skin), default_factors(shaded), BLACK)
    assert list(effects) == list(REFLECTION_REGIONS)
    for effect in effects.values():
        assert np.array_equal(effect.delta_lab, np.zeros(3))
        assert effect.delta_e_2000 == 0
        assert effect.size is EffectSize.TOO_SMALL


def test_a_cloth_against_itself_does_nothing_and_against_another_the_opposite(skin):
    assert reflected_effect("chin", skin, CHIN, WHITE, WHITE).delta_e_2000 == 0
    one, other = reflected_effect("chin", skin, CHIN, WHITE, GREY), reflected_effect("chin", skin, CHIN, GREY, WHITE)
    assert_allclose(one.delta_lab, -other.delta_lab)
    assert one.delta_lab[0] > 0


# J. H. Lambert's exchange between two plane patches, each seeing F of the other, in closed form: with the light E on
# both, L1 = ρ1 E (1 + F ρ2) / (1 - F² ρ1 ρ2). One bounce leaves out what comes back a second time, and no more.
@pytest.mark.parametrize("share", [0.01, 0.08, 0.3])
def test_two_plane_patches_in_closed_form(skin, share):
    exact = skin.reflectance * (1 + share * WHITE.reflectance)
    exact /= 1 - share**2 * skin.reflectance * WHITE.reflectance
    one = under_reflected_light(skin.reflectance, WHITE.reflectance, share)
    assert np.all(one <= exact)
    assert_allclose(one, exact, rtol=1.2 * share**2 * 0.9 * skin.reflectance.max())


def test_no_light_is_made():
    """In 10,000 random scenes no more is sent back than arrives, nor than the exact exchange sends."""
    rng = np.random.default_rng(16)
    skin, cloth = rng.uniform(0, 0.95, (2, 10_000))
    sheen = rng.uniform(0, 1, 10_000) * (1 - skin)
    share, light = rng.uniform(0, 1, 10_000), rng.uniform(0, 3, 10_000)
    thrown = [under_reflected_light(s, c, f, g) for s, c, f, g in zip(skin, cloth, share * light, sheen, strict=True)]
    arriving = 1 + share * light * cloth
    exact = (skin + (skin + sheen) * share * light * cloth) / (1 - share**2 * cloth * (skin + sheen))
    assert np.all(np.array(thrown) <= arriving + 1e-12)
    assert np.all(np.array(thrown) <= exact + 1e-12)
    assert np.all(np.array(thrown) >= skin)


# common practice, no source. T1: a yellow-based cloth yellows every face; every place, every pair of the kit's own.
def test_the_warm_cloth_of_a_pair_raises_b_on_every_skin(demo_kit, skins):
    pairs = [pair for test in kit_tests(demo_kit) if test.name.startswith("undertone-") for pair in test.pairs]
    assert (len(pairs), len(skins)) == (7, 100)
    for cloths in pairs:
        lab = {cloth.role.rpartition("-")[2]: demo_kit.lab[demo_kit.row(cloth.id)] for cloth in cloths}
        warm, cool = (ThrowingSurface.of_lab(end, lab[end], D65_10) for end in ("warm", "cool"))
        for factor in default_factors().values():
            assert min(reflected_effect("", s, factor, warm, cool).delta_lab[2] for s in skins) > 0


def test_lab_alone_predicts_nearly_what_spectra_do(skins):
    """Regression: at the chin 0.09 ΔE00 in the median of 100 skins, 0.10 at most, beside a saturated cloth."""
    steps = np.linspace(0, 1, 81)
    cloth = ThrowingSurface("red", 0.04 + 0.6 / (1 + np.exp(-(steps - 0.55) * 40)), recovered=False)
    lab = LitSkin.of_reflectance(cloth.reflectance, D65_10).lab
    smooth = ThrowingSurface.of_lab("red", lab, D65_10)
    assert smooth.recovered
    apart = []
    for known in skins:
        guessed = LitSkin.of_lab(known.lab, D65_2)
        assert guessed.recovered
        assert_allclose(guessed.lab_beside(None, 1.0), known.lab, atol=1e-5)
        one, other = (reflected_effect("chin", s, CHIN, c) for s, c in ((known, cloth), (guessed, smooth)))
        assert (one.recovered, other.recovered) == (False, True)
        apart.append(delta_e_2000(known.lab + one.delta_lab, known.lab + other.delta_lab))
    assert np.median(apart) < 0.1
    assert np.max(apart) < 0.15


def test_a_wider_factor_widens_the_range_and_decides_what_can_be_seen(skin):
    small = reflected_effect("forehead", skin, default_factors()["forehead"], WHITE)
    assert small.size is EffectSize.TOO_SMALL
    assert not small.visible
    room = reflected_effect("jaw", skin, ReflectionFactor(0.05, 0.001, 0.5), WHITE)
    assert room.size is EffectSize.DEPENDS
    assert room.delta_e_ab > LEAST_VISIBLE_LAB
    assert room.to_json()["visible"] is room.visible is False
    assert room.delta_e_2000_range[0] < room.delta_e_2000 < room.delta_e_2000_range[1]
    assert room.delta_lab_range[0, 0] < room.delta_lab[0] < room.delta_lab_range[0, 1]
    sure = reflected_effect("jaw", skin, ReflectionFactor(0.2, 0.15, 0.3), WHITE)
    assert sure.size is EffectSize.VISIBLE
    assert sure.to_json()["visible"] is sure.visible is True
    assert sure.delta_e_ab > sure.delta_e_ab_range[0] > LEAST_VISIBLE_LAB


def test_sheen_lightens_and_keeps_the_cloths_own_colour(skin):
    blue = ThrowingSurface("blue", np.linspace(0.6, 0.05, 81), recovered=False)
    plain, glossy = (reflected_effect("chin", skin, ReflectionFactor(0.05, 0, 0.1, g), blue) for g in (0.0, 0.1))
    assert glossy.delta_lab[0] > plain.delta_lab[0]
    assert glossy.delta_lab[2] < plain.delta_lab[2] < 0


@pytest.mark.parametrize("wrong", [np.full(81, 45.0), np.full(81, -0.1), np.full(81, np.nan)])
def test_a_reflectance_that_no_surface_has_is_refused(wrong):
    with pytest.raises(TenterError, match="Divide percent by 100"):
        ThrowingSurface("cloth", wrong, recovered=False)
    with pytest.raises(WavelengthMismatch):
        LitSkin.of_reflectance(np.full(31, 0.3), D65_2)


def test_the_shaded_side_is_found_and_gets_more():
    assert shaded_side({"cheek_left": 40.0, "cheek_right": 70.0}) is ShadedSide.LEFT
    assert shaded_side({"cheek_left": 70.0, "cheek_right": 59.0}) is ShadedSide.RIGHT
    assert shaded_side({"cheek_left": 66.0, "cheek_right": 70.0}) is ShadedSide.NEITHER
    assert shaded_side({"cheek_left": 40.0}) is ShadedSide.NEITHER
    left = default_factors(ShadedSide.LEFT)
    assert left["jaw_left"].value > left["jaw_right"].value
    assert left["cheek_left"].value > left["cheek_right"].value
    either = default_factors()
    assert either["jaw_left"] == either["jaw_right"]
    assert (either["jaw_left"].low, either["jaw_left"].high) == (left["jaw_right"].low, left["jaw_left"].high)


@pytest.mark.parametrize("numbers", [(0.1, 0.2, 0.3), (0.1, -0.1, 0.3), (0.1, 0.0, 9.0), (0.1, 0.0, 0.3, 2.0)])
def test_a_factor_outside_its_range_or_of_no_room_is_refused(numbers):
    with pytest.raises(TenterError):
        ReflectionFactor(*numbers)
