"""A plain wall gets darker beside a card that stands in the shade, and lighter beside a head that was made lighter."""

import cv2
import numpy as np
import pytest

from tenter.photo.face_light.surroundings import NOTHING_TOLD, surroundings
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import TRUE_SRGB
from tenter.photo.regions.landmarks import find_face
from tests.support.pictures.other_light import brightened, shaded


@pytest.fixture(scope="module")
def mesh(portraits):
    return find_face(portraits["p1a.jpg"].rgb).mesh_px


def look(portrait, photo, mesh):
    patches = np.array(portrait.truth["card"]["patches_px"])
    pitch = float(np.linalg.norm(patches[1].mean(axis=0) - patches[0].mean(axis=0)))
    corners = np.array(portrait.truth["card"]["corners_px"], dtype=float)
    middle = corners.mean(axis=0)
    return surroundings(photo, TRUE_SRGB, middle + 0.95 * (corners - middle), pitch, mesh)


def head_of(portrait):
    """1 on face, cap and neck (height, width), by the render's own labels."""
    labels = cv2.imread(str(portrait.path.parent / portrait.truth["mask"]), cv2.IMREAD_UNCHANGED)
    return np.isin(labels, [k for k in range(1, 17) if k not in {10, 11, 13}])


def test_a_wall_as_it_is_has_no_steps(portraits, mesh):
    found = look(portraits["p1a.jpg"], Photo(portraits["p1a.jpg"].rgb), mesh)
    assert abs(found.card) < 0.04
    assert abs(found.head) < 0.02


def test_a_shade_on_card_and_wall_darkens_the_wall_beside_the_card(portraits, mesh):
    one, other = (look(portraits["p1a.jpg"], shaded(portraits["p1a.jpg"], part), mesh) for part in (0.85, 0.7))
    assert other.card < one.card < -0.05
    assert abs(other.head) < 0.02


def test_a_head_made_lighter_lightens_the_wall_beside_it(portraits, mesh):
    portrait = portraits["p1a.jpg"]
    one, other = (look(portrait, brightened(portrait, head_of(portrait), factor, 10.0), mesh) for factor in (1.15, 1.5))
    assert 0.02 < one.head < other.head
    assert abs(other.card) < 0.04


def test_a_wall_that_is_not_plain_tells_nothing(portraits, mesh):
    portrait, rng = portraits["p1a.jpg"], np.random.default_rng(1)
    tiles = np.kron(rng.uniform(0.3, 1.0, (20, 16)), np.ones((40, 40)))[..., None]
    assert look(portrait, Photo((portrait.rgb * tiles).astype(np.uint8)), mesh) == NOTHING_TOLD
