"""What a pair does to light and to dark skin: a second route, and laws."""

import pytest

from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.typology import skins_by_ita_class
from tenter.consultation.cloths.reflection_factors import default_factors
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.pair_quality import pair_quality
from tenter.consultation.reflected.effect import LEAST_VISIBLE_LAB, LitSkin, ThrowingSurface, reflected_effect

UNDERTONE = [("D061", "D062"), ("D063", "D064"), ("D065", "D066"), ("D067", "D068"), ("D069", "D070"), ("D071", "D072")]


@pytest.fixture(scope="module")
def bench(demo_kit, bundled):
    return bench_of(demo_kit, bundled)


@pytest.mark.parametrize(("first", "second"), [("D061", "D062"), ("D082", "D083"), ("D086", "D088")])
def test_a_pair_on_skin_is_what_the_one_skin_prediction_says(bench, demo_kit, first, second):
    one, other = (ThrowingSurface.of_lab(c, demo_kit.lab[demo_kit.row(c)], D65_10) for c in (first, second))
    for on in pair_quality(bench, first, second).on_skins:
        lit = LitSkin.of_reflectance(skins_by_ita_class()[on.skin], D65_10)
        for place, region in ((on.chin, "chin"), (on.jaw, "jaw_left")):
            effect = reflected_effect(region, lit, default_factors()[region], one, other)
            assert place == pytest.approx(effect.delta_e_2000, abs=1e-3)
        assert on.visible == (effect.delta_e_ab >= LEAST_VISIBLE_LAB)


@pytest.mark.parametrize(("first", "second"), UNDERTONE)
def test_an_undertone_shows_less_the_darker_the_skin_and_more_at_the_jaw(bench, first, second):
    light, middle, dark = pair_quality(bench, first, second).on_skins
    assert light.chin > max(middle.chin, dark.chin) > 0  # the chin's sheen is the same on every skin
    assert light.jaw > middle.jaw > dark.jaw
    assert all(on.jaw > on.chin for on in (light, middle, dark))


def test_a_cloth_against_itself_does_nothing(bench):
    assert all((on.chin, on.jaw, on.visible) == (0, 0, False) for on in pair_quality(bench, "D061", "D061").on_skins)
