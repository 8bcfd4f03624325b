"""Spoiled photographs are refused with a reason and a remedy; good ones are not."""

import cv2
import numpy as np
import pytest

from tenter.colorimetry.spaces import decode_srgb, encode_srgb
from tenter.photo.cards import ChartKind
from tenter.photo.face.gate import fine_detail
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import Photo
from tenter.photo.reasons import NOTES, Code
from tenter.photo.regions.landmarks import find_face


@pytest.fixture
def refusals(measure_pixels):
    """Measure a picture and return the codes it is refused with."""

    def codes(rgb, chart=ChartKind.CLASSIC24):
        result = measure_pixels(rgb, chart)
        if not result.accepted:
            assert result.ita is None
            assert all(colour.lab is None for colour in result.regions.values())
        found = {reason.code for reason in result.reasons if reason.refuses}
        assert result.accepted == (not found)
        return found

    return codes


def exposed(rgb, stops):
    linear = np.minimum(decode_srgb(rgb / 255) * 2.0**stops, 1)
    return np.round(encode_srgb(linear) * 255).astype(np.uint8)


def blurred(rgb, sigma):
    return cv2.GaussianBlur(rgb, (0, 0), sigma)


def test_overexposure_is_refused_and_no_half_measure_given(portraits, refusals):
    assert refusals(exposed(portraits["p1a.jpg"].rgb, 1.5)) & {Code.CHART_CLIPPED, Code.FACE_CLIPPED}
    assert Code.CHART_CLIPPED in refusals(exposed(portraits["p4a.jpg"].rgb, 1.5))


def test_underexposure_is_refused(portrait, refusals):
    assert refusals(exposed(portrait.rgb, -4)) == {Code.TOO_DARK}
    assert refusals(exposed(portrait.rgb, -1)) == set()


def test_a_card_cut_by_the_border_is_refused(portrait, refusals):
    _, _, right, _ = portrait.card_box
    assert Code.CHART_CUT in refusals(portrait.rgb[:, : right - 30])
    assert refusals(portrait.rgb[:, : right - 60]) & {Code.CHART_CUT, Code.CHART_NOT_FOUND}


def test_a_card_in_shade_or_under_a_finger_is_refused(portrait, refusals):
    left, top, right, bottom = portrait.card_box
    shaded = decode_srgb(portrait.rgb / 255)
    shaded[top : (top + bottom) // 2, left:right] *= 0.4
    assert refusals(np.round(encode_srgb(shaded) * 255).astype(np.uint8)) & {Code.CHART_COVERED, Code.CALIBRATION_POOR}
    finger = portrait.rgb.copy()
    finger[top + 20 : top + 110, left + 30 : left + 90] = (200, 150, 120)
    assert Code.CHART_COVERED in refusals(finger)


def test_a_card_too_small_to_read_is_refused(portrait, refusals):
    small = cv2.resize(portrait.rgb, None, fx=0.18, fy=0.18, interpolation=cv2.INTER_AREA)
    assert refusals(small) & {Code.CHART_SMALL, Code.CHART_NOT_FOUND}


def test_blur_is_refused_once_it_is_too_much(portrait, refusals):
    assert Code.BLURRED in refusals(blurred(portrait.rgb, 5))
    assert refusals(blurred(portrait.rgb, 1)) == set()


def test_more_blur_reads_as_less_detail(portrait):
    mesh = find_face(portrait.rgb).mesh_px
    details = [fine_detail(blurred(portrait.rgb, sigma), mesh) for sigma in (0.5, 1, 2, 3, 4)]
    assert np.all(np.diff(details) < 0)


def test_detail_does_not_depend_on_exposure(portrait):
    mesh = find_face(portrait.rgb).mesh_px
    assert fine_detail(portrait.rgb // 2, mesh) == pytest.approx(fine_detail(portrait.rgb, mesh), rel=0.05)


@pytest.mark.parametrize("quarter_turns", [1, 2, 3])
@pytest.mark.parametrize("file", ["p1a.jpg", "p5b.jpg"])
def test_a_face_that_lies_turned_is_refused(portraits, file, quarter_turns, refusals):
    assert Code.FACE_TURNED in refusals(np.rot90(portraits[file].rgb, quarter_turns))


def test_two_faces_are_refused(portraits, refusals):
    side_by_side = np.concatenate([portraits["p1a.jpg"].rgb, portraits["p4a.jpg"].rgb], axis=1)
    assert Code.SEVERAL_FACES in refusals(side_by_side)


def test_no_face_is_refused(portrait, refusals):
    faceless = portrait.rgb.copy()
    faceless[180:480, 160:410] = portrait.rgb[50, 50]
    assert refusals(faceless) == {Code.NO_FACE}
    assert Code.NO_FACE in refusals(portrait.rgb[:100], ChartKind.NONE)


def test_a_distant_face_is_refused(portrait, refusals):
    distant = cv2.resize(portrait.rgb, None, fx=0.35, fy=0.35, interpolation=cv2.INTER_AREA)
    assert refusals(distant, ChartKind.NONE) == {Code.FACE_SMALL}


def test_a_mirrored_photograph_is_refused_as_left_would_be_right(portrait, refusals):
    assert Code.MIRRORED in refusals(portrait.rgb[:, ::-1])


def test_side_light_is_pointed_out_and_not_refused(measured):
    for result in measured.values():
        [reason] = result.reasons
        assert reason.code is Code.UNEVEN_LIGHT
        assert not reason.refuses
        right, left = result.regions["cheek_right"].lab[0], result.regions["cheek_left"].lab[0]
        assert f"the {'left' if left > right else 'right'} cheek is" in reason.text


def test_every_refusal_says_how_to_take_the_picture_again(portrait, measure_pixels):
    spoiled = [
        exposed(portrait.rgb, 2),
        exposed(portrait.rgb, -4),
        portrait.rgb[:, ::-1],
        blurred(portrait.rgb, 5),
        np.rot90(portrait.rgb),
        portrait.rgb[:150],
    ]
    advice = ("Lower", "Add light", "Turn", "Rest", "Hold", "Photograph", "Take", "Step", "Come", "Keep")
    for rgb in spoiled:
        for reason in measure_pixels(rgb).reasons:
            if reason.code not in NOTES:
                assert any(word in reason.text for word in advice), reason.text


def test_what_is_odd_about_a_file_is_said_and_refuses_nothing(portrait):
    note = "The file is animated, with 3 frames; the first was read."
    result = measure_face(Photo(portrait.rgb, notes=(note,)))
    assert (result.reasons[0].code, result.reasons[0].text) == (Code.FILE_NOTE, note)
    assert result.accepted
