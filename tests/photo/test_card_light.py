"""The light on a card is read without knowing its colours; a soft one is followed, and one with an edge is told."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb
from tenter.photo.card_light import light_on_card, light_samples
from tenter.photo.card_shadow import sharpest_edge
from tenter.photo.chart import read_patches
from tenter.photo.correction import SRGB_TONE
from tenter.photo.loading import Photo
from tenter.photo.reference import GRID, WHITE_PATCH, classic24

PITCH, PATCH, MARGIN = 40, 34, 20
COLUMN, ROW = np.arange(24) % 6, np.arange(24) // 6
FRAME_REFLECTANCE = 0.03


def places():
    """Where each pixel of the picture lies, in pitches from the card's corner."""
    y, x = np.mgrid[: 4 * PITCH + 2 * MARGIN, : 6 * PITCH + 2 * MARGIN]
    return (x + 0.5 - MARGIN) / PITCH, (y + 0.5 - MARGIN) / PITCH


def card_under(log_light, noise=0.01):
    """A picture of the card under a light, a function of the place in pitches, and its reading."""
    x, y = places()
    linear = np.full((*x.shape, 3), 0.4)
    linear[(x > -0.1) & (x < 6.1) & (y > -0.1) & (y < 4.1)] = FRAME_REFLECTANCE
    half = PATCH / PITCH / 2
    for k, colour in enumerate(np.maximum(classic24().xyz @ XYZ_TO_SRGB.T, 0.002)):
        linear[(abs(x - COLUMN[k] - 0.5) < half) & (abs(y - ROW[k] - 0.5) < half)] = colour
    linear *= np.exp(log_light(x, y) - 0.3)[..., None]
    linear *= 1 + noise * np.random.default_rng(3).normal(size=linear.shape)
    photo = Photo((np.clip(encode_srgb(np.clip(linear, 0, 1)), 0, 1) * 255 + 0.5).astype(np.uint8))
    square = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * PATCH / 2
    centres = np.stack([COLUMN + 0.5, ROW + 0.5], axis=1) * PITCH + MARGIN - 0.5
    corners = np.array([(0, 0), (6, 0), (6, 4), (0, 4)]) * PITCH + MARGIN - 0.5
    return photo, read_patches(photo, corners, centres[:, None] + square)


def samples_under(log_light, **options):
    return light_samples(*card_under(log_light, **options), SRGB_TONE, GRID)


def penumbra(x, y):
    """As beside a head and a window: a fall towards one side that bends, and a slope."""
    return -0.2 * np.exp(-(((x - 2) / 2.5) ** 2) - ((y - 4) / 1.2) ** 2) - 0.03 * x


def half_shaded(x, y):
    return np.log(0.8) * (x > 3)


def askew(x, y):
    return np.log(0.8) * (x + 0.6 * y > 4.3)


def on_two(x, y):
    return np.log(0.8) * ((x > 2) & (x < 4) & (y > 1) & (y < 2))


@pytest.mark.parametrize("light", [lambda x, y: 0 * x, lambda x, y: 0.05 * x - 0.08 * y, penumbra])
def test_a_soft_light_is_followed_and_has_no_edge(light):
    samples = samples_under(light)
    true = light(COLUMN + 0.5, ROW + 0.5)
    found = light_on_card(samples, WHITE_PATCH)
    assert_allclose(found.log_light, true - true[WHITE_PATCH], atol=0.025)
    assert found.range == pytest.approx(np.ptp(true), abs=0.03)
    assert not sharpest_edge(samples).is_shadow


@pytest.mark.parametrize("light", [half_shaded, askew, on_two])
def test_a_shadow_that_takes_a_fifth_of_the_light_has_an_edge(light):
    edge = sharpest_edge(samples_under(light))
    assert edge.is_shadow
    assert abs(edge.step) == pytest.approx(-np.log(0.8), rel=0.4)


def test_dust_on_one_patch_moves_nothing():
    def dusty(x, y):
        return -1.5 * (np.hypot(x - 2.6, y - 1.6) < 0.12)

    samples = samples_under(dusty)
    assert np.abs(light_on_card(samples, WHITE_PATCH).log_light).max() < 0.03
    assert not sharpest_edge(samples).is_shadow


def test_a_patch_at_white_says_nothing_and_the_frame_beside_it_does():
    def bright(x, y):
        return 0.6 + 0.05 * x

    photo, reading = card_under(bright)
    assert reading.clipped[WHITE_PATCH]
    samples = light_samples(photo, reading, SRGB_TONE, GRID)
    assert WHITE_PATCH not in samples.surface
    assert np.ptp(light_on_card(samples, WHITE_PATCH).log_light) == pytest.approx(0.25, abs=0.04)


def test_a_card_whose_patches_are_a_few_pixels_wide_is_left_alone():
    photo, reading = card_under(half_shaded)
    small = Photo(np.ascontiguousarray(photo.rgb[::4, ::4]))
    quads = (reading.centres_px[:, None] + np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * PATCH / 2) / 4
    assert light_samples(small, read_patches(small, reading.corners_px / 4, quads), SRGB_TONE, GRID) is None
