"""A phone learned from photographs of the card: the next one is expected to be like them, and a change shows."""

import json
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from scipy.optimize import least_squares

from tenter.colorimetry.spaces import XYZ_TO_SRGB
from tenter.errors import TenterError, UnknownName, UnreadableInput
from tenter.photo.camera.tone_prior import ANY_CAMERA, ANY_PHONE, TonePrior
from tenter.photo.card.calibration import calibrate, calibrated_as
from tenter.photo.card.learned_camera import learn_camera
from tenter.photo.patches.chart import ChartReading
from tenter.photo.patches.correction import ToneCurve
from tenter.photo.patches.reference import classic24
from tenter.photo.phones.kept import camera_json, camera_path, forget_camera, keep_camera, kept_camera, kept_cameras

CENTRES = np.array([(40.0 * (k % 6) + 20, 40.0 * (k // 6) + 20) for k in range(24)])
CORNERS = np.array([(0.0, 0.0), (240.0, 0.0), (240.0, 160.0), (0.0, 160.0)])
PHONE = ToneCurve(0.3, -0.2, 0.5)
BALANCES = np.array([(1.0, 1.0, 1.0), (1.1, 1.0, 0.8), (0.85, 1.0, 1.1), (1.05, 0.95, 0.95)])
TODAY = date(2026, 11, 29)


def coded(tone, linear):
    """Return the code values (3,) that a tone curve makes linear light (3,) of."""
    return least_squares(lambda c: tone.linear(c) - linear, np.full(3, 0.5), bounds=(0, 1), xtol=1e-12).x


def photographed(tone, balance, seed=0, noise=0.002):
    linear = np.clip(classic24().xyz @ XYZ_TO_SRGB.T * 0.7 * balance, 1e-4, 0.99)
    code = np.array([coded(tone, patch) for patch in linear])
    code = np.clip(code + np.random.default_rng(seed).normal(0, noise, code.shape), 0, 1)
    no = np.zeros(24, dtype=bool)
    return ChartReading(CORNERS, CENTRES, code, np.zeros((24, 3)), no, np.zeros((24, 3), dtype=bool), no, 40.0)


def calibrated(tone, balance, seed=0, noise=0.002):
    found = calibrate(classic24(), (photographed(tone, balance, seed, noise),))
    assert found is not None
    return found


@pytest.fixture(scope="module")
def lessons():
    return [calibrated(PHONE, balance, seed) for seed, balance in enumerate(BALANCES)]


@pytest.fixture(scope="module")
def phone(lessons):
    return learn_camera("studio", lessons, TODAY)


@pytest.fixture(autouse=True)
def own_data_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def as_numbers(tone):
    return np.array([tone.contrast, tone.lift, tone.by_luminance])


def test_a_curve_by_luminance_keeps_the_ratios_of_a_colour_and_treats_greys_as_one_by_channel():
    colour, grey = np.array([0.7, 0.5, 0.3]), np.full(3, 0.4)
    by_luminance, by_channel = ToneCurve(0.4, 0.1, 1.0), ToneCurve(0.4, 0.1)
    as_written = ToneCurve(0.0, 0.0).linear(colour)
    np.testing.assert_allclose(by_luminance.linear(colour) / as_written, by_luminance.linear(colour)[0] / as_written[0])
    assert np.ptp(by_channel.linear(colour) / as_written) > 0.05
    np.testing.assert_allclose(by_luminance.linear(grey), by_channel.linear(grey), rtol=1e-3)


def test_the_tone_curve_is_learned(phone):
    np.testing.assert_allclose(phone.tone.mean, as_numbers(PHONE), atol=0.15)
    assert max(phone.tone.sd) < ANY_PHONE.sd[0] / 2
    assert phone.photographs == 4


def test_a_noisy_photograph_of_a_learned_phone_is_read_nearer_to_the_truth(phone):
    missed = {"as any": [], "as learned": []}
    for seed, balance in enumerate(BALANCES):
        alone = calibrated(PHONE, balance, 90 + seed, noise=0.012)
        for way, tone in (("as any", calibrated_as(alone, ANY_PHONE).tone), ("as learned", phone.reads(alone).tone)):
            missed[way].append(np.abs(as_numbers(tone) - as_numbers(PHONE)).mean())
    assert np.mean(missed["as learned"]) < 0.6 * np.mean(missed["as any"])


def test_a_photograph_of_a_learned_phone_fits_better_than_by_a_curve_for_each_channel(phone):
    alone = calibrated(PHONE, BALANCES[1], 70)
    assert phone.reads(alone).leave_one_out.mean < 0.85 * alone.leave_one_out.mean


def test_what_is_expected_of_any_camera_changes_nothing(lessons):
    again = calibrated_as(lessons[1], ANY_CAMERA)
    np.testing.assert_allclose(again.for_skin.weights, lessons[1].for_skin.weights, rtol=1e-4)
    np.testing.assert_allclose(again.leave_one_out.mean, lessons[1].leave_one_out.mean, rtol=1e-3)


def test_a_phone_that_has_changed_is_noticed_and_the_same_one_is_not(phone):
    assert phone.has_changed(calibrated(ToneCurve(-0.3, 0.2), BALANCES[0], 50))
    assert not any(phone.has_changed(calibrated(PHONE, balance, 60 + k)) for k, balance in enumerate(BALANCES))


def test_two_photographs_are_too_few_the_same_one_twice_is_refused_and_two_phones_are_not_one(lessons):
    two = lessons[:2]
    with pytest.raises(TenterError, match="2 photographs of the card can be used"):
        learn_camera("studio", two, TODAY)
    with pytest.raises(TenterError, match="came twice"):
        learn_camera("studio", [*two, lessons[0]], TODAY)
    with pytest.raises(TenterError, match="one phone, one lens"):
        learn_camera("studio", [*two, calibrated(ToneCurve(-0.5, 0.4), BALANCES[2])], TODAY)


def test_a_camera_is_kept_by_its_name_listed_and_forgotten(phone):
    path = keep_camera(phone)
    assert path == camera_path("studio")
    kept = kept_camera("studio")
    np.testing.assert_allclose(kept.tone.mean, phone.tone.mean, atol=1e-5)
    np.testing.assert_allclose(kept.alone.sd, phone.alone.sd, atol=1e-5)
    assert keep_camera(replace(phone, photographs=3)) == path  # in its place
    assert [(one.key, one.value.photographs) for one in kept_cameras()] == [("studio", 3)]
    with pytest.raises(UnknownName, match="studio"):
        kept_camera("other")
    forget_camera("studio")
    assert kept_cameras() == ()
    with pytest.raises(UnknownName, match="none"):
        forget_camera("studio")


@pytest.mark.parametrize("name", ["", "../x", "Studio", "a b", "-x", "x" * 41, "ü"])
def test_a_name_that_is_no_name_of_a_file_is_refused(name, phone):
    for use in (camera_path, kept_camera, forget_camera):
        with pytest.raises(TenterError, match="cannot be the name of a phone"):
            use(name)
    with pytest.raises(TenterError, match="cannot be the name of a phone"):
        replace(phone, name=name)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("format", "tenter camera 9", "not a file of a learned camera"),
        ("name", "another", "it holds the camera 'another'"),
        ("learned_on", "yesterday", "a value is missing or is none"),
        ("photographs", 2, "learned from 2 photographs"),
        ("tone", {"mean": [0, 0, 0], "sd": [0.1, 0.1, -1]}, "spreads above 0"),
        ("tone", {"mean": [0, 0], "sd": [0.1, 0.1]}, "not described by numbers"),
        ("tone_alone", {"mean": [0, "nan"], "sd": [0.1, 0.1]}, "not described by numbers"),
        ("tone_alone", {"mean": [0, 0], "sd": [0.1, float("nan")]}, "not described by numbers"),
        ("tone", None, "a value is missing or is none"),
    ],
)
def test_a_spoilt_file_is_told_and_stands_in_the_list(phone, field, value, said):
    path = keep_camera(phone)
    path.write_text(json.dumps(camera_json(phone) | {field: value}), encoding="utf-8")
    with pytest.raises(UnreadableInput, match=said):
        kept_camera("studio")
    [listed] = kept_cameras()
    assert listed.value is None
    assert said in listed.problem


def test_what_is_no_json_is_told(phone):
    for content in ("[]", "{", "null"):
        keep_camera(phone).write_text(content, encoding="utf-8")
        with pytest.raises(UnreadableInput, match="not a file of a learned camera"):
            kept_camera("studio")


def test_an_expectation_has_two_or_three_numbers_of_each():
    with pytest.raises(TenterError, match="1 means and 1 spreads"):
        TonePrior((0.0,), (1.0,))
