"""Raw files of a sensor that sees linear sRGB: what is read is what was there."""

import numpy as np
import pytest

from tenter.colorimetry.spaces import encode_srgb
from tenter.errors import UnreadableInput
from tenter.photo.files.loading import MAX_WORKING_SIDE, photo_from_bytes
from tests.support.pictures.picture_files import dng, encoded, gradient

INSIDE = (slice(4, -4), slice(4, -4))  # the rim lacks neighbours to interpolate from


def scene():
    return 0.9 * (gradient() / 255.0) ** 2.2 + 0.01


def test_a_raw_file_is_read_as_srgb_in_sixteen_bits():
    photo = photo_from_bytes(dng(scene()), "a.dng")
    np.testing.assert_allclose(photo.fine[INSIDE] / 65535, encode_srgb(scene())[INSIDE], atol=0.006)
    np.testing.assert_allclose(photo.rgb, photo.fine / 257, atol=0.5)


def test_the_cameras_white_balance_is_followed_and_nothing_is_brightened():
    dim = scene() / 4
    photo = photo_from_bytes(dng(dim, neutral=(0.5, 1.0, 0.7)), "a.dng")
    np.testing.assert_allclose(photo.fine[INSIDE] / 65535, encode_srgb(dim)[INSIDE], atol=0.01)


def test_highlights_are_clipped_to_white_and_not_tinted():
    photo = photo_from_bytes(dng(np.full((80, 120, 3), 1.3), neutral=(0.6, 1.0, 0.8)), "a.dng")
    assert photo.rgb[INSIDE].min() == 255


# EXIF 2.32, tag 274: 3 is turned by half, 6 is to be turned clockwise by a quarter, 8 anticlockwise.
@pytest.mark.parametrize(("orientation", "quarter_turns"), [(1, 0), (3, 2), (6, 1), (8, 3)])
def test_the_sensors_own_orientation_is_followed(orientation, quarter_turns):
    stored = np.ascontiguousarray(np.rot90(scene(), quarter_turns))
    photo = photo_from_bytes(dng(stored, orientation), "a.dng")
    np.testing.assert_allclose(photo.fine[INSIDE] / 65535, encode_srgb(scene())[INSIDE], atol=0.006)


def test_a_large_raw_file_is_reduced_and_says_by_how_much():
    wide = np.full((300, 2 * MAX_WORKING_SIDE, 3), 0.2)
    photo = photo_from_bytes(dng(wide), "a.dng")
    assert photo.rgb.shape == (150, MAX_WORKING_SIDE, 3)
    assert photo.reduction == 2
    np.testing.assert_allclose(photo.fine / 65535, encode_srgb(0.2), atol=0.002)


def test_a_dng_is_known_by_its_tags_and_a_jpeg_in_its_clothes_is_not_one():
    assert photo_from_bytes(dng(scene()), "holiday.tif").fine is not None
    np.testing.assert_array_equal(photo_from_bytes(encoded(gradient()), "a.dng").rgb, gradient())


@pytest.mark.parametrize("side", [20_000, 60_000])
def test_a_raw_file_that_claims_to_be_gigantic_is_refused_before_it_unpacks(side):
    with pytest.raises(UnreadableInput, match="at most 120 million"):
        photo_from_bytes(dng(scene(), claim=(side, side)), "bomb.dng")


def test_a_raw_file_cut_short_is_refused():
    with pytest.raises(UnreadableInput, match="can be read to its end"):
        photo_from_bytes(dng(scene())[:4000], "a.dng")
