"""A face that is lighter than its colour, its eyes or its outline allow."""

import numpy as np
import pytest

from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.photo.camera.skin import skin_reflectances
from tenter.photo.face_light.brightness import fall_at_outline, lighter_than_its_colour, white_of_eyes
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import D65_WHITE, TRUE_SRGB
from tenter.photo.regions.landmarks import find_face
from tenter.photo.regions.regions import Region
from tests.support.pictures.other_light import brightened, oval_of


@pytest.fixture(scope="module")
def mesh(portraits):
    return find_face(portraits["p1a.jpg"].rgb).mesh_px


# C. C. Cooksey, D. W. Allen, B. K. Tsai (2017), J. Res. NIST 122, 26, doi:10.6028/jres.122.026: 18 of 100 forearms.
def test_measured_skin_is_hardly_lighter_than_its_colour_says():
    xyz = reflectance_to_xyz(skin_reflectances(), D65_2.illuminant, D65_2.observer)
    off = [
        lighter_than_its_colour(y, {Region.FOREHEAD: lab})
        for y, lab in zip(xyz[:, 1], xyz_to_lab(xyz, D65_WHITE), strict=True)
    ]
    assert np.std(off) < 0.2
    assert -0.4 < np.min(off) < np.max(off) < 0.25


def test_the_same_colour_lighter_is_lighter_than_its_colour_by_as_much():
    lab = {Region.FOREHEAD: np.array([65.0, 11.0, 17.0])}
    one, other = (lighter_than_its_colour(light, lab) for light in (0.34, 0.34 * np.exp(0.3)))
    assert other - one == pytest.approx(0.3)
    assert lighter_than_its_colour(0.3, {Region.CHIN: lab[Region.FOREHEAD]}) is None


def test_a_face_made_lighter_within_its_oval_falls_along_its_outline(portraits, mesh):
    portrait = portraits["p1a.jpg"]
    plain, lighter, much = (
        fall_at_outline(brightened(portrait, oval_of(portrait, mesh), factor, 5.0), TRUE_SRGB, mesh)
        for factor in (1.0, 1.3, 1.5)
    )
    assert plain < 0.1
    assert plain + 0.05 < lighter < much


def test_the_white_of_the_eyes_goes_with_the_light_and_needs_both(portraits, mesh):
    portrait = portraits["p1a.jpg"]
    everything = np.ones(portrait.rgb.shape[:2])
    plain = white_of_eyes(Photo(portrait.rgb), TRUE_SRGB, mesh)
    darker = white_of_eyes(brightened(portrait, everything, 0.7, 1.0), TRUE_SRGB, mesh)
    assert darker == pytest.approx(0.7 * plain, rel=0.03)
    far = Photo(np.ascontiguousarray(portrait.rgb[::4, ::4]))
    assert white_of_eyes(far, TRUE_SRGB, mesh / 4) is None
