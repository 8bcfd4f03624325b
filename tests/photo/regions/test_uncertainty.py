"""Intervals grow with everything that makes a colour less certain."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.measured.basis import CalibrationBasis
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.regions.uncertainty import (
    ColourEvidence,
    ErrorPart,
    colour_half_width_90,
    components,
    placement,
    relative_half_width_90,
    width_of,
)

LAB = np.array([60.0, 12.0, 16.0])
EVIDENCE = ColourEvidence(leave_one_out=2.0, metamerism=np.array([0.3, 0.5, 0.8]), log_spread=0.1, is_skin=True)


def test_each_doubt_widens_the_interval():
    base = colour_half_width_90(LAB, EVIDENCE)
    for doubtful in (
        replace(EVIDENCE, leave_one_out=4.0),
        replace(EVIDENCE, metamerism=2 * EVIDENCE.metamerism),
        replace(EVIDENCE, log_spread=0.3),
        replace(EVIDENCE, is_skin=False),
        replace(EVIDENCE, mixed=0.6),
        replace(EVIDENCE, darkening=0.3),
    ):
        assert np.all(colour_half_width_90(LAB, doubtful) > base)


def test_a_channel_cut_off_at_black_makes_hue_doubtful_and_not_lightness_of_a_region():
    base = colour_half_width_90(LAB, EVIDENCE)
    cut, lost = (
        colour_half_width_90(LAB, replace(EVIDENCE, crushed=0.2)),
        colour_half_width_90(LAB, replace(EVIDENCE, lost=0.4)),
    )
    assert cut[0] == base[0]
    assert np.all(cut[1:] > base[1:])
    assert np.all(lost > base)


def test_what_every_photograph_shows_widens_nothing():
    assert np.all(
        colour_half_width_90(LAB, replace(EVIDENCE, mixed=0.1, lost=0.1, darkening=-0.1))
        == colour_half_width_90(LAB, EVIDENCE)
    )


@pytest.mark.parametrize(
    ("doubtful", "parts"),
    [
        ({"leave_one_out": 4.0}, {ErrorPart.FIT}),
        ({"metamerism": np.ones(3)}, {ErrorPart.METAMERISM}),
        ({"log_spread": 0.3}, {ErrorPart.PLACEMENT}),
        ({"mixed": 0.6}, {ErrorPart.LAMPS}),
        ({"darkening": 0.3}, {ErrorPart.CORNERS}),
        ({"uneven": 0.6}, {ErrorPart.CARD_LIGHT}),
        ({"crushed": 0.2}, {ErrorPart.BLACK}),
        ({"lost": 0.5}, {ErrorPart.BLACK}),
        ({"doubt": (1.0, 1.0, 1.0)}, {ErrorPart.CARD}),
        ({"recoloured": (1.0, 1.0, 1.0)}, {ErrorPart.RECOLOURED}),
        ({"light_doubt": 0.1}, {ErrorPart.CARD_LIGHT}),
        ({"poor_light": 0.5}, {ErrorPart.LAMP}),
        ({"jpeg_step": 50.0}, {ErrorPart.FILE}),
    ],
)
def test_each_doubt_has_a_part_of_the_interval_to_itself(doubtful, parts):
    before, after = components(LAB, EVIDENCE), components(LAB, replace(EVIDENCE, **doubtful))
    assert {part for part in before if not np.array_equal(before[part], after[part])} == parts


@pytest.mark.parametrize("basis", [CalibrationBasis.CHART, CalibrationBasis.GREY])
@pytest.mark.parametrize("is_skin", [True, False])
def test_the_parts_of_an_interval_shared_and_own_add_up_to_it(basis, is_skin):
    parts = components(LAB, replace(EVIDENCE, basis=basis, is_skin=is_skin, uneven=0.6, doubt=(0.5, 0.6, 0.7)))
    shared, own = ({p: s for p, s in parts.items() if p.shared is kind} for kind in (True, False))
    whole = colour_half_width_90(
        LAB, replace(EVIDENCE, basis=basis, is_skin=is_skin, uneven=0.6, doubt=(0.5, 0.6, 0.7))
    )
    assert_allclose(np.hypot(width_of(shared), width_of(own)), whole)


def test_what_the_card_and_the_camera_do_is_shared_and_what_the_light_does_is_not():
    assert all(
        part.shared for part in (ErrorPart.METAMERISM, ErrorPart.CARD, ErrorPart.RECOLOURED, ErrorPart.PLACEMENT)
    )
    assert not any(part.shared for part in (ErrorPart.FIT, ErrorPart.CARD_LIGHT, ErrorPart.LAMPS))
    assert not any(part.shared and part.of_card_light for part in ErrorPart)


def test_a_poor_lamp_and_a_compressed_file_widen_chroma_more_than_lightness():
    plain = colour_half_width_90(LAB, EVIDENCE)
    by_lamp = colour_half_width_90(LAB, replace(EVIDENCE, poor_light=1.0)) / plain
    by_file = colour_half_width_90(LAB, replace(EVIDENCE, jpeg_step=96.0)) / plain
    assert by_lamp[0] == 1
    assert by_lamp[1:].min() > 1.1
    assert by_file.min() > 1.04
    assert (
        colour_half_width_90(LAB, replace(EVIDENCE, jpeg_step=9.0)) / plain
    ).max() < 1.03  # quality 92 rounds off nothing


def test_patches_that_agree_worse_than_a_camera_explains_widen_the_interval_sharply():
    def half(error):
        return colour_half_width_90(LAB, replace(EVIDENCE, leave_one_out=error))

    assert (half(3.0) - half(2.0)).min() > 3 * (half(2.0) - half(1.0)).max()


def test_no_picture_is_certain():
    certain = colour_half_width_90(LAB, ColourEvidence(0.0, np.zeros(3), 0.0, is_skin=True))
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
