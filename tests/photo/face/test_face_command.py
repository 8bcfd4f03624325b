"""`tenter face measure`: exit codes, and one JSON object on stdout."""

import json
import subprocess
import sys

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from tenter.cli.photo.face import app
from tenter.cli.shared.card_options import CardValuesOption, ChartOption
from tenter.photo.cards import ChartKind
from tenter.photo.files.loading import load_photo
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.reference import WHITE_PATCH, CardValues


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, ["measure", *map(str, arguments)])


def lightness(portrait, at_px) -> float:
    x, y = np.round(at_px).astype(int)
    return float(portrait.rgb[y, x].min())


def test_a_measured_photograph_ends_with_0_and_prints_its_json(run, portrait, measured):
    done = run(portrait.path, "--chart", "classic24", "--json")
    assert done.exit_code == 0, done.stderr
    assert json.loads(done.stdout) == measured["p1a.jpg"].to_json()
    assert done.stderr == ""


def test_a_refused_photograph_ends_with_3_and_prints_its_json(run, portrait, tmp_path):
    turned = tmp_path / "turned.png"
    Image.fromarray(np.rot90(portrait.rgb, 2)).save(turned)
    done = run(turned, "--json")
    assert done.exit_code == 3
    result = json.loads(done.stdout)
    assert result["accepted"] is False
    assert result["reasons"][0]["code"] == "face_turned"


def test_without_a_card_differences_are_printed(run, portrait):
    done = run(portrait.path, "--chart", "none", "--json")
    assert done.exit_code == 0
    assert json.loads(done.stdout)["basis"] == "relative"


@pytest.mark.parametrize("arguments", [("nothing.jpg",), ("nothing.jpg", "--json"), ("nothing.jpg", "--chart", "moon")])
def test_what_cannot_be_read_ends_with_2_and_leaves_stdout_empty(run, arguments):
    done = run(*arguments)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr


def test_a_grey_card_that_is_not_there_ends_with_3_and_says_how(run, portrait):
    done = run(portrait.path, "--chart", "grey", "--json")
    assert done.exit_code == 3
    assert {"neutral_not_found", "neutral_several"} & {r["code"] for r in json.loads(done.stdout)["reasons"]}


def test_a_neutral_at_a_given_place_is_a_grey_basis(run, portrait):
    found = find_chart(load_photo(portrait.path))
    assert found is not None
    x, y = max(
        (r.centres_px[WHITE_PATCH] for r in (found, found.turned_half())), key=lambda at: lightness(portrait, at)
    )
    place = (x - 8, y - 8, 16, 16)  # the white patch for a paper
    done = run(portrait.path, "--chart", "paper", "--card-at", ",".join(map(str, place)), "--json")
    assert done.exit_code == 0, done.stderr + done.stdout
    result = json.loads(done.stdout)
    assert result["basis"] == "grey"
    assert result["regions"]["forehead"]["lab"] is not None


@pytest.mark.parametrize("place", ["1,2", "a,b,c,d", "1,2,0,5"])
def test_a_place_that_is_none_ends_with_2(run, portrait, place):
    done = run(portrait.path, "--chart", "grey", "--card-at", place)
    assert done.exit_code == 2
    assert "left, top, width and height" in done.stderr


def test_every_published_set_can_be_chosen():
    assert {option.value for option in CardValuesOption} == {values.value for values in CardValues}


def test_a_reader_gets_a_table(run, portrait):
    done = run(portrait.path)
    assert done.exit_code == 0
    for word in ("cheek_left", "forehead", "ITA", "D65/2°"):
        assert word in done.stdout


def test_a_reader_of_a_refused_photograph_is_told_why(run, portrait, tmp_path):
    dark = tmp_path / "dark.png"
    Image.fromarray((portrait.rgb * 0.3).astype(np.uint8)).save(dark)
    done = run(dark)
    assert done.exit_code == 3
    assert "underexposed" in done.stdout.replace("\n", " ")


def test_the_options_are_the_kinds_of_chart():
    assert [option.value for option in ChartOption] == [kind.value for kind in ChartKind]


def test_the_real_command_prints_nothing_but_the_object(portrait):
    program = f"from tenter.cli.photo.face import app; app(['measure', {str(portrait.path)!r}, '--json'])"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 0
    assert done.stderr == ""
    assert json.loads(done.stdout)["accepted"]
