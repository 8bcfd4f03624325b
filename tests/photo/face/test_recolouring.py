"""A face of another colour than its neck is said aloud, with as much doubt as the change is large."""

import cv2
import numpy as np
import pytest

from tenter.photo.face.measure import measure_face
from tenter.photo.face.recolouring import NO_RECOLOURING, recolouring
from tenter.photo.files.loading import Photo
from tenter.photo.reasons import Code
from tenter.photo.regions.landmarks import find_face
from tenter.photo.regions.reading import RegionReading
from tenter.photo.regions.regions import SKIN, Region
from tenter.photo.regions.uncertainty import ColourEvidence

FACE = (Region.CHIN, Region.JAW_LEFT, Region.JAW_RIGHT)


def colours(face, neck):
    return {**{region: np.array(face, float) for region in FACE}, Region.NECK: np.array(neck, float)}


def test_a_neck_in_shade_is_no_other_colour():
    face = np.array([64.0, 12.0, 18.0])
    shaded = np.array([48.0, 12.0 * 64 / 80, 18.0 * 64 / 80])  # half the light: a* and b* go with L* + 16
    found = recolouring(colours(face, shaded))
    np.testing.assert_allclose(found.change, (0.6, 1.0))
    assert not found.found
    assert found.reasons() == []


# Bare skin: a* of cheek against inner arm 11.87 - 8.18 = 3.7 (Han, Choi, Son 2006).
@pytest.mark.parametrize(
    ("step", "says"),
    [((0, 4.0, 0), "redder"), ((0, -6.0, 0), "greener"), ((0, 0, 5.0), "yellower"), ((0, 0, -7.0), "less yellow")],
)
def test_more_than_bare_skin_differs_by_is_said(step, says):
    neck = np.array([60.0, 10.0, 16.0])
    found = recolouring(colours(neck + step, neck))
    assert found.found
    (reason,) = found.reasons()
    assert reason.code is Code.FACE_RECOLOURED
    assert reason.widens
    assert f"is {says} than the neck" in reason.text
    assert not recolouring(colours(neck + np.array(step) * 0.4, neck)).found


def test_without_a_neck_nothing_is_said():
    found = colours((60, 20, 16), (60, 10, 16))
    del found[Region.NECK]
    assert recolouring(found) is NO_RECOLOURING
    assert not NO_RECOLOURING.found


def over_the_face(photo, change):
    """The photograph with CIELAB's values of the face changed, as a filter does it."""
    mesh = find_face(photo.rgb).mesh_px
    inside = np.zeros(photo.rgb.shape[:2], np.uint8)
    cv2.fillPoly(inside, [cv2.convexHull(mesh.astype(np.float32)).astype(np.int32)], 255)
    share = cv2.GaussianBlur(inside, (0, 0), 3)[..., None] / 255
    lab = cv2.cvtColor((photo.rgb / 255).astype(np.float32), cv2.COLOR_RGB2LAB) * change[0] + np.array(change[1])
    changed = cv2.cvtColor(lab.astype(np.float32), cv2.COLOR_LAB2RGB) * 255
    return Photo(np.clip(photo.rgb * (1 - share) + changed * share + 0.5, 0, 255).astype(np.uint8))


@pytest.fixture(scope="module")
def plain_photo(portraits):
    return Photo(portraits["p3a.jpg"].rgb)


@pytest.mark.parametrize(
    "change", [((1, 1, 1), (0, 7, -3)), ((1, 1.5, 1.5), (0, 0, 0))], ids=["rosy", "stronger colours"]
)
def test_a_face_coloured_by_a_filter_is_accepted_with_intervals_that_hold_the_change(plain_photo, change):
    plain, filtered = measure_face(plain_photo), measure_face(over_the_face(plain_photo, change))
    assert Code.FACE_RECOLOURED not in {reason.code for reason in plain.reasons}
    assert filtered.accepted
    assert Code.FACE_RECOLOURED in {reason.code for reason in filtered.reasons}
    held = [
        np.abs(filtered.regions[region].lab - plain.regions[region].lab) < filtered.regions[region].half_width_90
        for region in SKIN
    ]
    assert np.mean(held) > 0.9
    neck, forehead = (filtered.regions[region].half_width_90[1] for region in (Region.NECK, Region.FOREHEAD))
    assert neck < 0.7 * forehead, "the filter does not reach the neck"


def test_a_whitened_face_is_doubted_most_in_lightness():
    neck = np.array([50.0, 11.0, 18.0])
    found = recolouring(colours(neck * (1, 0.75, 0.7) + (9, 0, 0), neck))
    assert found.found
    reading = RegionReading(np.add(neck, (9, 0, 0)), np.ones(3), ColourEvidence(1.0, np.zeros(3), 0.1, is_skin=True))
    before, after = reading.half_width_90, found.doubting(Region.CHIN, reading).half_width_90
    assert after[0] > 9
    assert after[0] - before[0] > after[1:].max() - before[1:].min()


def test_a_whitened_face_is_said_to_be_lighter_as_well(plain_photo):
    filtered = measure_face(over_the_face(plain_photo, ((1, 0.75, 0.7), (9, 0, 0))))
    assert {Code.FACE_RECOLOURED, Code.FACE_BRIGHTENED} <= {reason.code for reason in filtered.reasons}


def test_the_portraits_as_they_are_have_necks_of_the_faces_colour(measured):
    assert not any(reason.code is Code.FACE_RECOLOURED for found in measured.values() for reason in found.reasons)
