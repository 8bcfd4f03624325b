"""Signs that the card does not get the light that the face gets are said, widen, and refuse where they are strong."""

from dataclasses import replace

import numpy as np
import pytest

from tenter.colorimetry.spaces import lab_to_xyz
from tenter.photo.card.tint import CardTint
from tenter.photo.card.veil import Veil
from tenter.photo.face.measure import measure_face
from tenter.photo.face_light.same_light import NOTHING_SEEN, SameLight
from tenter.photo.face_light.surroundings import Surroundings
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.reasons import Code, Reason
from tenter.photo.regions.landmarks import find_face
from tenter.photo.regions.reading import RegionReading
from tenter.photo.regions.uncertainty import ColourEvidence, ErrorPart, components
from tests.support.pictures.other_light import brightened, oval_of, shaded

CODES = {Code.CARD_TILTED, Code.CARD_VEILED, Code.CARD_TINTED, Code.CARD_LIGHT_DOUBTED, Code.FACE_BRIGHTENED}
READING = RegionReading(
    np.array([60.0, 12.0, 16.0]), np.ones(3), ColourEvidence(1.5, np.full(3, 0.4), 0.1, is_skin=True)
)
TINT = CardTint(np.array([6.0, 3.0]), 60.0)

NOTED = [
    (SameLight(tilt_degrees=10.0), Code.CARD_TILTED, {ErrorPart.TILT}),
    (SameLight(tint=TINT), Code.CARD_TINTED, {ErrorPart.TINT}),
    (SameLight(wall=Surroundings(card=-0.07)), Code.CARD_LIGHT_DOUBTED, {ErrorPart.FACE_LIGHT}),
    (SameLight(pallor=0.03), Code.CARD_LIGHT_DOUBTED, {ErrorPart.FACE_LIGHT}),
    (SameLight(eyes=0.7), Code.CARD_LIGHT_DOUBTED, {ErrorPart.FACE_LIGHT}),
    (SameLight(wall=Surroundings(head=0.04)), Code.FACE_BRIGHTENED, {ErrorPart.BRIGHTENED}),
    (SameLight(fall=0.12), Code.FACE_BRIGHTENED, {ErrorPart.BRIGHTENED}),
]
REFUSED = [
    (SameLight(tilt_degrees=25.0), Code.CARD_TILTED),
    (SameLight(veil=Veil(0.12, 0.01, 60.0)), Code.CARD_VEILED),
    (SameLight(wall=Surroundings(card=-0.15)), Code.CARD_LIGHT_DOUBTED),
    (SameLight(pallor=0.5), Code.CARD_LIGHT_DOUBTED),
    (SameLight(eyes=0.9), Code.CARD_LIGHT_DOUBTED),
    (SameLight(wall=Surroundings(head=0.08)), Code.FACE_BRIGHTENED),
    (SameLight(fall=0.2), Code.FACE_BRIGHTENED),
]


@pytest.mark.parametrize(("found", "code", "parts"), NOTED)
def test_a_sign_is_said_and_widens(found, code, parts):
    [reason] = found.reasons()
    assert (reason.code, reason.refuses, reason.widens) == (code, False, True)
    before, after = (
        components(READING.lab, NOTHING_SEEN.doubting(READING).evidence),
        components(READING.lab, found.doubting(READING).evidence),
    )
    assert {part for part in before if np.any(after[part] > before[part])} == parts


@pytest.mark.parametrize(("found", "code"), REFUSED)
def test_a_strong_sign_refuses_under_the_same_code(found, code):
    [reason] = found.reasons()
    assert (reason.code, reason.refuses, reason.widens) == (code, True, False)
    assert "wider" not in reason.text


@pytest.mark.parametrize("found", [sign for sign, *_ in NOTED + REFUSED if sign.fall is None and not sign.wall.head])
def test_what_concerns_the_card_says_how_to_hold_it(found):
    [reason] = found.reasons()
    beside = "parallel to the face" in reason.text or "beside the jaw" in reason.text
    assert beside
    assert (reason.code is Code.CARD_LIGHT_DOUBTED) == ("second photograph" in reason.text)


def test_what_every_photograph_shows_is_no_sign():
    usual = SameLight(3.0, 0.02, Veil(), CardTint(np.ones(2), 10.0), Surroundings(0.01, 0.01), -0.3, 0.06, 0.55)
    assert usual.reasons() == []
    assert usual.widened == ()
    np.testing.assert_allclose(usual.doubting(READING).lab, READING.lab, atol=1e-9)
    assert usual.doubting(READING).evidence == replace(READING.evidence)


def test_skin_and_eyes_that_are_each_a_little_light_are_a_sign_together():
    for alone in (SameLight(pallor=-0.08), SameLight(eyes=0.62), SameLight(pallor=-0.6, eyes=0.62)):
        assert alone.reasons() == []
    both = SameLight(pallor=-0.08, eyes=0.62)
    assert [reason.code for reason in both.reasons()] == [Code.CARD_LIGHT_DOUBTED]
    # Of a card in 1 / exp(0.21) of the light the interval has to hold so much.
    assert both.doubt_of_light > 0.21 > SameLight(pallor=-0.08).doubt_of_light


def test_the_lighter_a_face_the_wider_the_interval():
    doubts = [SameLight(pallor=float(pallor)).doubt_of_light for pallor in np.arange(-0.5, 0.5, 0.05)]
    assert doubts == sorted(doubts)
    assert doubts[0] == 0


def test_each_axis_is_named_that_is_wider():
    assert SameLight(tilt_degrees=10.0).widened == ("lightness",)
    assert SameLight(tint=TINT).widened == ("a", "b")
    assert SameLight(tilt_degrees=10.0, tint=TINT).widened == ("lightness", "a", "b")


@pytest.mark.parametrize("by_tilt", [0.15, -0.15])
def test_the_light_that_a_turned_card_has_more_is_given_back_to_the_face(by_tilt):
    """A card turned to the lamp is lighter, and the face is read darker by as much."""
    found = SameLight(tilt_degrees=10.0, by_tilt=by_tilt).doubting(READING)
    ratio = lab_to_xyz(found.lab, D65_WHITE) / lab_to_xyz(READING.lab, D65_WHITE)
    np.testing.assert_allclose(np.log(ratio), by_tilt)
    barely = SameLight(tilt_degrees=2.0, by_tilt=by_tilt).doubting(READING)
    np.testing.assert_allclose(barely.lab, READING.lab)


# A surface turned by 20 degrees away from a lamp at 45 degrees: cos 65° / cos 45° of its light.
def test_a_tilt_is_doubted_as_by_a_lamp_at_45_degrees():
    assert SameLight(tilt_degrees=20.0).doubt_by_tilt == pytest.approx(np.log(0.70711 / 0.42262), abs=1e-4)
    doubts = [SameLight(tilt_degrees=float(degrees)).doubt_by_tilt for degrees in range(0, 60, 5)]
    assert doubts[0] == 0
    assert doubts == sorted(doubts)


def test_a_severe_reason_refuses_though_its_code_is_a_note():
    assert not Reason(Code.CARD_TILTED, "").refuses
    assert Reason(Code.CARD_TILTED, "", severe=True).refuses


def test_the_portraits_as_they_are_show_no_sign(measured):
    assert not any(reason.code in CODES for found in measured.values() for reason in found.reasons)
    assert all(found.card_light.tilt_degrees < 7 for found in measured.values())


def test_a_shaded_card_and_a_brightened_face_are_refused_or_held(portraits, measured):
    portrait, plain = portraits["p1a.jpg"], measured["p1a.jpg"]
    mesh = find_face(portrait.rgb).mesh_px
    by_shade = measure_face(shaded(portrait, 0.7))
    by_phone = measure_face(brightened(portrait, oval_of(portrait, mesh), 1.5, 5.0))
    assert {reason.code for reason in by_shade.reasons if reason.refuses} == {Code.CARD_LIGHT_DOUBTED}
    assert Code.FACE_BRIGHTENED in {reason.code for reason in by_phone.reasons}
    assert plain.accepted


def test_the_json_says_what_was_found(portraits, measured):
    assert measured["p1a.jpg"].to_json()["card_light"] == {
        "tilt_degrees": round(measured["p1a.jpg"].card_light.tilt_degrees, 1),
        "veil": 0.0,
        "tint": 0.0,
        "widened": [],
    }
    without_face = measure_face(Photo(np.ascontiguousarray(portraits["p1a.jpg"].rgb[:, 420:])))
    assert without_face.to_json()["card_light"] == {"tilt_degrees": None, "veil": None, "tint": None, "widened": []}
