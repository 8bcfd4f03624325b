"""One scene told apart by spectrum: exact on made-up light, near the twins, and what it says of sheen on dark skin."""

import pytest
from numpy.testing import assert_allclose

from studies.workshop.one_scene import PLACES, model_on, taken_apart, twin_error
from studies.workshop.twin_scenes import skin_of, twin_of


def test_light_made_of_known_parts_is_told_apart():
    skin, cloth = skin_of("p4")["chin"], twin_of("p4").cloth
    thrown = 0.05 * skin * cloth + 0.005 * cloth
    seen = 0.8 * skin + 0.03 + thrown
    found = taken_apart(seen, skin, cloth)
    assert_allclose(found.thrown(cloth), thrown, rtol=1e-6)
    assert_allclose(found.shares, [0.8, 0.05, 0.03, 0.005, 0, 0], atol=1e-6)


@pytest.mark.parametrize("place", PLACES)
def test_a_twin_says_nearly_the_same_of_an_ochre_cloth(place):
    off, change = twin_error("p14", "p13", place)
    assert off < 0.06  # regression: 0.058 at the chin
    assert change > 0.8


@pytest.mark.parametrize("place", PLACES)
def test_on_dark_skin_the_default_sheen_leaves_less_than_half_of_what_none_or_twice_as_much_does(place):
    without, default, twice = model_on("p4", place).missed
    assert default < 0.04
    assert default < 0.5 * min(without, twice)
