"""What a person draws, drops or confirms is followed."""

import json
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from PIL import Image

from tenter.consultation.client.contrast import contrast_level
from tenter.consultation.client.face import Face
from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import Photo
from tenter.photo.places import box_corners, read_box
from tenter.photo.regions.hair import HairStatus, propose_hair
from tenter.photo.regions.landmarks import find_face
from tenter.photo.regions.regions import Patch, Region, outlines, read_region, region_mask
from tenter.photo.regions.request import Exclusion, ExclusionKind, FaceRequest, HairChoice

CAP, OTHER_SKIN = 12, 14


@pytest.fixture(scope="module")
def dark_haired(portraits):
    """The dark face with its cap painted as dark brown hair would look, and the mesh of it."""
    portrait = portraits["p4b.jpg"]
    labels = np.asarray(Image.open(portrait.path.parent / portrait.truth["mask"]))
    rgb = portrait.rgb.copy()
    shade = rgb[labels == CAP].astype(float)
    rgb[labels == CAP] = np.clip(shade * (0.16, 0.11, 0.07) + 14, 0, 255).astype(np.uint8)
    return rgb


def painted_beard(portrait, mesh):
    """The portrait with a pale patch over part of the right jaw."""
    rgb = portrait.rgb.copy()
    jaw = region_mask(rgb.shape, mesh, Region.JAW_RIGHT)
    rows, columns = np.nonzero(jaw)
    middle = np.median(rows)
    rgb[rows[rows > middle], columns[rows > middle]] = (60, 90, 160)
    box = (columns.min() - 2, middle + 0.5, np.ptp(columns) + 5, rows.max() - middle + 2)
    return rgb, Exclusion(ExclusionKind.BEARD, box_corners(box))


def test_what_is_excluded_is_not_read(portrait):
    mesh = find_face(portrait.rgb).mesh_px
    rgb, beard = painted_beard(portrait, mesh)
    clean = region_mask(rgb.shape, mesh, Region.JAW_RIGHT) & ~(rgb == (60, 90, 160)).all(axis=-1)
    read = read_region(Photo(rgb), mesh, Region.JAW_RIGHT, [beard.outline])
    assert len(read.code) == pytest.approx(0.7 * clean.sum(), rel=0.08)  # a pixel on the outline counts as inside
    assert not (np.round(read.code * 255) == (60, 90, 160)).all(axis=1).any()
    unguarded = read_region(Photo(rgb), mesh, Region.JAW_RIGHT)
    assert (np.round(unguarded.code * 255) == (60, 90, 160)).all(axis=1).any()
    assert "unlike the rest" in unguarded.caution
    assert read.caution is None


def test_exclusions_are_in_pixels_of_the_original(portrait):
    mesh = find_face(portrait.rgb).mesh_px
    rgb, beard = painted_beard(portrait, mesh)
    twice = replace(beard, polygon=tuple((2 * x, 2 * y) for x, y in beard.polygon))
    here = measure_face(Photo(rgb), request=FaceRequest((beard,)))
    there = measure_face(Photo(rgb, reduction=2.0), request=FaceRequest((twice,)))
    assert here.regions[Region.JAW_RIGHT].pixels == there.regions[Region.JAW_RIGHT].pixels
    assert_allclose(here.regions[Region.JAW_RIGHT].lab, there.regions[Region.JAW_RIGHT].lab)
    for region, around in here.outlines.items():
        for one, other in zip(around, there.outlines[region], strict=True):
            assert_allclose(2 * one, other)


def test_a_region_wholly_excluded_says_so(portrait):
    everything = Exclusion(ExclusionKind.OTHER, box_corners((0, 0, 640, 800)))
    chin = measure_face(Photo(portrait.rgb), request=FaceRequest((everything,))).regions[Region.CHIN]
    assert chin.lab is None
    assert "excluded" in chin.reason


def test_a_dropped_region_is_not_used_anywhere(portrait, measured):
    result = measure_face(Photo(portrait.rgb), request=FaceRequest(dropped=frozenset({Region.CHEEK_RIGHT})))
    assert "left out" in result.regions[Region.CHEEK_RIGHT].reason
    used = json.dumps(result.to_json()["relative"]) + json.dumps(result.readings.to_json())
    assert "cheek_right" not in used
    assert "cheek_left" in used
    assert result.ita.degrees != measured["p1a.jpg"].ita.degrees  # it rested on the cheek that is lightest
    assert [sides.left for sides in result.asymmetry] == [Region.JAW_LEFT, Region.UNDER_EYE_LEFT]


def test_hair_is_proposed_on_the_cap_and_not_measured(portraits, measured):
    for file, result in measured.items():
        assert result.hair.status is HairStatus.PROPOSED, file
        assert result.regions[Region.HAIR].lab is None
        assert "confirmed" in result.regions[Region.HAIR].reason
        assert Region.HAIR not in result.readings.lch
        labels = np.asarray(Image.open(portraits[file].path.parent / portraits[file].truth["mask"]))
        patch = Patch.of_polygon(labels.shape, max(result.hair.outlines, key=len))
        assert (labels[patch.window][patch.mask] == CAP).mean() > 0.7, file


def test_confirmed_hair_is_measured_named_and_the_darkest_feature(dark_haired):
    silent = measure_face(Photo(dark_haired))
    said = measure_face(Photo(dark_haired), request=FaceRequest(hair=HairChoice.CONFIRMED))
    assert silent.hair.status is HairStatus.PROPOSED
    assert said.hair.status is HairStatus.CONFIRMED
    lab = said.regions[Region.HAIR].lab
    assert lab[0] < 20
    assert {word for word in ("black", "brown") if word in said.readings.names[Region.HAIR].name.name}
    assert silent.readings.names == {}
    [to_hair] = [found for found in said.readings.lightness_steps if found.feature is Region.HAIR]
    assert to_hair.step < 0
    contrast = contrast_level(Face.from_json(json.loads(json.dumps(said.to_json()))))
    assert contrast.feature == "hair"
    assert contrast_level(Face.from_json(json.loads(json.dumps(silent.to_json())))) is None  # brows alone say nothing


def test_marked_hair_is_read_where_it_was_marked(dark_haired):
    request = FaceRequest(hair_at=box_corners((240, 170, 90, 30)))
    result = measure_face(Photo(dark_haired), request=request)
    assert result.hair.status is HairStatus.MARKED
    assert result.regions[Region.HAIR].pixels == pytest.approx(0.7 * 90 * 30, rel=0.06)  # a pixel on the outline counts
    assert result.regions[Region.HAIR].lab is not None


def test_it_may_be_said_that_no_hair_shows(portrait):
    result = measure_face(Photo(portrait.rgb), ChartKind.NONE, FaceRequest(hair=HairChoice.NONE))
    assert (result.hair.status, result.hair.outlines) == (HairStatus.NONE, ())
    assert result.outlines[Region.HAIR] == ()


def test_skin_and_wall_alone_are_no_hair(portrait):
    labels = np.asarray(Image.open(portrait.path.parent / portrait.truth["mask"]))
    mesh = find_face(portrait.rgb).mesh_px
    bald = portrait.rgb.copy()
    bald[labels == CAP] = np.median(bald[labels == 1], axis=0)
    assert propose_hair(bald, mesh) is None
    proposal = propose_hair(portrait.rgb, mesh)
    again = propose_hair(portrait.rgb, mesh)
    assert (proposal.mask == again.mask).all()


def test_outlines_enclose_what_is_read(portrait, measured):
    mesh = find_face(portrait.rgb).mesh_px
    for region in (Region.CHEEK_LEFT, Region.LIPS, Region.NECK):
        truth = region_mask(portrait.rgb.shape, mesh, region)
        inside = np.zeros_like(truth)
        for outline in measured["p1a.jpg"].outlines[region]:  # inside by an odd number
            patch = Patch.of_polygon(truth.shape, outline)
            inside[patch.window] ^= patch.mask
        assert (inside & truth).sum() > 0.85 * (inside | truth).sum(), region
    assert outlines(Patch((slice(0, 3), slice(0, 3)), np.zeros((3, 3), dtype=bool))) == ()


def test_outlines_stand_in_the_json_only_when_asked_for(measured):
    result = measured["p1a.jpg"]
    assert "outlines_px" not in result.to_json()
    asked = json.loads(json.dumps(result.to_json(outlines=True)))
    assert list(asked)[-1] == "outlines_px"
    assert set(asked["outlines_px"]) == {str(region) for region in Region}
    assert np.shape(asked["outlines_px"]["forehead"][0])[1] == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("mole:1,1 5,1 5,5", "cannot be excluded"),
        ("scar:1,1 5,1", "three"),
        ("scar:1 2 3", "outline"),
        ("", "excluded"),
    ],
)
def test_an_exclusion_that_is_none_says_how_to_write_one(text, said):
    with pytest.raises(TenterError, match=said):
        Exclusion.parse(text)


def test_an_exclusion_is_written_as_kind_and_corners():
    assert Exclusion.parse("glasses: 1,2 30,2.5 20,40") == Exclusion(
        ExclusionKind.GLASSES, ((1.0, 2.0), (30.0, 2.5), (20.0, 40.0))
    )


@pytest.mark.parametrize("polygon", [((0, 0), (1, 1), (2, 2)), ((0, 0), (9, 0), (float("nan"), 5))])
def test_an_outline_encloses_something(polygon):
    with pytest.raises(TenterError):
        Exclusion(ExclusionKind.SCAR, polygon)


def test_hair_is_not_both_marked_and_denied():
    with pytest.raises(TenterError, match="there is none"):
        FaceRequest(hair=HairChoice.NONE, hair_at=box_corners((1, 2, 30, 40)))


@pytest.mark.parametrize("text", ["1,2,3", "a,b,c,d", "", "1,2,nan,4", "1,2,0,5", "1,2,3,-4"])
def test_a_box_that_is_none_says_how_to_write_one(text):
    with pytest.raises(TenterError, match="left, top, width and height"):
        read_box(text)


def test_a_large_picture_gets_the_same_proposal(portrait):
    large = np.asarray(Image.fromarray(portrait.rgb).resize((1600, 2000), Image.Resampling.BICUBIC))
    small, big = (propose_hair(rgb, find_face(rgb).mesh_px) for rgb in (portrait.rgb, large))
    assert big.mask.sum() == pytest.approx(2.5**2 * small.mask.sum(), rel=0.15)
    assert_allclose([s.start for s in big.window], [2.5 * s.start for s in small.window], atol=12)
