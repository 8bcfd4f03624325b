"""Regions lie where they should, on the person's own side, and say when they cannot be read."""

import sys

import numpy as np
import pytest
from PIL import Image

from tenter.errors import MissingPart
from tenter.photo import landmarks
from tenter.photo.landmarks import POINT_COUNT, find_face, iris_circle
from tenter.photo.loading import Photo
from tenter.photo.regions import OF_MESH, Region, read_region, region_mask


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
