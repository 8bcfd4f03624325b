"""Intervals grow with everything that makes a colour less certain."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.photo.correction import D65_WHITE
from tenter.photo.uncertainty import Evidence, half_width_90, placement, relative_half_width_90

LAB = np.array([60.0, 12.0, 16.0])
EVIDENCE = Evidence(leave_one_out=2.0, metamerism=np.array([0.3, 0.5, 0.8]), log_spread=0.1, is_skin=True)


def test_each_doubt_widens_the_interval():
    base = half_width_90(LAB, EVIDENCE)
    for doubtful in (
        replace(EVIDENCE, leave_one_out=4.0),
        replace(EVIDENCE, metamerism=2 * EVIDENCE.metamerism),
        replace(EVIDENCE, log_spread=0.3),
        replace(EVIDENCE, is_skin=False),
        replace(EVIDENCE, mixed=0.6),
        replace(EVIDENCE, darkening=0.3),
    ):
        assert np.all(half_width_90(LAB, doubtful) > base)


def test_a_channel_cut_off_at_black_makes_hue_doubtful_and_not_lightness_of_a_region():
    base = half_width_90(LAB, EVIDENCE)
    cut, lost = half_width_90(LAB, replace(EVIDENCE, crushed=0.2)), half_width_90(LAB, replace(EVIDENCE, lost=0.4))
    assert cut[0] == base[0]
    assert np.all(cut[1:] > base[1:])
    assert np.all(lost > base)


def test_what_every_photograph_shows_widens_nothing():
    assert np.all(
        half_width_90(LAB, replace(EVIDENCE, mixed=0.1, lost=0.1, darkening=-0.1)) == half_width_90(LAB, EVIDENCE)
    )


def test_no_picture_is_certain():
    certain = half_width_90(LAB, Evidence(0.0, np.zeros(3), 0.0, is_skin=True))
    assert np.all(certain >= 0.6)


@given(st.floats(30, 80), st.floats(0.5, 25), st.floats(1, 30))
def test_placement_is_how_far_lab_moves_when_the_light_changes(lightness, a, b):
    lab, step = np.array([lightness, a, b]), 1e-4
    brighter = xyz_to_lab(lab_to_xyz(lab, D65_WHITE) * (1 + step), D65_WHITE)
    assert_allclose(placement(lab, step), np.abs(brighter - lab), rtol=1e-2, atol=1e-6)


def test_a_difference_is_less_certain_without_a_card_and_when_it_is_large():
    nothing = np.zeros((2, 3))
    small, large = np.array([1.0, 0.5, 0.5]), np.array([30.0, 3.0, 4.0])
    assert np.all(relative_half_width_90(large, nothing, True) > relative_half_width_90(small, nothing, True))
    assert np.all(relative_half_width_90(large, nothing, False) > relative_half_width_90(large, nothing, True))
