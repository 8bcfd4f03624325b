"""The fit of a camera to a card: it recovers cameras that are known, and says how far to trust it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer, illuminant_power
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.colorimetry.spaces import SRGB_TO_XYZ, XYZ_TO_SRGB, decode_srgb, encode_srgb, xyz_to_lab
from tenter.photo.camera.skin import skin_reflectances
from tenter.photo.card.calibration import calibrate
from tenter.photo.card.patch_fit import MIN_PATCHES
from tenter.photo.patches.chart import ChartReading
from tenter.photo.patches.correction import D65_WHITE, SRGB_TONE, ToneCurve
from tenter.photo.patches.reference import WHITE_PATCH, classic24

COLUMNS, ROWS = 6, 4
CENTRES = np.array([(40.0 * (k % COLUMNS) + 20, 40.0 * (k // COLUMNS) + 20) for k in range(24)])
CORNERS = np.array([(0.0, 0.0), (240.0, 0.0), (240.0, 160.0), (0.0, 160.0)])


def reading_of(linear):
    """The reading of a card 40 pixels a patch, given the linear sRGB of its patches."""
    nothing = np.zeros(24, dtype=bool)
    return ChartReading(
        CORNERS, CENTRES, encode_srgb(linear), np.zeros((24, 3)), nothing, np.zeros((24, 3), dtype=bool), nothing, 40.0
    )


def calibrated(reading):
    return calibrate(classic24(), (reading, reading.turned_half()))


def perfect_camera():
    return classic24().xyz @ XYZ_TO_SRGB.T * 0.8


def lab_of_card(calibration, reading):
    return xyz_to_lab(calibration.for_dyes.xyz(calibration.tone.linear(reading.code)), D65_WHITE)


TRUE_LAB = xyz_to_lab(classic24().xyz, D65_WHITE)


def test_a_perfect_camera_is_recovered():
    calibration = calibrated(reading_of(perfect_camera()))
    assert_allclose(calibration.for_dyes.weights[:3].T * 0.8, SRGB_TO_XYZ, atol=0.005)
    assert_allclose((calibration.tone.contrast, calibration.tone.lift), 0, atol=0.005)
    assert calibration.leave_one_out.max < 0.2


@pytest.mark.parametrize("gradient", [(0.2, 0.0), (0.0, -0.2), (0.15, 0.1)])
def test_light_that_falls_off_across_the_card_is_told_from_the_patches(gradient):
    # In half-diagonals of the card from the white patch, as the calibration counts.
    positions = (CENTRES - CENTRES[WHITE_PATCH]) / np.hypot(120, 80)
    light = np.exp(positions @ np.array(gradient))[:, None]
    calibration = calibrated(reading_of(perfect_camera() * light))
    assert_allclose(calibration.gradient, gradient, atol=0.02)
    # The matrix is that of the white patch's place: nothing is taken out of the rest of the scene.
    assert_allclose(calibration.for_dyes.weights[:3].T * 0.8, SRGB_TO_XYZ, atol=0.02)


def test_a_contrasty_tone_curve_is_undone():
    coded = encode_srgb(perfect_camera())
    contrasty = coded + 0.3 * (coded**2 * (3 - 2 * coded) - coded)  # a smoothstep, as cameras apply it
    reading = reading_of(decode_srgb(contrasty))
    calibration = calibrated(reading)
    assert calibration.tone.contrast > 0.15
    assert delta_e_2000(lab_of_card(calibration, reading), TRUE_LAB).mean() < 0.6


def test_the_tone_curve_keeps_black_white_and_order():
    codes = np.linspace(0, 1, 101)
    assert_allclose(SRGB_TONE.linear(codes), decode_srgb(codes))
    curve = ToneCurve(0.4, -0.1).linear(codes)
    assert curve[0] == 0
    assert curve[-1] == pytest.approx(1)
    assert np.all(np.diff(curve) > 0)


@given(st.floats(0.15, 1.1))
@settings(max_examples=10)
def test_exposure_does_not_change_the_colours(exposure):
    reading = reading_of(perfect_camera() * exposure)
    assert delta_e_2000(lab_of_card(calibrated(reading), reading), TRUE_LAB).max() < 0.25


def test_the_card_may_be_given_the_other_way_up():
    reading = reading_of(perfect_camera())
    one, other = calibrated(reading), calibrated(reading.turned_half())
    assert_allclose(other.reading.code, reading.code)
    assert_allclose(other.for_skin.weights, one.for_skin.weights, atol=1e-9)


def test_leaving_a_patch_out_shows_an_error_that_the_fit_hides():
    rng = np.random.default_rng(4)
    noisy = perfect_camera() * (1 + 0.05 * rng.normal(size=(24, 3)))
    reading = reading_of(noisy)
    calibration = calibrated(reading)
    positions = (CENTRES - CENTRES[WHITE_PATCH]) / np.hypot(120, 80)
    light = np.exp(-positions @ calibration.gradient)[:, None]
    fitted = xyz_to_lab(calibration.for_dyes.xyz(calibration.tone.linear(reading.code) * light), D65_WHITE)
    assert calibration.leave_one_out.mean > 1.2 * delta_e_2000(fitted, TRUE_LAB).mean()
    assert calibration.leave_one_out.mean <= calibration.leave_one_out.p95 <= calibration.leave_one_out.max


def test_clipped_patches_are_left_out():
    linear = perfect_camera()
    clipped = np.zeros(24, dtype=bool)
    clipped[[11, 15, 18]] = True
    linear[clipped] = 0.9
    calibration = calibrated(replace(reading_of(linear), clipped=clipped))
    assert len(calibration.leave_one_out.delta_e_2000) == 21
    assert_allclose(calibration.for_dyes.weights[:3].T * 0.8, SRGB_TO_XYZ, atol=0.01)


def test_too_few_patches_calibrate_nothing():
    clipped = np.arange(24) >= MIN_PATCHES - 1
    assert calibrated(replace(reading_of(perfect_camera()), clipped=clipped)) is None


def test_a_finger_on_the_card_stands_out_in_lightness():
    linear = perfect_camera()
    linear[[13, 19]] = linear[1]
    calibration = calibrated(reading_of(linear))
    missed = np.flatnonzero(calibration.lightness_misses > 6)
    assert {13, 19} <= set(missed.tolist())
    assert calibrated(reading_of(perfect_camera())).lightness_misses.max() < 1


def sensors():
    """A camera's three sensitivities, shape (81, 3): plain bells, none of those that the skin matrix assumes."""
    return np.stack(
        [np.exp(-0.5 * ((WAVELENGTHS_NM - c) / w) ** 2) for c, w in ((608, 31), (538, 41), (455, 25))], axis=1
    )


@pytest.mark.parametrize("light", ["D50", "A", "FL2", "FL11", "LED-B3"])
def test_the_skin_matrix_reads_skin_better_than_the_cards(light):
    response = illuminant_power(light)[:, None] * sensors()
    camera = lambda reflectances: reflectances @ response / response.sum(axis=0)  # noqa: E731
    calibration = calibrated(reading_of(0.8 * camera(classic24().reflectances)))
    seen = calibration.tone.linear(encode_srgb(0.8 * camera(skin_reflectances())))
    truth = xyz_to_lab(reflectance_to_xyz(skin_reflectances(), "D65", Observer.CIE_1931_2), D65_WHITE)
    by_card, by_skin = (
        delta_e_2000(xyz_to_lab(found.xyz(seen), D65_WHITE), truth)
        for found in (calibration.for_dyes, calibration.for_skin)
    )
    assert by_skin.mean() < 0.75 * by_card.mean()
    assert by_skin.mean() < 1.5
