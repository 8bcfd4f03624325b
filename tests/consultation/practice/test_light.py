"""What physics and appearance can check too: rules T1, T4, I6 and I7."""

from pathlib import Path

import numpy as np
import pytest

from tenter import Answer, Kit, Method, PairJudgement, Sitting
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.reflectance import (
    recover_nearest_reflectance,
    reflectance_to_lab,
    resample,
    under_reflected_light,
)
from tenter.consultation.cloths.reflection_factors import CHIN
from tenter.consultation.reading.plan import Planner
from tests.support.clients.practice_clients import DARK_PAIR, VISIBLE_PAIRS, moved, served_at

SKINS = Path(__file__).parents[2] / "data" / "nist_skin" / "nist_skin_mean_360-830nm_5nm.csv"
# The bundled method with the other reading of clarity.
SATURATION = """
name = "darker-is-stronger"
title = "At equal chroma, darker reads as stronger"
extends = "four-by-three"
[readings]
clarity = "saturation"
metal_tint = true
sibling_colours = "usable"
grey_for_warm = "poor"
"""
# Two hues of one family, the warm one first, and a chroma that a surface can have at L* 75 and at L* 25.
MATCHED_HUES = {
    "red": (40, 8),
    "pink": (40, 350),
    "brown": (70, 20),
    "yellow": (85, 103),
    "green": (118, 165),
    "teal": (190, 170),
    "blue": (205, 255),
    "purple": (283, 325),
}


@pytest.fixture(scope="module")
def skins() -> FloatArray:
    """Reflectances (100, 81) of 100 inner forearms: tests/data/nist_skin/README.md."""
    table = np.loadtxt(SKINS, delimiter=",", skiprows=1)
    return resample(table[:, 1:].T, table[:, 0])


@pytest.fixture(scope="module")
def saturation() -> Method:
    return Method.parse(SATURATION)


def lch(L: float, C: float, h: float) -> tuple[float, float, float]:
    return (L, C * float(np.cos(np.radians(h))), C * float(np.sin(np.radians(h))))


# common practice, no source. T1: a yellow-based cloth yellows every face. Skins: Cooksey, Allen and Tsai (2017),
# J. Res. NIST 122, Art. 26; cloths as smooth reflectances of their colours.
@pytest.mark.parametrize("pair", [*VISIBLE_PAIRS, DARK_PAIR])
def test_the_yellower_cloth_of_a_matched_pair_yellows_every_skin(kit, skins, pair):
    cloths = recover_nearest_reflectance(kit.lab[[kit.row(c) for c in pair]], D65_10.illuminant, D65_10.observer)
    yellow, blue = (
        reflectance_to_lab(under_reflected_light(skins, c, CHIN.value), D65_10.illuminant, D65_10.observer)
        for c in cloths
    )
    assert len(skins) == 100
    assert np.all(yellow[:, 2] - blue[:, 2] > 0)


# common practice, no source. T1: seeing that a cloth yellows the face, or colours it, is not evidence.
@pytest.mark.parametrize("sign", ["more-colour", "less-colour"])
@pytest.mark.parametrize("answer", [Answer.NOTHING_SEEN, Answer.LEFT, Answer.BOTH_WRONG])
@pytest.mark.parametrize("pair", [*VISIBLE_PAIRS[:2], DARK_PAIR])
def test_more_colour_without_own_tint_moves_nothing(sit, pair, answer, sign):
    with_sign = sit(PairJudgement(*pair, answer, signs=tuple(f"{c}:{sign}" for c in pair)))
    assert with_sign.estimates() == sit(PairJudgement(*pair, answer)).estimates()


# common practice, no source. T4: light cloths show undertone better than dark ones. Law over hues and chroma.
@pytest.mark.parametrize("shift", ["exact", "perturbed"])
@pytest.mark.parametrize("chroma", [18, 24])
@pytest.mark.parametrize("family", MATCHED_HUES)
def test_a_light_matched_pair_shows_more_than_the_same_pair_dark(bundled, family, chroma, shift):
    # The light pair moved by ΔE00 2, and the dark one by the same steps of chroma and hue, so that it stays its match.
    light = np.array([lch(75, chroma, h) for h in MATCHED_HUES[family]])
    if shift == "perturbed":
        light[:, 1:] = moved(light, np.random.default_rng(20))[:, 1:]
    dark = np.column_stack([np.full(2, 25.0), light[:, 1:]])
    kit = Kit.from_lab(["light-warm", "light-cool", "dark-warm", "dark-cool"], [*light, *dark], [family] * 4)
    sitting = Sitting(kit, bundled, seed=7)
    frame, posterior = sitting.planning_frame, sitting.planning_posterior
    told = Planner(sitting.bench).information(frame, posterior, frame.sides, np.array([[0, 1], [2, 3]]))
    assert told[0] > told[1]
    chins = sitting.bench.chins
    assert delta_e_2000(chins[0], chins[1]) > 2 * delta_e_2000(chins[2], chins[3])


# common practice, no source. T4, on the kit's own pairs at L* 75 and L* 25.
def test_the_kits_light_pair_shows_more_than_its_dark_pair(sit, kit):
    sitting = sit()
    frame, posterior = sitting.planning_frame, sitting.planning_posterior
    rows = np.array([[kit.row(c) for c in pair] for pair in (("D063", "D064"), DARK_PAIR)])
    told = Planner(sitting.bench).information(frame, posterior, frame.sides, rows)
    assert told[0] > told[1]
    effects = delta_e_2000(sitting.bench.chins[rows[:, 0]], sitting.bench.chins[rows[:, 1]])
    assert effects[0] > 2 * effects[1]


# common practice, no source. I6: at the same chroma, darker reads as stronger, if the method file says so. That CAM16
# saturation rises from 40 to 56 here, and C* stays, is tests/colorimetry/test_appearance.py.
@pytest.mark.parametrize("hue", range(0, 360, 40))
def test_the_reading_of_clarity_is_switched_by_the_method_file(bundled, saturation, hue):
    kit = Kit.from_lab(["light", "dark"], [lch(75, 30, hue), lch(30, 30, hue)], ["red", "red"])
    plain, stronger = (method.coordinates(kit) for method in (bundled, saturation))
    assert plain[0, 2] == pytest.approx(plain[1, 2], abs=1e-9)
    assert stronger[0, 2] < plain[0, 2] - 0.3
    assert stronger[1, 2] > plain[1, 2] + 0.3
    assert np.allclose(stronger[:, :2], plain[:, :2])


# common practice, no source. I7: depth and clarity interact. Law under the saturation reading, over hues and chroma.
@pytest.mark.parametrize("category", ["deep autumn", "deep winter"])
@pytest.mark.parametrize("chroma", [20, 30, 45])  # dark surfaces of C* 60 are hardly real, and too strong for anyone
def test_a_deep_client_takes_a_dark_bright_cloth_before_a_light_one(kit, saturation, category, chroma):
    sitting, verdict, _ = served_at(kit, saturation, saturation.region(category).prototype)
    assert verdict.category == category
    hues = range(0, 360, 20)
    labs = [lch(L, chroma, h) for L in (75, 32) for h in hues]
    light, dark = np.split(saturation.coordinates(Kit.from_lab([str(i) for i in range(36)], labs, ["red"] * 36)), 2)
    posterior = sitting.posterior()
    worth = [
        posterior.expectation(
            np.stack([s.utility(cloths, posterior.lattice.ideals) for s in posterior.lattice.shapes], axis=1)
        )
        for cloths in (light, dark)
    ]
    assert np.all(worth[0] < worth[1])
    assert np.all(dark[:, 2] > light[:, 2] + 0.5)
