"""Pointer's gamut: the published table, between its points, and carried to the light of the kit."""

import numpy as np
import pytest
from coloraide.gamut.pointer import LUT, PointerGamut
from numpy.testing import assert_allclose, assert_array_equal

from tenter.colorimetry.measurement import D65_10
from tenter.colorimetry.real_surfaces import POINTER, _rings, is_real_surface, most_chroma, pointer_table
from tenter.colorimetry.spaces import lch_to_lab


# Peers: two programs that carry the table of M. R. Pointer (1980), Color Res. Appl. 5(3), 145-155.
def test_the_table_is_what_two_other_programs_have(colour_science):
    peer = colour_science.models.datasets.pointer_gamut.DATA_POINTER_GAMUT_VOLUME
    assert_array_equal(pointer_table().reshape(-1, 3), peer)
    assert_array_equal(pointer_table()[..., 1].T, np.array(LUT)[:36])


def test_the_limit_between_the_points_is_coloraides(rng):
    peer = PointerGamut()
    lightness, hue = rng.uniform(15, 90, 200), rng.uniform(0, 360, 200)
    expected = [peer.get_chroma_limit(at, angle) for at, angle in zip(lightness, hue, strict=True)]
    assert_allclose(most_chroma(lightness, hue, POINTER), expected, rtol=0, atol=1e-9)


# Measured surfaces under D65 by the 10 degree observer, where the points were carried by recovered reflectances.
def test_measured_objects_are_real_surfaces(vrhel):
    told = vrhel.lab[:, 0] >= 20  # below, the table is coarse, and many of the paint chips are stronger
    assert told.sum() > 200
    assert is_real_surface(vrhel.lab[told]).mean() > 0.97


@pytest.mark.parametrize("conditions", [POINTER, D65_10], ids=str)
def test_black_and_white_end_it_and_strong_light_lies_outside(conditions):
    hues = np.arange(0, 360, 15.0)
    assert_allclose(most_chroma(0.0, hues, conditions), 0)
    assert_allclose(most_chroma(100.0, hues, conditions), 0)
    assert not is_real_surface(
        lch_to_lab(np.stack([np.full(24, 50.0), np.full(24, 120.0), hues], -1)), conditions
    ).any()
    assert is_real_surface(lch_to_lab(np.stack([np.full(24, 50.0), np.full(24, 20.0), hues], -1)), conditions).all()
    assert_allclose(most_chroma(50.0, 0.0, conditions), most_chroma(50.0, 360.0, conditions))


def test_colours_of_any_shape_are_told():
    lab = lch_to_lab(np.stack(np.broadcast_arrays([40.0, 60, 70], [[20.0], [130.0]], 45.0), axis=-1))
    assert lab.shape == (2, 3, 3)
    assert is_real_surface(lab).tolist() == [[True] * 3, [False] * 3]
    assert bool(is_real_surface(lab[0, 0]))


def test_a_point_without_chroma_keeps_its_place_among_the_hues_of_its_level():
    assert (pointer_table()[..., 1] == 0).any()
    for ring in _rings(D65_10):
        around = np.diff(ring[:, 2], append=ring[0, 2]) % 360
        assert around.sum() == pytest.approx(360)
        assert around.min() > 2
        assert around.max() < 30
