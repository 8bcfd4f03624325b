"""What a photograph says of its light: the kind of lamp, and its white as the picture records it."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.spaces import SRGB_TO_XYZ, decode_srgb
from tenter.photo.card.lamp_seen import lamp_seen
from tenter.photo.patches.reference import classic24
from tests.photo.card.test_copies import calibrated


@pytest.mark.parametrize(("lamp", "poor"), [("D65", False), ("A", True), ("LED-RGB1", True)])
def test_daylight_is_told_from_poor_lamps(lamp, poor, rng_of_three):
    found = lamp_seen(calibrated(classic24().reflectances, lamp, "nikon", rng_of_three))
    assert (found.poor > 0.5) is poor
    assert sum(share for _, share in found.lamps) == pytest.approx(1)
    shares = [round(share, 6) for _, share in found.lamps]
    assert shares == sorted(shares, reverse=True)


def test_the_white_is_that_of_the_picture_less_the_patches_own_tint(rng_of_three):
    calibration = calibrated(classic24().reflectances, "D65", "nikon", rng_of_three)
    found = lamp_seen(calibration)
    recorded = SRGB_TO_XYZ @ decode_srgb(calibration.reading.code[calibration.card.white])
    own = calibration.card.xyz[calibration.card.white] / SRGB_TO_XYZ.sum(axis=1)
    assert found.white_xyz[1] == 1
    assert_allclose(np.array(found.white_xyz) * own / own[1], recorded / recorded[1], rtol=1e-9)
    assert found.across_card is None  # no picture was at hand


@pytest.fixture
def rng_of_three():
    return np.random.default_rng(3)
