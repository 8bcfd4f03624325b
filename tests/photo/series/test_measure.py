"""Series of two drapes: what the rendered twins of tests/data/series show, and what spoils a series."""

import json
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.colorimetry.spaces import decode_srgb, encode_srgb
from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.regions.regions import Region
from tenter.photo.series.fit import RegionFit
from tenter.photo.series.measure import measure_series, require_pattern, series_of

SERIES = Path(__file__).parents[2] / "data" / "series"
FILES = [SERIES / name for name in ("a1.jpg", "b2.jpg", "a3.jpg", "b4.jpg")]
LIT_BY_CLOTH = (Region.CHIN, Region.JAW_LEFT, Region.JAW_RIGHT)


@pytest.fixture(scope="module")
def photos():
    return [load_photo(path) for path in FILES]


@pytest.fixture(scope="module")
def twins():
    """Black against white, by the card."""
    return measure_series(FILES, "ABAB")


@pytest.fixture(scope="module")
def truth():
    found = json.loads((SERIES / "truth.json").read_text(encoding="utf-8"))["true_delta_lab"]
    return {Region(name): np.array(delta) for name, delta in found.items()}


def by_region(series):
    return {d.region: d for d in series.differences}


def lit(photo, gain):
    """The photograph with its linear light multiplied, by a number or per channel."""
    code = encode_srgb(np.clip(decode_srgb(photo.rgb / 255.0) * gain, 0, 1))
    return Photo((code * 255 + 0.5).astype(np.uint8))


def moved(photo, right_px, degrees=0.0):
    height, width = photo.rgb.shape[:2]
    how = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 1.0)
    how[0, 2] += right_px
    return Photo(
        cv2.warpAffine(photo.rgb, how, (width, height), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    )


def measured(photos, pattern="ABAB", chart=ChartKind.CLASSIC24):
    return series_of(photos, [f"{k}.jpg" for k in range(1, len(photos) + 1)], pattern, chart)


def test_jaws_and_chin_tell_white_from_black_and_the_forehead_cannot(twins):
    assert twins.accepted
    assert not twins.notes
    told = {region for region, difference in by_region(twins).items() if difference.told}
    assert told == set(LIT_BY_CLOTH)
    assert "cannot tell" in by_region(twins)[Region.FOREHEAD].text
    assert all(by_region(twins)[region].delta_lab[0] > 0 for region in LIT_BY_CLOTH)


def test_the_truth_lies_in_the_intervals(twins, truth):
    inside = [np.abs(d.delta_lab - truth[d.region]) <= d.half_width_90 for d in twins.differences]
    assert np.mean(inside) >= 0.85
    assert max(d.half_width_90.max() for d in twins.differences) < 1.5


def test_a_region_that_tells_nothing_has_an_interval_from_zero(twins):
    for difference in twins.differences:
        assert (difference.delta_e_interval_90[0] == 0) is not difference.told
        assert difference.delta_e_interval_90[0] <= difference.delta_e_2000 <= difference.delta_e_interval_90[1]


def test_a_straight_drift_is_taken_out_exactly():
    times = np.arange(6.0)
    drape = np.array([-0.5, 0.5] * 3)
    labs = np.array([60.0, 12, 15]) + np.outer(times, [0.4, -0.1, 0.2]) + np.outer(drape, [1.5, 0.2, -0.3])
    fit = RegionFit.of(labs, times, "ABABAB")
    assert_allclose(fit.lab_b - fit.lab_a, [1.5, 0.2, -0.3], atol=1e-9)
    assert_allclose(fit.residual, 0, atol=1e-12)


def test_a_slow_drift_of_the_light_is_said_and_changes_no_difference(photos, twins):
    drifting = measured([lit(photo, 1 + 0.02 * k) for k, photo in enumerate(photos)])
    assert drifting.accepted
    assert "exposure changed by" in drifting.notes[0]
    for region in LIT_BY_CLOTH:
        assert_allclose(by_region(drifting)[region].delta_lab, by_region(twins)[region].delta_lab, atol=0.5)


@pytest.mark.parametrize("chart", [ChartKind.CLASSIC24, ChartKind.NONE])
@pytest.mark.parametrize("gain", [0.85, np.array([1.09, 1.0, 1.0])], ids=["exposure", "white balance"])
def test_settings_that_are_not_locked_are_found_out(photos, chart, gain):
    spoilt = measured([photos[0], lit(photos[1], gain), photos[2], lit(photos[3], gain)], chart=chart)
    assert not spoilt.accepted
    assert not spoilt.differences
    assert "not locked" in spoilt.refusals[0]


def test_regions_follow_a_face_that_moves_a_little(photos, truth):
    shifted = measured([photos[0], moved(photos[1], 14, 2.0), moved(photos[2], -9, -1.5), photos[3]])
    assert shifted.accepted
    assert np.mean([np.abs(d.delta_lab - truth[d.region]) <= d.half_width_90 for d in shifted.differences]) >= 0.75
    assert all(by_region(shifted)[region].told for region in (Region.JAW_LEFT, Region.JAW_RIGHT))
    assert not by_region(shifted)[Region.FOREHEAD].told


def test_a_frame_that_moved_too_far_is_left_out_and_said(photos):
    far = measured([*photos, photos[0], moved(photos[3], -130)], "ABABAB", ChartKind.NONE)
    assert [frame.why is None for frame in far.frames] == [True] * 5 + [False]
    assert "moved by" in far.frames[5].why
    assert far.accepted


def test_too_few_frames_left_is_a_refusal_with_a_remedy(photos):
    short = measured([*photos[:3], moved(photos[3], -130)], chart=ChartKind.NONE)
    assert not short.accepted
    assert "Only 1 of drape B" in short.refusals[0]
    assert "ABABAB" in short.refusals[0]


def test_a_frame_without_a_face_is_left_out(photos):
    empty = Photo(np.full_like(photos[0].rgb, 128))
    found = measured([*photos, empty], "ABABA", ChartKind.NONE)
    assert "No face" in found.frames[4].why


@pytest.mark.parametrize(
    ("pattern", "count", "chart", "said"),
    [
        ("ABAC", 4, ChartKind.NONE, "A and B alone"),
        ("ABAB", 3, ChartKind.NONE, "4 letters for 3 photographs"),
        ("ABA", 3, ChartKind.NONE, "at least two"),
        ("AABB", 4, ChartKind.NONE, "in turn"),
        ("ABAB", 4, ChartKind.GREY, "classic24 or none"),
    ],
)
def test_what_no_series_can_be_made_of(pattern, count, chart, said):
    with pytest.raises(TenterError, match=said):
        require_pattern(pattern, count, chart)


def test_the_same_photograph_twice_is_no_series(tmp_path):
    again = tmp_path / "again.jpg"
    again.write_bytes(FILES[0].read_bytes())
    with pytest.raises(TenterError, match=r"a1.jpg and .*again.jpg are the same photograph; give each .* once"):
        measure_series([*FILES[:2], again, FILES[3]], "ABAB")


def test_the_command_prints_one_object():
    run = CliRunner().invoke(app, ["face", "series", *map(str, FILES), "--chart", "none", "--json"])
    assert run.exit_code == 0
    found = json.loads(run.stdout)
    assert found["accepted"] is True
    assert found["regions"]["jaw_left"]["can_tell"] is True
    assert found["regions"]["forehead"]["can_tell"] is False
    assert [frame["drape"] for frame in found["frames"]] == list("ABAB")


def test_the_command_tells_usage_from_refusal(tmp_path):
    run = CliRunner().invoke(app, ["face", "series", *map(str, FILES), "--pattern", "AABB"])
    assert run.exit_code == 2
    faceless = [tmp_path / f"{grey}.png" for grey in (126, 127, 128, 129)]
    for path in faceless:
        cv2.imwrite(str(path), np.full((300, 300, 3), int(path.stem), np.uint8))
    run = CliRunner().invoke(app, ["face", "series", *map(str, faceless), "--chart", "none"])
    assert run.exit_code == 3
    assert "not measured" in run.stdout
