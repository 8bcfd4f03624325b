"""`tenter light check`: in words, as one JSON object, and every way that an input can be wrong."""

import json
import re
import shlex
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.consultation.readings.book import add_readings
from tenter.consultation.readings.cloth_reading import ReadingCircumstances, spectral_reading
from tests.light.lamp_files import as_csv, as_tm27, lamp_pairs

DONE, UNREADABLE, REFUSED = 0, 2, 3
CABINET = "tests/data/real_chart_photos/cabinet-1.jpg"
KEYS = ("cct", "duv", "ra", "r", "rf", "rg", "lux", "verdict", "reasons")  # of the contract


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, ["light", "check", *map(str, arguments)], catch_exceptions=False)


@pytest.fixture
def tube(tmp_path):
    path = tmp_path / "tube.csv"
    path.write_text(as_csv(lamp_pairs("FL11"), ";", ","))
    return path


def test_a_spectrum_as_one_json_object(run, tube):
    result = run(tube, "--lux", "cheek_left=1200,cheek_right=1150", "--json")
    assert (result.exit_code, result.stderr, result.stdout.count("\n")) == (DONE, "", 1)
    document = json.loads(result.stdout)
    assert [key for key in KEYS if key not in document] == []
    assert (round(document["cct"]), round(document["ra"], 1), len(document["r"])) == (3999, 82.8, 14)
    assert (document["lux"], document["verdict"]) == (1175, "fix")
    assert [reason["code"] for reason in document["reasons"]] == ["cct", "ra", "r9"]
    assert all(reason["text"] for reason in document["reasons"])
    assert (document["on_kit"], document["changes"]) == (None, [])


def test_the_same_in_words(run, tube):
    result = run(tube, "--lux", "cheek_left=1200,cheek_right=1150")
    assert (result.exit_code, result.stderr) == (DONE, "")
    assert result.stdout.startswith(
        "Don't drape in this light yet. To correct: colour temperature, colour rendering (Ra)"
    )
    for words in ("To correct", "In order", "Colour temperature: 3999 K", "What standards ask", "ISO 3668:2017"):
        assert words in result.stdout


def test_a_meter_that_shows_a_good_light(run):
    result = run("--meter", "cct=5600,duv=0.001,ra=97,r9=90", "--lux", "cheek_left=1200,cheek_right=1150", "--json")
    document = json.loads(result.stdout)
    assert (document["verdict"], document["reasons"], document["r"], document["basis"]) == ("pass", [], None, "meter")


def test_the_document_shows_what_is_printed(run):
    text = Path("docs/how-to/light.md").read_text(encoding="utf-8")
    command, shown = re.search(
        r"```sh\n(tenter light check --meter .*?)\n```\n\n```text\n(.*?)```", text, re.DOTALL
    ).groups()
    assert run(*shlex.split(command)[3:]).stdout.startswith(shown)


def test_what_it_does_to_a_kit(run, tube, tmp_path):
    kit = tmp_path / "drapes.csv"
    kit.write_bytes((files("tenter.demo_studio") / "drapes.csv").read_bytes())
    document = json.loads(run(tube, "--kit", kit, "--json").stdout)
    effect = document["on_kit"]
    assert effect["cloths"][0]["delta_e"] > 4
    assert effect["parted"] is None
    assert "known by their colour alone" in effect["caveat"]
    assert "Pairs" in run(tube, "--kit", kit).stdout


def test_measured_spectra_come_from_the_book(run, tube, tmp_path):
    kit, book = tmp_path / "drapes.csv", tmp_path / "kit.readings"
    kit.write_bytes((files("tenter.demo_studio") / "drapes.csv").read_bytes())
    how = ReadingCircumstances(day="2026-11-29")
    add_readings(book, [spectral_reading(cloth, [0.3] * 81, how) for cloth in ("D001", "D002")])
    effect = json.loads(run(tube, "--kit", kit, "--readings", book, "--json").stdout)["on_kit"]
    assert {cloth["name"] for cloth in effect["cloths"] if cloth["measured"]} == {"D001", "D002"}
    assert effect["parted"] == []


def test_against_an_earlier_check(run, tube, tmp_path):
    kept = tmp_path / "light.json"
    kept.write_text(run("--meter", "cct=4300,ra=83", "--json").stdout)
    document = json.loads(run(tube, "--before", kept, "--json").stdout)
    assert [(c["of"], c["too_large"]) for c in document["changes"]] == [("cct", True), ("ra", False)]
    assert "Since last time" in run(tube, "--before", kept).stdout


def test_own_thresholds(run, tmp_path):
    own = tmp_path / "own.toml"
    own.write_text("least_ra = 98\n")
    given = ("--meter", "cct=5600,duv=0.001,ra=97,r9=90", "--lux", "cheek_left=1200,cheek_right=1150")
    document = json.loads(run(*given, "--thresholds", own, "--json").stdout)
    assert (document["verdict"], document["thresholds"]["least_ra"]) == ("fix", 98)


def test_a_photograph_gives_hints_and_no_rendering(run):
    document = json.loads(run("--photo", CABINET, "--json").stdout)
    assert (document["basis"], document["ra"], document["cct"], document["verdict"]) == (
        "photograph",
        None,
        None,
        "incomplete",
    )
    assert any("can't tell how well" in remark for remark in document["remarks"])
    fixed = json.loads(run("--photo", CABINET, "--white-balance", 5500, "--json").stdout)
    assert 4000 < fixed["cct"] < 8000
    assert fixed["duv"] is None


def test_a_photograph_without_a_whole_card_is_refused(run):
    result = run("--photo", CABINET.replace("-1", "-3"))
    assert (result.exit_code, result.stdout) == (REFUSED, "")
    assert "cabinet-3.jpg: " in result.stderr


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "no light was given; give a spectrum's file, --meter or --photo"),
        (("lamp.csv", "--meter", "ra=90"), "a spectrum and --meter were given together"),
        (("--meter", "ra=90", "--white-balance", "5500"), "belongs to a photograph"),
        (("--meter", "ra=190"), "ra of a meter is a finite number"),
        (("--meter", "ra=90", "--lux", "ear=3"), "no face point is called 'ear'; use forehead, cheek_left"),
        (("--meter", "ra=90", "--kit", "drapes.csv"), "takes its spectrum"),
        (("--meter", "ra=90", "--readings", "kit.readings"), "give --kit as well"),
        (("nothing.csv",), "nothing.csv: there is no such file"),
        (("--meter", "ra=90", "--thresholds", "nothing.toml"), "no such file"),
        (("--meter", "ra=90", "--before", "nothing.json"), "no such file"),
    ],
)
def test_what_cannot_be_used_says_what_would_do(run, arguments, said):
    result = run(*arguments)
    assert (result.exit_code, result.stdout) == (UNREADABLE, "")
    assert said in result.stderr


def test_a_coloured_lamp_and_a_broken_file_are_named(run, tmp_path):
    red = tmp_path / "red.csv"
    red.write_text(as_csv([(nm, 1.0 if nm > 620 else 0.0) for nm, _ in lamp_pairs("E")]))
    result = run(red)
    assert result.exit_code == UNREADABLE
    assert "is no white" in result.stderr
    broken = tmp_path / "lamp.xml"
    broken.write_text(as_tm27(lamp_pairs("E"))[:700])
    assert "breaks off" in run(broken).stderr
