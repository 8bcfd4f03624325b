"""A wall that changes, and a face whose sides differ, tell of another light than the card's; the gate says so."""

from dataclasses import replace

import numpy as np
import pytest

from tenter.colorimetry.spaces import decode_srgb, encode_srgb, lab_to_xyz, xyz_to_lab
from tenter.photo.face import gate
from tenter.photo.face.measure import measure_photo
from tenter.photo.face.result import PhotoVerdict
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import D65_WHITE, TRUE_SRGB
from tenter.photo.reasons import Code
from tenter.photo.regions.light_signs import NO_SIGNS, LightSigns, light_signs
from tenter.photo.regions.regions import SKIN, Region

MESH = np.full((478, 2), 600.0)  # only its chin is looked at


def wall(light, height=800, width=640):
    """A grey wall under light (height, width, 3) that is a function of places, corners at a distance of 1."""
    y, x = np.mgrid[:height, :width] + 0.5
    places = np.stack([x - width / 2, y - height / 2], axis=-1) / (np.hypot(width, height) / 2)
    coded = encode_srgb(np.clip(0.3 * light(places), 0, 1))
    return Photo(np.round(coded * 255).astype(np.uint8), 1.0)


def signs_of(light, labs=None):
    return light_signs(wall(light), TRUE_SRGB, MESH, labs or {})


def even(places):
    return np.ones((*places.shape[:2], 3))


def test_an_even_wall_says_nothing():
    found = signs_of(even)
    assert found.corner_darkening == pytest.approx(0, abs=0.02)
    assert found.wall_change == pytest.approx(0, abs=0.2)
    assert found.mixed < 0.1


@pytest.mark.parametrize("loss", [0.2, 0.5])
def test_what_a_lens_darkens_is_measured_through_light_from_the_side(loss):
    def lit(places):
        return (np.exp(np.log(1 - loss) * (places**2).sum(axis=-1) + 0.3 * places[..., 0]))[..., None] * np.ones(3)

    assert signs_of(lit).corner_darkening == pytest.approx(-np.log(1 - loss), abs=0.03)


def test_a_wall_that_gets_warmer_says_so():
    def lit(places):
        return np.exp(places[..., :1] * np.array([0.1, 0.0, -0.1]))

    assert signs_of(lit).wall_change > 3
    assert signs_of(lit).corner_darkening == pytest.approx(0, abs=0.05)


def test_a_wall_that_is_not_plain_tells_nothing():
    rng = np.random.default_rng(1)
    spots = np.kron(rng.uniform(0.2, 2, (32, 32, 3)), np.ones((25, 20, 1)))
    found = signs_of(lambda places: spots)
    assert (found.corner_darkening, found.wall_change) == (0.0, 0.0)


def test_sides_of_another_redness_tell_of_lamps_only_in_light_from_the_side():
    lab = np.array([60.0, 12.0, 16.0])
    xyz = lab_to_xyz(lab, D65_WHITE)

    def sides(light, red):
        other = xyz_to_lab(xyz * light * (red, 1, 1), D65_WHITE)
        return {r: other if "right" in r else lab for r in SKIN}

    assert signs_of(even, sides(0.5, 1.08)).side_change == pytest.approx(500 / 3 * np.log(1.08))
    assert signs_of(even, sides(0.95, 1.08)).side_change == 0  # a flushed cheek
    assert signs_of(even, sides(0.5, 1.0)).side_change == pytest.approx(0, abs=1e-6)
    assert signs_of(even, {Region.FOREHEAD: lab}).side_change == 0


def test_the_more_the_light_changes_the_less_is_accepted():
    def codes(signs):
        return [reason.code for reason in gate.same_light_reasons(signs, TRUE_SRGB)]

    assert codes(NO_SIGNS) == []
    assert codes(LightSigns(wall_change=4)) == [Code.LIGHT_CHANGES]
    assert codes(LightSigns(wall_change=7)) == [Code.MIXED_LIGHT]
    assert codes(LightSigns(corner_darkening=0.25)) == [Code.CORNERS_DARK]
    assert codes(LightSigns(corner_darkening=0.6)) == [Code.VIGNETTE]
    assert all(
        "Step back" in r.text or "light" in r.text for r in gate.same_light_reasons(LightSigns(0.6, 7), TRUE_SRGB)
    )


@pytest.mark.parametrize(("patches", "noted"), [(24, 7), (36, 11)])  # the classic card and one of our own
def test_patches_without_a_channel_are_counted_on_the_card_that_was_held(patches, noted):
    def told(lost):
        correction = replace(TRUE_SRGB, lost=lost / patches, patches=patches)
        return [r for r in gate.same_light_reasons(NO_SIGNS, correction) if r.code is Code.CHANNEL_LOST]

    assert told(noted - 1) == []
    [reason] = told(noted)
    assert f"{noted} of the card's {patches} patches" in reason.text


def lamp_from_the_side(rgb, strength):
    """A warm lamp that reaches less and less of the picture towards its right."""
    linear = decode_srgb(rgb / 255)
    share = strength * np.linspace(1, 0, rgb.shape[1])[None, :, None]
    return np.round(encode_srgb(np.clip(linear * (1 + share * (0.2, 0.0, -0.4)), 0, 1)) * 255).astype(np.uint8)


def corners_darkened(rgb, loss):
    height, width = rgb.shape[:2]
    y, x = np.mgrid[:height, :width] + 0.5
    squared = ((x - width / 2) ** 2 + (y - height / 2) ** 2) / (width**2 / 4 + height**2 / 4)
    linear = decode_srgb(rgb / 255) * (1 - loss * squared)[..., None]
    return np.round(encode_srgb(linear) * 255).astype(np.uint8)


def test_a_second_lamp_widens_the_intervals_and_then_refuses(portrait, measured, measure_pixels):
    little, much = (measure_pixels(lamp_from_the_side(portrait.rgb, strength)) for strength in (0.23, 1.5))
    assert little.verdict is PhotoVerdict.WIDER
    assert Code.LIGHT_CHANGES in {r.code for r in little.reasons}
    before, after = (m.regions[Region.FOREHEAD].half_width_90 for m in (measured["p1a.jpg"], little))
    assert np.all(after[1:] > before[1:])
    assert little.to_json()["verdict"] == "accepted_wider"
    assert much.verdict is PhotoVerdict.REFUSED
    assert Code.MIXED_LIGHT in {r.code for r in much.reasons}


def test_dark_corners_widen_the_interval_of_lightness_and_then_refuse(portrait, measured, measure_pixels):
    little, much = (measure_pixels(corners_darkened(portrait.rgb, loss)) for loss in (0.25, 0.6))
    assert little.verdict is PhotoVerdict.WIDER
    assert Code.CORNERS_DARK in {r.code for r in little.reasons}
    before, after = (m.regions[Region.FOREHEAD].half_width_90 for m in (measured["p1a.jpg"], little))
    assert after[0] > before[0]
    assert Code.VIGNETTE in {r.code for r in much.reasons}


def test_a_good_photograph_is_plainly_accepted(measured):
    assert {result.verdict for result in measured.values()} == {PhotoVerdict.ACCEPTED}


def test_daylight_and_a_warm_lamp_together_are_refused(by_two_lamps):
    result = measure_photo(by_two_lamps)
    assert [reason.code for reason in result.reasons if reason.refuses] == [Code.MIXED_LIGHT]
    assert all(colour.lab is None for colour in result.regions.values())
