"""Photographs of one face held against one another."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.errors import UnreadableInput
from tenter.photo.regions.regions import SKIN, Region
from tenter.photo.together.compare import (
    SHARED,
    ColourWithin,
    ComparedFace,
    DisagreementCause,
    TooFewMeasured,
    colours_at,
    compare_faces,
)

REGIONS = (*SKIN, Region.LIPS)
HALF = np.array([2.0, 1.4, 2.0])
FACE = {region: np.array([62.0 - 2 * k, 12.0 + k, 16.0 + 0.5 * k]) for k, region in enumerate(REGIONS)}


def face(name, moved=None, half=HALF):
    """A photograph of the face with some regions' colours moved."""
    moved = moved or {}
    return ComparedFace(name, {r: ColourWithin(lab + moved.get(r, np.zeros(3)), half) for r, lab in FACE.items()})


def everywhere(delta):
    return {region: np.array(delta, dtype=float) for region in REGIONS}


def test_photographs_within_their_intervals_agree():
    found = compare_faces([face("a"), face("b", everywhere([1.5, -1.0, 1.0]))])
    assert found.agree
    assert "agree within" in found.text
    assert not found.causes


def test_a_region_beyond_its_interval_is_named_with_its_size():
    found = compare_faces([face("a"), face("b", {Region.LIPS: np.array([0.0, 9.0, 0.0])})])
    assert [d.region for d in found.disagreements] == [Region.LIPS]
    assert "a* +9.0" in found.disagreements[0].text
    assert found.combined[Region.LIPS] is None
    assert found.combined[Region.CHIN] is not None
    assert found.causes[0] is DisagreementCause.MAKE_UP


@pytest.mark.parametrize(
    ("moved", "cause"),
    [
        (everywhere([-8, 0, 1]), DisagreementCause.LIGHT),
        (
            {r: np.array([0, 6.0, 0]) for r in (Region.CHEEK_LEFT, Region.CHEEK_RIGHT, Region.NOSE)},
            DisagreementCause.FLUSH,
        ),
        (
            {Region.CHEEK_LEFT: np.array([9.0, 0, 0]), Region.CHEEK_RIGHT: np.array([-9.0, 0, 0])},
            DisagreementCause.SIDE_LIGHT,
        ),
        ({r: np.array([0, 18.5, 22.0]) - [0, *FACE[r][1:]] for r in SKIN}, DisagreementCause.FILTER),
    ],
    ids=["light", "flush", "side", "filter"],
)
def test_the_likely_cause_follows_from_where_they_differ(moved, cause):
    found = compare_faces([face("a"), face("b", moved)])
    assert not found.agree
    assert cause in found.causes
    assert len(found.causes) >= 2  # never one cause alone: none is proved


def test_a_combined_interval_shrinks_less_than_independent_errors_would():
    combined = compare_faces([face("a"), face("b")]).combined[Region.CHIN]
    assert_allclose(combined.lab, FACE[Region.CHIN])
    assert_allclose(combined.half_width_90, HALF * np.sqrt((1 + SHARED) / 2))
    assert (combined.half_width_90 > 1.1 * HALF / np.sqrt(2)).all()


def test_the_surer_photograph_weighs_more():
    sure = face("sure", half=HALF / 3)
    combined = compare_faces([face("a", everywhere([1.0, 0, 0])), sure]).combined[Region.NOSE]
    assert 0 < combined.lab[0] - FACE[Region.NOSE][0] < 0.2
    assert (combined.half_width_90 <= HALF / 3 * 1.2).all()


def test_three_photographs_leave_out_what_gives_no_colours():
    found = compare_faces([face("a"), ComparedFace("no card", {}), face("b")])
    assert found.photographs == ("a", "b")
    assert found.left_out == ("no card",)
    assert "no card" in found.text


def test_one_photograph_with_colours_is_too_few():
    with pytest.raises(TooFewMeasured, match="two are needed"):
        compare_faces([face("a"), ComparedFace("b", {})])


def test_two_measured_photographs_are_compared_from_their_files(tmp_path, measured):
    for name in ("p1a", "p1b"):
        (tmp_path / f"{name}.json").write_text(json.dumps(measured[f"{name}.jpg"].to_json()), encoding="utf-8")
    paths = [tmp_path / "p1a.json", tmp_path / "p1b.json"]
    from_files = compare_faces([colours_at(path) for path in paths])
    direct = compare_faces([measured["p1a.jpg"], measured["p1b.jpg"]])
    assert [d.region for d in from_files.disagreements] == [d.region for d in direct.disagreements]
    run = CliRunner().invoke(app, ["face", "compare", *map(str, paths), "--json"])
    assert run.exit_code == 0
    assert json.loads(run.stdout)["agree"] is direct.agree


@pytest.mark.parametrize("content", ["{}", "[1", '{"regions": {"chin": {"lab": [1, 2], "lab_interval_90": [[0, 1]]}}}'])
def test_a_file_that_is_no_measurement_is_said_to_be_none(tmp_path, content):
    path = tmp_path / "x.json"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(UnreadableInput, match=r"x\.json"):
        colours_at(path)


def test_the_command_refuses_photographs_without_colours(tmp_path):
    path = tmp_path / "none.json"
    path.write_text(json.dumps({"regions": {}}), encoding="utf-8")
    run = CliRunner().invoke(app, ["face", "compare", str(path), str(path)])
    assert run.exit_code == 3
