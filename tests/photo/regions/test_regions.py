"""Regions lie where they should, on the person's own side, and say when they cannot be read."""

import sys

import numpy as np
import pytest
from PIL import Image

from tenter.errors import MissingPart
from tenter.photo.files.loading import Photo
from tenter.photo.regions import landmarks
from tenter.photo.regions.landmarks import POINT_COUNT, find_face, iris_circle
from tenter.photo.regions.regions import OF_MESH, SHADED_SKIN, SKIN, Region, read_region, region_mask


@pytest.fixture(scope="module")
def mesh(portraits):
    return find_face(portraits["p1a.jpg"].rgb).mesh_px


def test_regions_lie_in_the_true_ones(portraits):
    for portrait in portraits.values():
        labels = np.asarray(Image.open(portrait.path.parent / portrait.truth["mask"]))
        number = {"forehead": 1, "cheek_l": 2, "cheek_r": 3, "nose": 4, "chin": 5, "jaw_l": 6, "jaw_r": 7, "lips": 8}
        mesh = find_face(portrait.rgb).mesh_px
        for region, name in portrait.truth_name.items():
            ours, true = region_mask(portrait.rgb.shape, mesh, region), labels == number[name]
            assert (ours & true).sum() / ours.sum() > 0.55, (portrait.path.name, region)


def test_left_is_on_the_right_of_the_picture(mesh, portrait):
    for left, right in (
        (Region.CHEEK_LEFT, Region.CHEEK_RIGHT),
        (Region.JAW_LEFT, Region.JAW_RIGHT),
        (Region.BROW_LEFT, Region.BROW_RIGHT),
        (Region.IRIS_LEFT, Region.IRIS_RIGHT),
    ):
        columns = [np.nonzero(region_mask(portrait.rgb.shape, mesh, region))[1].mean() for region in (left, right)]
        assert columns[0] > columns[1]


def test_regions_do_not_overlap(mesh, portrait):
    total = sum(region_mask(portrait.rgb.shape, mesh, region).astype(int) for region in OF_MESH)
    assert (total > 1).sum() < 0.01 * (total > 0).sum()  # only the line that forehead and brows share


def test_the_darkest_and_lightest_are_trimmed(mesh, portrait):
    whole = region_mask(portrait.rgb.shape, mesh, Region.FOREHEAD)
    read = read_region(Photo(portrait.rgb), mesh, Region.FOREHEAD)
    assert len(read.code) == pytest.approx(0.7 * whole.sum(), abs=2)
    speckled = portrait.rgb.copy()
    speckled[whole & (np.indices(whole.shape).sum(axis=0) % 10 == 0)] = 20  # a tenth of it is hair
    assert (
        np.abs(read_region(Photo(speckled), mesh, Region.FOREHEAD).code.mean(axis=0) - read.code.mean(axis=0)).max()
        < 0.02
    )


def test_an_overexposed_region_says_so(mesh, portrait):
    burnt = portrait.rgb.copy()
    burnt[region_mask(burnt.shape, mesh, Region.NOSE)] = 255
    nose = read_region(Photo(burnt), mesh, Region.NOSE)
    assert nose.overexposed
    assert "overexposed" in nose.reason
    assert len(nose.code) == 0


def test_a_dark_region_says_so(mesh, portrait):
    assert "too dark" in read_region(Photo(portrait.rgb * 0), mesh, Region.CHIN).reason


def test_a_small_iris_is_not_read(mesh, portrait):
    _, radius = iris_circle(mesh, "left")
    assert radius < 25
    assert "iris" in read_region(Photo(portrait.rgb), mesh, Region.IRIS_LEFT).reason


def test_a_large_iris_is_read(portrait):
    # A blue iris on a portrait three times as large.
    large = np.asarray(Image.fromarray(portrait.rgb[150:500, 150:420]).resize((1080, 1400), Image.Resampling.BICUBIC))
    mesh = find_face(large).mesh_px
    for region in (Region.IRIS_LEFT, Region.IRIS_RIGHT):
        iris = read_region(Photo(large), mesh, region)
        assert iris.reason is None
        red, _, blue = iris.code.mean(axis=0)
        assert blue > red + 0.1


def test_the_mesh_is_on_the_face(mesh, portrait):
    assert mesh.shape == (POINT_COUNT, 2)
    eyes = np.array(portrait.truth["landmarks68_px"])[36:48]  # Multi-PIE order: both eyes
    assert np.linalg.norm(mesh[[468, 473]].mean(axis=0) - eyes.mean(axis=0)) < 6


def test_a_missing_mediapipe_says_how_to_get_it(monkeypatch, portrait):
    monkeypatch.setitem(sys.modules, "mediapipe", None)
    with pytest.raises(MissingPart, match=r"mediapipe 0\.10\.21"):
        landmarks._mediapipe()


# Labels of tests/data/rendered_portraits/masks: 14 is skin without a name of its own, as below the eyes and the chin.
def test_the_shaded_skin_lies_on_skin(portraits):
    for portrait in portraits.values():
        labels = np.asarray(Image.open(portrait.path.parent / portrait.truth["mask"]))
        mesh = find_face(portrait.rgb).mesh_px
        for region in SHADED_SKIN:
            ours = region_mask(portrait.rgb.shape, mesh, region)
            assert np.isin(labels[ours], (2, 3, 5, 9, 14)).mean() > 0.95, (portrait.path.name, region)
            assert read_region(Photo(portrait.rgb), mesh, region).reason is None


def test_the_neck_lies_below_the_chin_and_the_under_eyes_below_the_eyes(mesh, portrait):
    rows = {r: np.nonzero(region_mask(portrait.rgb.shape, mesh, r))[0].mean() for r in OF_MESH}
    assert rows[Region.NECK] > rows[Region.CHIN]
    for eye, below, cheek in (
        (Region.IRIS_LEFT, Region.UNDER_EYE_LEFT, Region.CHEEK_LEFT),
        (Region.IRIS_RIGHT, Region.UNDER_EYE_RIGHT, Region.CHEEK_RIGHT),
    ):
        assert rows[eye] < rows[below] < rows[cheek]


def test_a_covered_neck_is_refused(mesh, portrait):
    covered = portrait.rgb.copy()
    neck = region_mask(covered.shape, mesh, Region.NECK)
    rows, columns = np.nonzero(neck)
    cloth = rows > np.percentile(rows, 60)
    covered[rows[cloth], columns[cloth]] = (30, 60, 140)
    read = read_region(Photo(covered), mesh, Region.NECK)
    assert len(read.code) == 0
    assert "cloth" in read.reason


# A fringe hangs over part of the forehead, a beard is speckled, the frame of glasses crosses the under-eye.
@pytest.mark.parametrize("region", [Region.FOREHEAD, Region.JAW_LEFT, Region.UNDER_EYE_RIGHT])
def test_what_lies_on_the_skin_is_suspected_by_its_spread(mesh, portrait, region):
    rows, columns = np.nonzero(region_mask(portrait.rgb.shape, mesh, region))
    strand = (columns // 4) % 4 == 0
    spoiled = portrait.rgb.copy()
    spoiled[rows[strand], columns[strand]] = (25, 20, 18)
    assert "unlike the rest" in read_region(Photo(spoiled), mesh, region).caution


def test_bare_skin_is_not_suspected(portraits, measured):
    assert {
        (file, r) for file in portraits for r in (*SKIN, *SHADED_SKIN) if measured[file].regions[r].caution
    } == set()


def test_the_sclera_is_white_beside_the_iris_and_said_to_be_weak(portrait):
    large = np.asarray(Image.fromarray(portrait.rgb[150:500, 150:420]).resize((1080, 1400), Image.Resampling.BICUBIC))
    mesh = find_face(large).mesh_px
    for eye, white in ((Region.IRIS_LEFT, Region.SCLERA_LEFT), (Region.IRIS_RIGHT, Region.SCLERA_RIGHT)):
        iris, sclera = read_region(Photo(large), mesh, eye), read_region(Photo(large), mesh, white)
        assert sclera.reason is None
        assert "weak" in sclera.caution
        assert np.ptp(sclera.code.mean(axis=0)) < 0.6 * np.ptp(iris.code.mean(axis=0))
        assert not (region_mask(large.shape, mesh, eye) & region_mask(large.shape, mesh, white)).any()
