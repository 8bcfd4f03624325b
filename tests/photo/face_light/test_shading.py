"""From where a face is lit, by the luminance of its skin over where the mesh faces."""

from dataclasses import replace

import numpy as np
import pytest

from tenter.photo.face_light.pose import Facing, head_facing
from tenter.photo.face_light.shading import FaceShading, face_shading
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import TRUE_SRGB
from tenter.photo.regions.landmarks import FaceSearch, find_face


@pytest.fixture(scope="module")
def face(portraits):
    return find_face(portraits["p1a.jpg"].rgb)


def aside(degrees):
    """A plane turned to the picture's right."""
    return Facing(np.array([np.sin(np.radians(degrees)), 0.0, -np.cos(np.radians(degrees))]))


def test_a_face_that_is_lit_from_a_side_lights_what_is_turned_there(portraits, face):
    shading = face_shading(Photo(portraits["p1a.jpg"].rgb), TRUE_SRGB, face)
    assert shading.explained > 0.7
    assert shading.points > 150
    assert shading.directed[0] < 0, "the window is at the picture's left"
    ahead, to_lamp, from_lamp = aside(0), aside(-20), aside(20)
    assert shading.log_ratio(ahead, ahead) == 0
    assert 0.1 < shading.log_ratio(to_lamp, ahead) < 0.6
    assert -0.9 < shading.log_ratio(from_lamp, ahead) < -0.15


def test_a_mirrored_face_is_lit_from_the_other_side(portraits, face):
    mirrored = Photo(np.ascontiguousarray(portraits["p1a.jpg"].rgb[:, ::-1]))
    mesh = face.mesh_px * (-1, 1) + (mirrored.rgb.shape[1], 0)
    one = face_shading(Photo(portraits["p1a.jpg"].rgb), TRUE_SRGB, face)
    other = face_shading(mirrored, TRUE_SRGB, replace(face, mesh_px=mesh))
    assert other.directed[0] == pytest.approx(-one.directed[0], rel=0.1)


def test_a_ball_that_is_lit_by_lambert_gives_its_light_back(face):
    """The mesh's own normals, lit by a lamp of known place: what was put in comes out."""
    light, ambient = np.array([-0.3, -0.1, -0.2]), 0.2
    plain = np.full((800, 640, 3), 128, np.uint8)
    first = face_shading(Photo(plain), TRUE_SRGB, face)
    assert np.abs(first.directed).max() < 0.01
    assert first.towards(head_facing(face)) == pytest.approx(0.2159, abs=0.005)  # sRGB 128, IEC 61966-2-1
    shading = FaceShading(ambient, light, 1.0, 200)
    assert shading.towards(Facing(np.array([0.0, 0.0, -1.0]))) == pytest.approx(0.4)


def test_light_does_not_turn_negative_behind_a_face():
    shading = FaceShading(0.1, np.array([0.0, 0.0, -0.5]), 1.0, 200)
    assert shading.log_ratio(Facing(np.array([0.0, 0.0, 1.0])), Facing(np.array([0.0, 0.0, -1.0]))) == pytest.approx(
        np.log(0.05)
    )


def test_an_overexposed_or_missing_face_is_lit_from_nowhere(face):
    white = Photo(np.full((800, 640, 3), 255, np.uint8))
    assert face_shading(white, TRUE_SRGB, face) is None
    assert face_shading(white, TRUE_SRGB, FaceSearch((), False, None)) is None
