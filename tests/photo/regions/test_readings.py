"""What follows from colours with intervals: chroma and hue, steps, left against right, flush."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import chi2

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import lab_to_lch
from tenter.errors import TenterError, UnreadableInput
from tenter.photo.cards import ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import Photo
from tenter.photo.regions.landmarks import find_face
from tenter.photo.regions.reading import RegionReading, step
from tenter.photo.regions.readings import asymmetry_of, colour_step, lch_reading, readings_of
from tenter.photo.regions.regions import Region, region_mask
from tenter.photo.regions.uncertainty import ColourEvidence
from tenter.photo.together.baseline import BaselineChange, flush_since, read_baseline

DEVIATIONS = 1.6449  # a 90 % interval of a normal error ends there
SURE = ColourEvidence(0.0, np.zeros(3), 0.0, True)


def reading(*lab):
    return RegionReading(np.array(lab, dtype=float), np.zeros(3), SURE)


# A simulation is the check: true colours about the one that was read, normal errors on each axis.
@pytest.mark.parametrize(
    ("lab", "half"), [((60, 12, 18), (3, 1.5, 2.5)), ((40, 9, -7), (2, 2, 3)), ((75, -4, 14), (2, 1, 4))], ids=str
)
def test_intervals_of_chroma_and_hue_hold_nine_of_ten(lab, half):
    lab, half = np.array(lab, dtype=float), np.array(half, dtype=float)
    read = lch_reading(lab, half)
    drawn = lab_to_lch(lab + half / DEVIATIONS * np.random.default_rng(4).standard_normal((20000, 3)))
    assert_allclose((read.lightness, read.chroma, read.hue), lab_to_lch(lab))
    turned = (drawn[:, 2] - read.hue + 180) % 360 - 180
    for values, (low, high) in (
        (drawn[:, 0], read.lightness_90),
        (drawn[:, 1], read.chroma_90),
        (turned + read.hue, read.hue_90),
    ):
        assert ((values >= low) & (values <= high)).mean() == pytest.approx(0.9, abs=0.03)


def test_near_grey_hue_is_left_open_and_chroma_begins_at_none():
    read = lch_reading(np.array([70.0, 0.5, 1.0]), np.array([2.0, 2.0, 2.0]))
    assert read.hue_90 is None
    assert read.chroma_90[0] == 0
    drawn = np.array([0.5, 1.0]) + 2 / DEVIATIONS * np.random.default_rng(4).standard_normal((20000, 2))
    assert (np.hypot(*drawn.T) <= read.chroma_90[1]).mean() > 0.87
    assert read.to_json()["interval_90"][2] is None


# The 90 % quantile of chi squared for two axes, 4.605, tells a colour from grey in a* and b*.
@pytest.mark.parametrize(("deviations_squared", "open_"), [(4.3, True), (4.9, False), (6.2, False)])
def test_a_hue_is_stated_as_soon_as_grey_lies_outside_nine_tenths_of_what_may_be(deviations_squared, open_):
    chroma = np.sqrt(deviations_squared) * 2 / DEVIATIONS  # half-widths of 2
    assert (lch_reading(np.array([60.0, 0.0, chroma]), np.full(3, 2.0)).hue_90 is None) == open_
    b = chroma + np.random.default_rng(4).normal(0, 2 / DEVIATIONS, 20000)
    a = np.random.default_rng(5).normal(0, 2 / DEVIATIONS, 20000)
    inside = np.mean(a**2 + (b - chroma) ** 2 <= chroma**2)  # of what may be, nearer than grey is
    assert (inside < 0.9) == open_


# 359.9998 degrees, to three decimals, is 360.000: no hue of a circle that begins at 0.
@pytest.mark.parametrize("b", [-1e-4, -1e-15, 0.0, 1e-15, 1e-4])
def test_a_hue_at_the_circles_beginning_is_written_as_nought(b):
    written = lch_reading(np.array([50.0, 30.0, b]), np.array([2.0, 2.0, 2.0])).to_json()
    assert json.dumps(written["lch"]) == "[50.0, 30.0, 0.0]"
    low, high = written["interval_90"][2]
    assert low == pytest.approx(-high, abs=2e-3)


def test_the_interval_of_a_difference_holds_nine_of_ten():
    colours = {Region.FOREHEAD: reading(65, 9, 15), Region.LIPS: reading(48, 20, 12)}
    step = colour_step(Region.FOREHEAD, Region.LIPS, colours, calibrated=True)
    assert step.delta_e_2000 == pytest.approx(float(delta_e_2000((65, 9, 15), (48, 20, 12))))
    half = np.array([0.7, 0.5, 0.8])  # no less than the floor of a difference beside a card
    drawn = np.array([48, 20, 12]) + half / DEVIATIONS * np.random.default_rng(2).standard_normal((5000, 3))
    values = delta_e_2000((65, 9, 15), drawn)
    low, high = step.interval_90
    assert ((values >= low) & (values <= high)).mean() > 0.9
    assert high - low < 6


@pytest.mark.parametrize("direction", [(1, 0, 0), (0, 1, 0), (0, 0, 1), (1, -2, 2)], ids=str)
def test_two_are_told_apart_once_no_difference_lies_outside_nine_tenths_of_what_may_be(direction):
    told = []
    for far in np.geomspace(0.1, 20, 60):
        moved = np.array((65.0, 9, 15)) + far * np.array(direction) / np.linalg.norm(direction)
        colours = {Region.FOREHEAD: reading(65, 9, 15), Region.LIPS: reading(*moved)}
        delta, half = step(colours[Region.FOREHEAD], colours[Region.LIPS], True)
        outside = ((delta / half * DEVIATIONS) ** 2).sum() > chi2.ppf(0.9, 3)
        told.append(colour_step(Region.FOREHEAD, Region.LIPS, colours, calibrated=True).interval_90[0] > 0)
        assert told[-1] == outside, far
    assert set(told) == {True, False}


def test_two_of_the_same_colour_cannot_be_told_apart():
    colours = {Region.CHEEK_RIGHT: reading(60, 10, 15), Region.CHEEK_LEFT: reading(60.3, 10.1, 15)}
    [sides] = asymmetry_of(colours, calibrated=True)
    assert sides.lighter == "cannot tell"
    assert sides.colour.interval_90[0] == 0


@pytest.mark.parametrize(("left", "lighter"), [(70, "left"), (50, "right")])
def test_the_lighter_side_is_named(left, lighter):
    colours = {Region.JAW_RIGHT: reading(60, 10, 15), Region.JAW_LEFT: reading(left, 10, 15)}
    [sides] = asymmetry_of(colours, calibrated=True)
    assert (sides.lighter, sides.delta_l) == (lighter, left - 60)
    low, high = sides.delta_l_90
    assert low < left - 60 < high
    assert sides.to_json()["lighter"] == lighter


def test_steps_in_lightness_start_from_forehead_and_cheeks():
    colours = {
        Region.FOREHEAD: reading(66, 9, 15),
        Region.CHEEK_LEFT: reading(60, 9, 15),
        Region.CHEEK_RIGHT: reading(60, 9, 15),
        Region.NOSE: reading(10, 9, 15),
        Region.LIPS: reading(50, 20, 12),
        Region.HAIR: reading(20, 4, 6),
    }
    read = readings_of(colours, absolute=True, calibrated=True)
    assert {found.feature: found.step for found in read.lightness_steps} == pytest.approx(
        {Region.LIPS: -12, Region.HAIR: -42}
    )
    assert len(read.colour_steps) == 15
    assert list(read.names) == [Region.HAIR]
    assert readings_of({}, absolute=True, calibrated=True).lightness_steps == ()


def test_without_a_card_only_steps_are_given(portrait):
    result = measure_face(Photo(portrait.rgb), ChartKind.NONE)
    assert (dict(result.readings.lch), result.readings.colour_steps, dict(result.readings.names)) == ({}, (), {})
    assert result.readings.lightness_steps
    assert len(result.asymmetry) == 3


def test_side_light_is_seen_as_asymmetry_with_its_truth_inside(portraits, measured):
    inside = []
    for file, result in measured.items():
        for sides in result.asymmetry[:2]:
            low, high = sides.delta_l_90
            true = portraits[file].true_lab(sides.left)[0] - portraits[file].true_lab(sides.right)[0]
            inside.append(low <= true <= high)
            assert sides.lighter == ("left" if true > 0 else "right")
    assert np.mean(inside) > 0.75


def test_the_readings_stand_in_the_json(measured):
    document = json.loads(json.dumps(measured["p1a.jpg"].to_json()))
    assert list(document["readings"]) == ["lch", "lightness_steps", "delta_e_2000", "names"]
    assert np.shape(document["readings"]["lch"]["forehead"]["interval_90"]) == (3, 2)
    assert {step["from"] for step in document["readings"]["lightness_steps"]} == {"skin"}
    assert list(document["asymmetry"][0]) == [
        "from",
        "to",
        "delta_l",
        "delta_l_interval_90",
        "lighter",
        "delta_e_2000",
        "delta_e_2000_interval_90",
    ]
    assert list(document["hair"]) == ["status", "note", "outlines_px"]


# Each scene of the portraits was photographed twice, in another light with another camera: nothing has changed.
@pytest.fixture
def earlier(measured, tmp_path):
    path = tmp_path / "earlier.json"

    def write(file, **changes):
        path.write_text(json.dumps({**measured[file].to_json(), **changes}), encoding="utf-8")
        return read_baseline(path)

    return write


def test_the_same_face_in_another_light_has_not_flushed(measured, earlier):
    for scene in ("p1", "p2", "p3", "p4"):
        flush = flush_since(earlier(f"{scene}a.jpg"), measured[f"{scene}b.jpg"])
        assert (flush.redder, flush.lighter) == (BaselineChange.CANNOT_TELL, BaselineChange.CANNOT_TELL), scene
        assert flush.redness_90[0] < 0 < flush.redness_90[1]


def test_reddened_cheeks_are_seen_and_the_way_back_too(portrait, measured, earlier, tmp_path):
    rgb, mesh = portrait.rgb.astype(float), find_face(portrait.rgb).mesh_px
    for cheek in (Region.CHEEK_LEFT, Region.CHEEK_RIGHT):
        rgb[region_mask(rgb.shape, mesh, cheek)] *= (1.0, 0.88, 0.92)
    flushed = measure_face(Photo(rgb.astype(np.uint8)))
    flush = flush_since(earlier("p1a.jpg"), flushed)
    assert flush.redder is BaselineChange.MORE
    assert flush.to_json()["redness"]["redder"] == "more"
    red = tmp_path / "red.json"
    red.write_text(json.dumps(flushed.to_json()), encoding="utf-8")
    assert flush_since(read_baseline(red), measured["p1a.jpg"]).redder is BaselineChange.LESS


# In shade a* falls with L* + 16 for the same skin, so a darker cheek is not a paler one.
def test_a_shaded_cheek_is_not_taken_for_a_paler_one(measured, earlier):
    document = measured["p1a.jpg"].to_json()
    regions = {name: dict(region) for name, region in document["regions"].items()}
    lab = regions["cheek_right"]["lab"]
    regions["cheek_right"]["lab"] = [(lab[0] + 16) * 0.8 - 16, lab[1] * 0.8, lab[2] * 0.8]
    flush = flush_since(earlier("p1a.jpg", regions=regions), measured["p1a.jpg"])
    assert flush.redness == pytest.approx(0, abs=0.01)
    assert flush.lighter is BaselineChange.CANNOT_TELL
    assert flush.lightness > 5


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"accepted": false}', '{"accepted": true, "regions": 3}'])
def test_a_baseline_without_colours_says_what_to_give(tmp_path, text):
    path = tmp_path / "baseline.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableInput, match="tenter face measure"):
        read_baseline(path)
    with pytest.raises(UnreadableInput, match="cannot be opened"):
        read_baseline(tmp_path / "none.json")


def test_flush_needs_absolute_colours(portrait, earlier):
    relative = measure_face(Photo(portrait.rgb), ChartKind.NONE)
    with pytest.raises(TenterError, match="beside a card"):
        flush_since(earlier("p1a.jpg"), relative)
