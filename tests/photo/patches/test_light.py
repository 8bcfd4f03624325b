"""The light on a card is read without knowing its colours, and a soft one is followed."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.photo.card.patch_fit import patches_of
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import read_patches
from tenter.photo.patches.correction import SRGB_TONE
from tenter.photo.patches.light import light_on_card, light_samples
from tenter.photo.patches.reference import CLASSIC_GRID, WHITE_PATCH, classic24
from tests.support.pictures.drawn_cards import COLUMN, PATCH, ROW, card_under


def samples_under(log_light, **options):
    return light_samples(*card_under(log_light, **options), SRGB_TONE, CLASSIC_GRID)


def penumbra(x, y):
    """As beside a head and a window: a fall towards one side that bends, and a slope."""
    return -0.2 * np.exp(-(((x - 2) / 2.5) ** 2) - ((y - 4) / 1.2) ** 2) - 0.03 * x


def half_shaded(x, y):
    return np.log(0.8) * (x > 3)


@pytest.mark.parametrize("light", [lambda x, y: 0 * x, lambda x, y: 0.05 * x - 0.08 * y, penumbra])
def test_a_soft_light_is_followed_and_has_no_edge(light):
    samples = samples_under(light)
    true = light(COLUMN + 0.5, ROW + 0.5)
    found = light_on_card(samples, WHITE_PATCH)
    assert_allclose(found.log_light, true - true[WHITE_PATCH], atol=0.025)
    assert found.range == pytest.approx(np.ptp(true), abs=0.03)


@pytest.mark.parametrize("light", [lambda x, y: 0.05 * x - 0.08 * y, lambda x, y: 0.03 * y - 0.06 * x, penumbra])
def test_a_fit_expects_of_light_that_was_read_what_the_reading_leaves_and_no_light_of_its_own(light):
    photo, reading = card_under(light)
    found = light_on_card(light_samples(photo, reading, SRGB_TONE, CLASSIC_GRID), WHITE_PATCH)
    patches = patches_of(classic24(), reading, found)
    true = light(COLUMN + 0.5, ROW + 0.5)
    true = true - true[WHITE_PATCH]
    left, whole = (np.linalg.lstsq(patches.positions, along, rcond=None)[0] for along in (true - found.log_light, true))

    def deviations(gradient):
        return np.linalg.norm(patches.prior(np.array([0, 0, *gradient, *np.zeros(9)]))[-2:])

    assert deviations(left) < 1  # nothing that the fit would rather not believe
    assert deviations(whole) > 3  # and it does not take the light a second time
    unread = replace(patches, light=None)
    assert (
        np.linalg.norm(unread.prior(np.array([0, 0, *whole, *np.zeros(9)]))[-2:]) < 3
    )  # which it may where none was read


def test_dust_on_one_patch_moves_nothing():
    def dusty(x, y):
        return -1.5 * (np.hypot(x - 2.6, y - 1.6) < 0.12)

    samples = samples_under(dusty)
    assert np.abs(light_on_card(samples, WHITE_PATCH).log_light).max() < 0.03


def test_a_patch_at_white_says_nothing_and_the_frame_beside_it_does():
    def bright(x, y):
        return 0.6 + 0.05 * x

    photo, reading = card_under(bright)
    assert reading.clipped[WHITE_PATCH]
    samples = light_samples(photo, reading, SRGB_TONE, CLASSIC_GRID)
    assert WHITE_PATCH not in samples.surface
    assert np.ptp(light_on_card(samples, WHITE_PATCH).log_light) == pytest.approx(0.25, abs=0.04)


def test_a_card_whose_patches_are_a_few_pixels_wide_is_left_alone():
    photo, reading = card_under(half_shaded)
    small = Photo(np.ascontiguousarray(photo.rgb[::4, ::4]))
    quads = (reading.centres_px[:, None] + np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * PATCH / 2) / 4
    assert light_samples(small, read_patches(small, reading.corners_px / 4, quads), SRGB_TONE, CLASSIC_GRID) is None
