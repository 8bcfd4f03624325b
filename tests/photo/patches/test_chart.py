"""Finding the card and reading its patches."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from PIL import Image

from tenter.photo.card.calibration import calibrate
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.reference import classic24


def calibrated(reading):
    return calibrate(classic24(), (reading, reading.turned_half()))


def true_centres(portrait):
    return np.array(portrait.truth["card"]["patches_px"]).mean(axis=1)


def rms_apart(one, other):
    return np.sqrt(np.mean(np.sum((one - other) ** 2, axis=-1)))


def test_every_card_is_found_on_its_patches_in_its_own_order(portraits):
    for file, portrait in portraits.items():
        reading = calibrated(find_chart(Photo(portrait.rgb))).reading
        # Truth: pixel (0, 0) spans 0..1; a reading has its centre at 0.
        assert rms_apart(reading.centres_px + 0.5, true_centres(portrait)) < 1.0, file
        assert reading.patch_side_px == pytest.approx(40, abs=3), file


def test_a_patch_is_read_as_the_pixels_that_the_truth_puts_there(portraits):
    portrait = portraits["p3a.jpg"]
    mask = np.asarray(Image.open(portrait.path.parent / portrait.truth["mask"]))
    reading = calibrated(find_chart(Photo(portrait.rgb))).reading
    for patch in (0, 9, 18, 23):
        true_code = np.median(portrait.rgb[mask == 20 + patch], axis=0) / 255
        assert_allclose(reading.code[patch], true_code, atol=0.02)


@pytest.mark.parametrize("quarter_turns", [1, 2, 3])
def test_a_turned_card_reads_the_same(portrait, quarter_turns):
    upright = calibrated(find_chart(Photo(portrait.rgb))).reading
    turned = calibrated(find_chart(Photo(np.ascontiguousarray(np.rot90(portrait.rgb, quarter_turns))))).reading
    assert_allclose(turned.code, upright.code, atol=0.01)
    assert not turned.mirrored


def test_a_mirrored_card_is_known_for_one(portrait):
    assert not find_chart(Photo(portrait.rgb)).mirrored
    assert find_chart(Photo(np.ascontiguousarray(portrait.rgb[:, ::-1]))).mirrored


def test_no_card_no_reading(portrait):
    left, top, right, bottom = portrait.card_box
    painted = portrait.rgb.copy()
    painted[top - 4 : bottom + 4, left - 4 : right + 4] = 128
    assert find_chart(Photo(painted)) is None


def test_turning_by_half_twice_changes_nothing(portrait):
    reading = find_chart(Photo(portrait.rgb))
    twice = reading.turned_half().turned_half()
    np.testing.assert_array_equal(twice.corners_px, reading.corners_px)
    np.testing.assert_array_equal(twice.code, reading.code)


def test_clipped_and_crushed_channels_are_marked(portrait):
    brighter = np.clip(portrait.rgb.astype(float) * 1.25, 0, 255).astype(np.uint8)
    reading = calibrated(find_chart(Photo(brighter))).reading
    assert reading.clipped[18]
    assert not reading.clipped[23]
    assert not calibrated(find_chart(Photo(portrait.rgb))).reading.clipped.any()


def test_a_small_card_is_still_found(portrait):
    small = np.asarray(Image.fromarray(portrait.rgb).resize((320, 400), Image.Resampling.BOX))
    assert find_chart(Photo(small)).patch_side_px == pytest.approx(20, abs=2)
