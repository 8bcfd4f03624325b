"""What a pair does to light, middle and dark skin: the table of skins, a second route, and laws."""

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import reflectance_to_lab, resample
from tenter.consultation.cloths.reflection_factors import default_factors
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.pair_quality import pair_quality
from tenter.consultation.laid_out.skin_depths import SkinDepth, skins_light_to_dark
from tenter.consultation.reflected.effect import LEAST_VISIBLE_LAB, LitSkin, ThrowingSurface, reflected_effect

DATA = Path(__file__).parents[2] / "data"
UNDERTONE = [("D061", "D062"), ("D063", "D064"), ("D065", "D066"), ("D067", "D068"), ("D069", "D070"), ("D071", "D072")]


@pytest.fixture(scope="module")
def bench(demo_kit, bundled):
    return bench_of(demo_kit, bundled)


# C. C. Cooksey, D. W. Allen, B. K. Tsai (2017), J. Res. NIST 122, Art. 26, doi:10.6028/jres.122.026: 100 forearms.
def test_the_skins_are_means_of_ten_published_forearms_each():
    table = np.loadtxt(DATA / "nist_skin" / "nist_skin_mean_360-830nm_5nm.csv", delimiter=",", skiprows=1)
    forearms = resample(table[:, 1:].T, table[:, 0])
    by_lightness = forearms[np.argsort(-reflectance_to_lab(forearms, "D65", D65_10.observer)[:, 0])]
    expected = [by_lightness[rows].mean(axis=0) for rows in (slice(0, 10), slice(45, 55), slice(90, 100))]
    assert_allclose(skins_light_to_dark(), expected, rtol=0, atol=0.5e-5 + 1e-9)  # written to five digits
    assert [str(depth) for depth in SkinDepth] == ["light", "middle", "dark"]


@pytest.mark.parametrize(("first", "second"), [("D061", "D062"), ("D082", "D083"), ("D086", "D088")])
def test_a_pair_on_skin_is_what_the_one_skin_prediction_says(bench, demo_kit, first, second):
    one, other = (ThrowingSurface.of_lab(c, demo_kit.lab[demo_kit.row(c)], D65_10) for c in (first, second))
    for on, skin in zip(pair_quality(bench, first, second).on_skins, skins_light_to_dark(), strict=True):
        lit = LitSkin.of_reflectance(skin, D65_10)
        for place, region in ((on.chin, "chin"), (on.jaw, "jaw_left")):
            effect = reflected_effect(region, lit, default_factors()[region], one, other)
            assert place == pytest.approx(effect.delta_e_2000, abs=1e-3)
        assert on.visible == (effect.delta_e_ab >= LEAST_VISIBLE_LAB)


@pytest.mark.parametrize(("first", "second"), UNDERTONE)
def test_an_undertone_shows_less_the_darker_the_skin_and_more_at_the_jaw(bench, first, second):
    light, middle, dark = pair_quality(bench, first, second).on_skins
    assert light.chin > middle.chin > dark.chin > 0
    assert light.jaw > middle.jaw > dark.jaw
    assert all(on.jaw > on.chin for on in (light, middle, dark))


def test_a_cloth_against_itself_does_nothing(bench):
    assert all((on.chin, on.jaw, on.visible) == (0, 0, False) for on in pair_quality(bench, "D061", "D061").on_skins)
