"""How a card and a head are turned is read from a plane's perspective and from the mesh."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from tenter.photo.face_light.pose import FILM_DIAGONAL_MM, Facing, card_facing, focal_px, head_facing
from tenter.photo.files.loading import Photo
from tenter.photo.patches.reference import CLASSIC_GRID
from tenter.photo.regions.landmarks import FaceSearch, find_face

SIZE = (1200, 1600)  # width, height
CAMERA = Facing(np.array([0.0, 0.0, -1.0]))


def photo(focal_35mm=None):
    return Photo(np.zeros((SIZE[1], SIZE[0], 3), np.uint8), focal_35mm=focal_35mm)


def seen(turn_degrees, focal_35mm, noise_px=0.0):
    """The centres of a card beside the middle, turned about its upright and its level axis, through a lens."""
    focal = focal_35mm / FILM_DIAGONAL_MM * np.hypot(*SIZE)
    turn = (
        cv2.Rodrigues(np.radians([turn_degrees[1], 0.0, 0.0]))[0]
        @ cv2.Rodrigues(np.radians([0.0, turn_degrees[0], 0.0]))[0]
    )
    flat = np.column_stack([CLASSIC_GRID.centres - CLASSIC_GRID.middle, np.zeros(24)])
    places = flat @ turn.T + (6.0, -1.0, 25.0)
    centres = places[:, :2] / places[:, 2:] * focal + np.array(SIZE) / 2 - 0.5
    return centres + np.random.default_rng(3).normal(0, noise_px, centres.shape), Facing(-turn[:, 2])


@pytest.mark.parametrize("turn", [(0, 0), (12, 0), (-20, 0), (0, 15), (20, -10), (35, 0)])
def test_a_told_lens_gives_the_cards_turn(turn):
    centres, true = seen(turn, 28.0)
    found = card_facing(photo(28.0), centres, CLASSIC_GRID)
    assert found.degrees_from(true) < 1.5
    assert found.spread_degrees < 2


@pytest.mark.parametrize("focal", [26.0, 50.0])
@pytest.mark.parametrize("turn", [(0, 0), (-20, 0), (0, 25)])
def test_without_a_told_lens_a_card_is_turned_nearly_so(turn, focal):
    centres, true = seen(turn, focal, noise_px=0.3)
    assert card_facing(photo(), centres, CLASSIC_GRID).degrees_from(true) < 5


def test_a_lens_that_is_not_told_makes_the_turn_less_sure():
    centres, _ = seen((20, 0), 28.0, noise_px=0.3)
    told, untold = card_facing(photo(28.0), centres, CLASSIC_GRID), card_facing(photo(), centres, CLASSIC_GRID)
    assert told.spread_degrees < untold.spread_degrees


def test_a_focal_length_is_counted_by_the_pictures_diagonal():
    assert focal_px(photo(FILM_DIAGONAL_MM)) == pytest.approx(2000)
    assert focal_px(photo()) is None


@pytest.fixture(scope="module")
def face(portraits):
    return find_face(portraits["p1a.jpg"].rgb)


def test_a_head_that_faces_the_camera_does_so_within_five_degrees(face):
    assert head_facing(face).degrees_from(CAMERA) < 5


@pytest.mark.parametrize(("axis", "degrees"), [((0, 1, 0), 15), ((1, 0, 0), -12)])
def test_a_turned_mesh_faces_elsewhere_by_as_much(face, axis, degrees):
    mesh = np.column_stack([face.mesh_px, face.depth_px])
    turn = cv2.Rodrigues(np.radians(degrees) * np.array(axis, float))[0]
    turned = (mesh - mesh.mean(axis=0)) @ turn.T
    search = replace(face, mesh_px=turned[:, :2], depth_px=turned[:, 2])
    moved = Facing(turn @ head_facing(face).towards)
    assert head_facing(search).degrees_from(head_facing(face)) == pytest.approx(abs(degrees), abs=0.7)
    assert head_facing(search).degrees_from(moved) < 0.1


def test_without_a_mesh_no_head_faces_anywhere():
    assert head_facing(FaceSearch((), False, None)) is None
