"""`tenter face measure`: what to leave out, the hair, and an earlier photograph."""

import json

import pytest
from typer.testing import CliRunner

from tenter.cli.photo.face import app


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, ["measure", *map(str, arguments)])


def test_the_wishes_reach_the_measurement(run, portrait):
    wishes = ("--drop", "jaw_left", "--exclude", "glasses:190,280 390,280 390,330 190,330", "--no-hair", "--outlines")
    done = run(portrait.path, "--json", *wishes)
    assert done.exit_code == 0, done.stderr
    document = json.loads(done.stdout)
    assert "left out" in document["regions"]["jaw_left"]["reason"]
    assert "excluded" in document["regions"]["under_eye_left"]["reason"]
    assert document["regions"]["chin"]["lab"] is not None
    assert document["hair"]["status"] == "none"
    assert document["outlines_px"]["forehead"]


@pytest.mark.parametrize(("option", "status"), [(("--hair",), "confirmed"), (("--hair-at", "240,180,60,30"), "marked")])
def test_hair_is_confirmed_or_marked(run, portrait, option, status):
    assert json.loads(run(portrait.path, "--json", *option).stdout)["hair"]["status"] == status


def test_a_baseline_adds_the_change_of_the_cheeks(run, portraits, measured, tmp_path):
    earlier = tmp_path / "earlier.json"
    earlier.write_text(json.dumps(measured["p1a.jpg"].to_json()), encoding="utf-8")
    later = portraits["p1b.jpg"].path
    flush = json.loads(run(later, "--json", "--baseline", earlier).stdout)["flush"]
    assert flush["redness"]["redder"] == "cannot tell"
    low, high = flush["redness"]["interval_90"]
    assert low < flush["redness"]["change"] < high
    shown = run(later, "--baseline", earlier).stdout.replace("\n", " ")
    assert "since the baseline" in shown
    assert "cannot tell" in shown


def test_a_reader_is_told_of_the_hair_and_of_left_against_right(run, portrait):
    shown = " ".join(run(portrait.path).stdout.split())
    assert "It is measured once it is confirmed" in shown
    assert "cheek_left against cheek_right" in shown
    assert "right is lighter" in shown


@pytest.mark.parametrize(
    ("option", "said"),
    [
        (("--drop", "chinn"), "no region is called 'chinn'"),
        (("--exclude", "mole:1,1 2,2 3,1"), "cannot be excluded"),
        (("--hair-at", "1,2,3"), "left, top, width and height"),
        (("--baseline", "none.json"), "cannot be opened"),
        (("--no-hair", "--hair-at", "240,180,60,30"), "there is none"),
        (("--picture", "drawn.bmp"), "ends in .png or .pdf"),
        (("--picture", "no/folder/drawn.png"), "cannot be written"),
    ],
)
def test_a_wish_that_cannot_be_understood_ends_with_2(run, portrait, option, said):
    done = run(portrait.path, "--json", *option)
    assert done.exit_code == 2
    assert said in done.stderr
    assert done.stdout == ""
