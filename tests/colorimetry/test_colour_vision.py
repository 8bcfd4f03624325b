"""Simulated dichromacy against colour-science, and what it must and must not change."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.colour_vision import Dichromacy, seen_with
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import decode_srgb, encode_srgb, srgb_to_lab

ANOMALIES = {
    Dichromacy.PROTANOPIA: "Protanomaly",
    Dichromacy.DEUTERANOPIA: "Deuteranomaly",
    Dichromacy.TRITANOPIA: "Tritanomaly",
}


# Machado, Oliveira & Fernandes (2009), severity 1, as colour-science tabulates it.
@pytest.mark.parametrize("kind", Dichromacy)
def test_the_simulation_agrees_with_colour_science(colour_science, kind):
    matrix = colour_science.blindness.CVD_MATRICES_MACHADO2010[ANOMALIES[kind]][1.0]
    rgb = np.random.default_rng(7).uniform(0, 1, (60, 3))
    theirs = np.clip(decode_srgb(rgb) @ matrix.T, 0, 1)
    assert_allclose(seen_with(srgb_to_lab(rgb), kind), srgb_to_lab(encode_srgb(theirs)), rtol=0, atol=1e-6)


@pytest.mark.parametrize("kind", Dichromacy)
def test_greys_stay_grey(kind):
    greys = np.array([(L, 0.0, 0.0) for L in (10, 30, 50, 70, 95)])
    assert_allclose(seen_with(greys, kind), greys, rtol=0, atol=0.2)


def test_red_and_green_of_one_lightness_come_together_and_blue_and_yellow_do_not():
    red, green, blue, yellow = (50.0, 45, 35), (50.0, -20, 45), (60.0, 5, -45), (60.0, 5, 55)
    for kind in (Dichromacy.PROTANOPIA, Dichromacy.DEUTERANOPIA):
        apart = delta_e_2000(seen_with(red, kind), seen_with(green, kind))
        assert apart < 0.4 * delta_e_2000(red, green)
        assert delta_e_2000(seen_with(blue, kind), seen_with(yellow, kind)) > 25
