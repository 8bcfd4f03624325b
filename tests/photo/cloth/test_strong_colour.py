"""Colours stronger than a picture can hold: the line on which they lie, and where it ends."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from studies.scenes.cloth_scene import cloth_reflectances, true_lab
from tenter.colorimetry.real_surfaces import POINTER, is_real_surface
from tenter.colorimetry.spaces import SRGB_TO_XYZ, XYZ_TO_SRGB, lab_to_xyz, xyz_to_lab
from tenter.photo.cloth.strong_colour import beyond_the_picture
from tenter.photo.patches.correction import D65_WHITE

CLOTHES = lab_to_xyz(true_lab(cloth_reflectances()), D65_WHITE)
ALL_RED = np.array([1.0, 0.0, 0.0])


def beyond_srgb():
    """Clothes with a channel below 0 (m, 3) in XYZ, what sRGB holds of them, and which channel it is."""
    linear = CLOTHES @ XYZ_TO_SRGB.T
    out = (linear < -0.004).any(axis=1)
    return CLOTHES[out], np.maximum(linear[out], 0) @ SRGB_TO_XYZ.T, (linear[out] < -0.004).astype(float)


def test_the_true_colour_lies_in_the_interval_and_nearer_the_estimate_where_much_is_lost():
    true, held, channels = beyond_srgb()
    assert len(true) >= 2
    for colour, read, lost in zip(true, held, channels, strict=True):
        likeliest, half = beyond_the_picture(read, lost)
        target, found, before = (xyz_to_lab(np.maximum(c, 1e-5), D65_WHITE) for c in (colour, likeliest, read))
        assert (np.abs(found - target) <= half + 1.0).all()
        if np.linalg.norm(before - target) > 8:
            assert np.linalg.norm(found - target) < np.linalg.norm(before - target)


def test_up_to_a_half_nothing_changes_and_then_little_by_little():
    read = CLOTHES[4]
    same, half = beyond_the_picture(read, np.array([0.5, 0.2, 0.0]))
    assert_allclose(same, read)
    assert not half.any()
    widths = [np.linalg.norm(beyond_the_picture(read, part * ALL_RED)[1]) for part in (0.51, 0.6, 0.8, 1.0)]
    assert widths == sorted(widths)
    assert widths[0] < 1 < widths[-1]


def test_no_end_of_the_line_is_stronger_than_real_surfaces_are():
    grey = lab_to_xyz(np.array([50.0, 0.0, 0.0]), D65_WHITE)
    for channel in np.eye(3):
        likeliest, _ = beyond_the_picture(grey, channel)
        end = xyz_to_lab(2 * likeliest - grey, D65_WHITE)
        assert is_real_surface(end, POINTER)
        assert np.hypot(*end[1:]) > 10


def test_a_colour_that_no_surface_has_stays_where_it_is():
    strongest = lab_to_xyz(np.array([50.0, -90.0, 40.0]), D65_WHITE)
    likeliest, half = beyond_the_picture(strongest, ALL_RED)
    assert likeliest == pytest.approx(strongest)
    assert not half.any()
