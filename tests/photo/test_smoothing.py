"""A filter over the face is suspected by the grain that it takes away, and plain photographs are left alone."""

import cv2
import numpy as np
import pytest

from tenter.photo import gate
from tenter.photo.chart import find_chart
from tenter.photo.landmarks import find_face
from tenter.photo.loading import Photo
from tenter.photo.smoothing import BLURRED_BELOW, SMOOTHED_BELOW, Grain, filter_reasons, grain, suspicion

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
    assert [reason.code for reason in reasons] == [gate.Code.FILTER_SUSPECTED]
    assert not reasons[0].refuses
    assert "grain" in reasons[0].text


def test_more_smoothing_leaves_less_grain(noisy):
    photo, search, card = noisy
    left = [grain(face_smoothed(photo, search, s), search.mesh_px, card).skin for s in ((5, 8, 2), *STRENGTHS.values())]
    assert left[0] > left[1] > left[2]


def test_without_a_card_or_a_face_nothing_is_suspected(noisy):
    photo, search, _ = noisy
    assert filter_reasons(face_smoothed(photo, search, STRENGTHS["strong"]), search, None) == []


def test_the_portraits_as_they_are_raise_no_suspicion(measured):
    codes = {reason.code for measurement in measured.values() for reason in measurement.reasons}
    assert gate.Code.FILTER_SUSPECTED not in codes


def test_a_blurred_background_is_suspected_and_unknown_grain_is_not():
    assert "background" in suspicion(Grain(0.9, BLURRED_BELOW - 0.01))
    assert "smoothed" in suspicion(Grain(SMOOTHED_BELOW - 0.01, None))
    assert suspicion(Grain(None, None)) is None
    assert suspicion(Grain(SMOOTHED_BELOW, BLURRED_BELOW)) is None


def test_too_clean_a_picture_says_nothing(noisy):
    photo, search, card = noisy
    clean = Photo(cv2.GaussianBlur(photo.rgb, (0, 0), 3))
    assert grain(clean, search.mesh_px, card) == Grain(None, None)
