"""The lamp's own light on cloths that shine: found where a cloth is folded, and in no matt cloth."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.photo.cloth.even_part import even_part
from tenter.photo.cloth.shine import shine_of, shine_on
from tenter.photo.patches.correction import D65_WHITE

LABS = ((22, 5, -22), (40, 0, 0), (42, 50, 25))
NAVY, GREY, RED = lab_to_xyz(np.array(LABS, dtype=float), D65_WHITE)


def pixels(body, shade, shine, noise=0.0):
    """XYZ (n, 3) of a cloth's colour in shades (n,) with so much of a white's light (n,) on it."""
    rng = np.random.default_rng(2)
    return shade[:, None] * body + shine[:, None] * D65_WHITE + rng.normal(0, noise, (len(shade), 3))


def folded(body, shine, noise=0.0):
    """A cloth in folds, with so much shine on its lightest half, and which pixels are of that half."""
    shade, on = np.linspace(0.7, 1.0, 2400), np.arange(2400) >= 1200
    return pixels(body, shade, shine * on, noise), on


def test_shine_is_told_from_shade():
    shade, shine = np.linspace(0.5, 1.2, 30), np.linspace(0.0, 0.1, 30)
    assert_allclose(shine_of(RED, pixels(RED, shade, shine)), shine, atol=1e-9)


@pytest.mark.parametrize("body", [NAVY, RED])
def test_what_lies_on_the_kept_part_is_found(body):
    xyz, kept = folded(body, 0.04)
    assert shine_on(xyz, kept) == pytest.approx(0.04, rel=0.15)


@pytest.mark.parametrize("body", [NAVY, RED])
def test_a_matt_cloth_in_folds_has_none_whatever_the_noise(body):
    for noise in (0.0, 0.002):
        xyz, kept = folded(body, 0.0, noise)
        assert shine_on(xyz, kept) < 0.02 * body[1]


def test_on_grey_no_shine_is_told_from_shade():
    xyz, kept = folded(GREY, 0.04)
    assert shine_on(xyz, kept) == 0


def test_shine_and_noise_are_no_other_colour_and_another_dye_is():
    rng = np.random.default_rng(3)
    shiny, _ = folded(NAVY, 0.06)
    printed = np.concatenate([pixels(NAVY, np.ones(1600), np.zeros(1600)), pixels(RED, np.ones(800), np.zeros(800))])
    for clean, other in ((shiny, 0.0), (printed, 1 / 3)):
        xyz = clean + rng.normal(0, 0.0005, clean.shape)
        assert even_part(xyz, xyz_to_lab(np.maximum(xyz, 1e-5), D65_WHITE)).other == pytest.approx(other, abs=0.02)
