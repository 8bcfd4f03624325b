"""A portrait in parts: the cloth is the cloth, the places are where they are, and what shows too little is refused."""

from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.errors import Refused
from tenter.photo.cards import ChartKind
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.together.portrait import portrait_parts

PORTRAITS = Path(__file__).parents[2] / "data" / "rendered_portraits"
CLOTH, FACE = 10, (1, 2, 3, 4, 5, 6, 7, 8, 14)  # labels of the masks: tests/data/rendered_portraits/README.md
SCENES = ("p1", "p2", "p3", "p4")


@cache
def parts_of(name):
    return portrait_parts(load_photo(PORTRAITS / f"{name}a.jpg"))


def labels(name):
    """Return the true label of each pixel of the cut-out."""
    parts = parts_of(name)
    mask = cv2.imread(str(PORTRAITS / "masks" / f"{name}.png"), cv2.IMREAD_UNCHANGED)[parts.window]
    return cv2.resize(mask, parts.face.shape[::-1], interpolation=cv2.INTER_NEAREST)


def shared(found, true):
    return (found & true).sum() / (found | true).sum()


@pytest.mark.parametrize("name", SCENES)
def test_the_cloth_is_found(name):
    assert shared(parts_of(name).cloth > 0.5, labels(name) == CLOTH) > 0.93


@pytest.mark.parametrize("name", SCENES)
def test_no_face_is_taken_for_cloth_and_hardly_any_cloth_for_face(name):
    parts, true = parts_of(name), labels(name)
    assert (parts.cloth > 0.5)[np.isin(true, FACE)].mean() < 0.01
    assert (parts.face > 0.5)[true == CLOTH].mean() < 0.01


def test_the_places_share_every_pixel_and_each_has_its_own():
    parts, true = parts_of("p3"), labels("p3")
    assert_allclose(sum(parts.places.values()), 1.0)
    own = {"forehead": 1, "cheek_right": 2, "cheek_left": 3, "nose": 4, "chin": 5, "jaw_right": 6, "jaw_left": 7}
    assert set(parts.places) == {*own, "lips"}
    for place, label in own.items():  # _l in the masks is the viewer's left, the client's right
        assert max(parts.places, key=lambda p: parts.places[p][true == label].mean()) == place


def test_its_light_is_what_the_card_makes_of_the_photograph():
    parts, true = parts_of("p3"), labels("p3")
    forehead = parts.measured.regions["forehead"].lab
    luminance = float(parts.xyz[true == 1][:, 1].mean())
    assert 116 * np.cbrt(luminance) - 16 == pytest.approx(forehead[0], abs=2)


@pytest.mark.parametrize(("rows", "why"), [(526, "Too little of the cloth"), (516, "cut too close below the chin")])
def test_a_photograph_that_shows_hardly_any_cloth_is_refused(rows, why):
    photo = load_photo(PORTRAITS / "p3a.jpg")
    with pytest.raises(Refused, match=why):
        portrait_parts(Photo(np.ascontiguousarray(photo.rgb[:rows])))


def test_without_a_card_there_is_no_portrait():
    with pytest.raises(Refused, match="no colour card"):
        portrait_parts(load_photo(PORTRAITS / "p3a.jpg"), ChartKind.NONE)


def test_a_photograph_that_is_not_accepted_is_refused():
    photo = load_photo(PORTRAITS / "p3a.jpg")
    with pytest.raises(Refused, match="not accepted"):
        portrait_parts(Photo(np.ascontiguousarray(np.rot90(photo.rgb, 2))))
