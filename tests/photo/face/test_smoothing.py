"""A filter over the face is suspected by the grain that it takes away, and plain photographs are left alone."""

import cv2
import numpy as np
import pytest

from tenter.photo import reasons as reasons_of_photo
from tenter.photo.face.smoothing import BLURRED_BELOW, Grain, filter_reasons, grain, suspicion
from tenter.photo.files.loading import Photo, photo_from_bytes
from tenter.photo.patches.chart import find_chart
from tenter.photo.regions.landmarks import FaceSearch, find_face
from tests.support.pictures.picture_files import encoded

PLAIN = ("p1a.jpg", "p3a.jpg", "p4a.jpg")
STRENGTHS = {"middle": (9, 40, 7), "strong": (11, 60, 9)}


@pytest.fixture(scope="module", params=PLAIN)
def noisy(request, portraits):
    """A portrait as a camera in dim light takes it: grain of about three code values, on everything alike."""
    rgb = portraits[request.param].rgb
    rng = np.random.default_rng(3)
    grainy = Photo(np.clip(rgb + rng.normal(0, 3, rgb.shape), 0, 255).astype(np.uint8))
    return grainy, find_face(grainy.rgb), find_chart(grainy).corners_px


def face_smoothed(photo, search, strength):
    inside = np.zeros(photo.rgb.shape[:2], np.uint8)
    cv2.fillPoly(inside, [cv2.convexHull(search.mesh_px.astype(np.float32)).astype(np.int32)], 1)
    return Photo(np.where(inside[..., None] > 0, cv2.bilateralFilter(photo.rgb, *strength), photo.rgb))


def test_a_plain_photograph_has_the_same_grain_on_skin_and_card(noisy):
    photo, search, card = noisy
    assert 0.75 < grain(photo, search.mesh_px, card).skin < 1.3
    assert filter_reasons(photo, search, card) == []


@pytest.mark.parametrize("strength", STRENGTHS.values(), ids=STRENGTHS)
def test_a_smoothed_face_is_suspected_aloud_and_not_refused(noisy, strength):
    photo, search, card = noisy
    reasons = filter_reasons(face_smoothed(photo, search, strength), search, card)
    assert [reason.code for reason in reasons] == [reasons_of_photo.Code.FILTER_SUSPECTED]
    assert not reasons[0].refuses
    assert "grain" in reasons[0].text


def test_more_smoothing_leaves_less_grain(noisy):
    photo, search, card = noisy
    left = [grain(face_smoothed(photo, search, s), search.mesh_px, card).skin for s in ((5, 8, 2), *STRENGTHS.values())]
    assert left[0] > left[1] > left[2]


def test_without_a_card_the_neck_tells(noisy):
    photo, search, _ = noisy
    plain = grain(photo, search.mesh_px, None)
    assert plain.skin > 0.6
    assert not plain.carded
    assert filter_reasons(photo, search, None) == []
    reason = filter_reasons(face_smoothed(photo, search, STRENGTHS["strong"]), search, None)[0]
    assert reason.code is reasons_of_photo.Code.FILTER_SUSPECTED
    assert "the neck and the background" in reason.text


def test_without_a_face_nothing_is_suspected(noisy):
    photo, search, card = noisy
    smooth = face_smoothed(photo, search, STRENGTHS["strong"])
    assert filter_reasons(smooth, FaceSearch((), False, None), card) == []


@pytest.mark.parametrize("quality", [70, 90])
def test_a_coarser_band_tells_what_jpeg_has_left_of_the_grain(portraits, quality):
    """The finest grain is gone from both, and a photograph of twice the pixels still tells them apart."""
    rgb = cv2.resize(portraits["p1a.jpg"].rgb, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC)
    rng = np.random.default_rng(4)
    grainy = Photo(np.clip(rgb + rng.normal(0, 5, rgb.shape), 0, 255).astype(np.uint8))
    search, card = find_face(grainy.rgb), find_chart(grainy).corners_px
    smooth = face_smoothed(grainy, search, (13, 60, 7))
    plain, filtered = (photo_from_bytes(encoded(photo.rgb, "JPEG", quality=quality), "a") for photo in (grainy, smooth))
    assert grain(plain, search.mesh_px, card).smoothed > 1.2
    assert filter_reasons(plain, search, card) == []
    assert [r.code for r in filter_reasons(filtered, search, card)] == [reasons_of_photo.Code.FILTER_SUSPECTED]


@pytest.mark.parametrize("form", ["JPEG", "WEBP"])
def test_a_picture_compressed_too_hard_to_judge_says_so(portraits, form):
    rgb = portraits["p1a.jpg"].rgb
    found = {}
    for quality in (40, 90):
        photo = photo_from_bytes(encoded(rgb, form, quality=quality), "a")
        search = find_face(photo.rgb)
        assert grain(photo, search.mesh_px, find_chart(photo).corners_px).skin is None
        found[quality] = filter_reasons(photo, search, find_chart(photo).corners_px)
    assert [reason.code for reason in found[40]] == [reasons_of_photo.Code.FILTER_UNKNOWN]
    assert not found[40][0].refuses
    assert "cannot be judged" in found[40][0].text
    assert found[90] == []


def test_the_portraits_as_they_are_raise_no_suspicion(measured):
    codes = {reason.code for measurement in measured.values() for reason in measurement.reasons}
    assert reasons_of_photo.Code.FILTER_SUSPECTED not in codes


def test_a_blurred_background_is_suspected_and_unknown_grain_is_not():
    assert "background" in suspicion(Grain(0.9, BLURRED_BELOW - 0.01, 1.5))
    assert "smoothed" in suspicion(Grain(0.5, None, 0.99))
    assert suspicion(Grain(None, None)) is None
    assert suspicion(Grain(0.6, BLURRED_BELOW, 1.0)) is None


def test_too_clean_a_picture_says_nothing(noisy):
    photo, search, card = noisy
    clean = Photo(cv2.GaussianBlur(photo.rgb, (0, 0), 3))
    assert grain(clean, search.mesh_px, card) == Grain(None, None)
