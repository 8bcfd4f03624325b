"""Prints that look like the 24-patch card are told from it by how a camera sees them, under every lamp.

No real print is at hand but one (test_real_cards.py). These are invented ones, of other printers than the program
knows, simulated without a picture: spectra, lamp, camera, a phone's tone curve, 8 bits.
"""

import numpy as np
import pytest

from studies.scenes.cameras import camera_to_srgb, light_power, sensitivities
from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb
from tenter.photo.card.calibration import calibrate
from tenter.photo.card.copies import copy_reasons
from tenter.photo.card.evidence import card_evidence, invented_copies
from tenter.photo.card.poor_light import poor_light
from tenter.photo.own_card.sheet_prior import invented_prints
from tenter.photo.patches.chart import HIGH_CODE, LOW_CODE, ChartReading
from tenter.photo.patches.reference import CLASSIC_GRID, classic24
from tenter.photo.reasons import Code

LAMPS = ("D65", "A", "FL12", "LED-V1", "LED-RGB1")
PAINT_SPREAD = 0.03  # of a patch's reflectance from card to card, as a logarithm


def reading(code):
    centres = CLASSIC_GRID.centres * 50
    corners = np.array([(0, 0), (6, 0), (6, 4), (0, 4)]) * 50.0
    clipped, outside = (code >= HIGH_CODE).any(axis=1), np.zeros(len(code), dtype=bool)
    return ChartReading(corners, centres, code, np.full_like(code, 0.01), clipped, code <= LOW_CODE, outside, 40.0)


def calibrated(reflectances, lamp, camera, rng):
    seen = sensitivities(camera) * light_power(lamp)[:, None]
    linear = 0.8 * (reflectances @ seen / seen.sum(axis=0)) @ camera_to_srgb(camera).T
    linear += rng.normal(0, 0.002, linear.shape)
    code = np.clip(encode_srgb(np.clip(linear, 0, 1)), 0, 1)
    code = code + code * (1 - code) * (0.2 - 0.4 * (1 - 2 * code)) / 2
    found = calibrate(classic24(), (reading(np.round(code * 255) / 255),))
    assert found is not None
    return found


def copies_told(calibration):
    return [reason.code for reason in copy_reasons(calibration, card_evidence(calibration))]


@pytest.fixture(scope="module")
def prints():
    codes = np.clip(encode_srgb(np.clip(classic24().xyz @ XYZ_TO_SRGB.T, 0, 1)), 0, 1)
    return invented_prints(codes, 2, 3, seed=77)


@pytest.mark.parametrize("lamp", LAMPS)
@pytest.mark.parametrize("camera", ["nikon", "phone-b"])
def test_a_genuine_card_is_no_copy_under_any_lamp(lamp, camera):
    rng = np.random.default_rng(3)
    aged = classic24().reflectances * np.exp(rng.normal(0, PAINT_SPREAD, (24, 1)))
    assert copies_told(calibrated(aged, lamp, camera, rng)) == []


@pytest.mark.parametrize("lamp", LAMPS)
def test_prints_are_refused_as_another_card(lamp, prints):
    rng = np.random.default_rng(4)
    codes = [copies_told(calibrated(p, lamp, "phone-a", rng)) for p in prints]
    assert codes.count([Code.CARD_OTHER]) >= len(prints) - 1  # a good print under a poor lamp may pass


def test_where_the_light_leaves_too_few_patches_nothing_is_said():
    code = np.clip(encode_srgb(classic24().xyz @ XYZ_TO_SRGB.T * 0.8), 0, 1)
    code[:12, 2] = 0
    found = calibrate(classic24(), (reading(code),))
    assert found is not None
    assert card_evidence(found) is None


def test_the_invented_copies_are_whole_spectra():
    copies = invented_copies()
    assert copies.shape[1:] == (24, 81)
    assert ((copies > 0) & (copies < 1)).all()


@pytest.mark.parametrize(
    ("lamp", "least", "most"), [("D65", 0, 0.5), ("A", 0.6, 1), ("LED-RGB1", 0.6, 1), ("FL12", 0.6, 1)]
)
def test_the_patches_tell_a_lamp_that_is_poor_for_skin(lamp, least, most):
    rng = np.random.default_rng(5)
    found = calibrated(classic24().reflectances, lamp, "nikon", rng)
    evidence = card_evidence(found)
    assert evidence is not None
    assert sum(evidence.lamp_probabilities.values()) == pytest.approx(1)
    assert least <= poor_light(evidence) <= most
    assert poor_light(None) == 0
