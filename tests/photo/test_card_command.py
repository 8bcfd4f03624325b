"""`tenter card print` and `tenter card calibrate`: files, exit codes, and one JSON object on stdout."""

import json

import pytest
from PIL import Image
from typer.testing import CliRunner

from own_card_pictures import assert_read_as_asked, rendered
from own_card_scene import calibration_photograph, printed_card
from tenter.cli import card, face
from tenter.photo.loading import Photo
from tenter.photo.own_card import find_own_card
from tenter.report.card_sheet import Paper

SERIAL = 7


@pytest.fixture(autouse=True)
def own_data_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture
def run():
    return lambda *arguments, app=card.app: CliRunner().invoke(app, [str(argument) for argument in arguments])


@pytest.fixture(scope="module")
def both_cards(tmp_path_factory):
    path = tmp_path_factory.mktemp("photo") / "both.png"
    Image.fromarray(calibration_photograph(printed_card(SERIAL), seed=1, camera="nikon")).save(path)
    return path


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_printed_page_is_the_card(run, tmp_path, paper):
    done = run("print", tmp_path / "card.pdf", "--serial", 42, "--paper", paper, "--json")
    assert done.exit_code == 0, done.stderr
    assert json.loads(done.stdout) == {
        "file": str(tmp_path / "card.pdf"),
        "serial": 42,
        "paper": paper,
        "patches": 36,
    }
    page = rendered(tmp_path / "card.pdf")
    assert page.shape[:2] == pytest.approx(tuple(side / 25.4 * 150 for side in Paper(paper).size_mm[::-1]), abs=2)
    seen = find_own_card(Photo(page))
    assert seen.serial == 42
    assert_read_as_asked(seen.reading, code_values=0.6)


def test_a_card_without_a_number_draws_one(run, tmp_path):
    serials = {json.loads(run("print", tmp_path / "c.pdf", "--json").stdout)["serial"] for _ in range(2)}
    assert len(serials) == 2


def test_a_card_that_cannot_be_printed_ends_with_2(run, tmp_path):
    for arguments in (("c.pdf", "--serial", "70000"), ("no/folder/c.pdf", "--serial", "3"), ("c.pdf", "--paper", "a3")):
        done = run("print", tmp_path / arguments[0], *arguments[1:])
        assert done.exit_code == 2, arguments
        assert done.stdout == ""
        assert done.stderr


def test_calibrating_writes_what_a_face_is_measured_with(run, both_cards, tmp_path, portrait):
    out = tmp_path / "card-7.json"
    done = run("calibrate", both_cards, "--chart", "classic24", "--serial", SERIAL, "--out", out, "--json")
    assert done.exit_code == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["accepted"]
    assert told["values"] == json.loads(out.read_text(encoding="utf-8"))
    assert len(told["values"]["patches"]) == 36
    measured = run("measure", portrait.path, "--chart", "own", "--card", out, "--json", app=face.app)
    assert measured.exit_code == 3  # it has the classic card
    assert json.loads(measured.stdout)["reasons"][0]["code"] == "chart_not_found"


def test_values_without_a_place_are_kept_for_the_serial(run, both_cards, tmp_path):
    done = run("calibrate", both_cards)
    assert done.exit_code == 0
    [kept] = (tmp_path / "data").rglob("card-7.json")
    assert "Card No. 7: 36 patches read" in done.stdout
    assert json.loads(kept.read_text(encoding="utf-8"))["serial"] == SERIAL


def test_a_photograph_that_calibrates_nothing_ends_with_3_and_writes_nothing(run, portrait, tmp_path):
    done = run("calibrate", portrait.path, "--serial", 7, "--out", tmp_path / "c.json", "--json")
    assert done.exit_code == 3
    assert json.loads(done.stdout)["reasons"][0]["code"] == "chart_not_found"
    assert not (tmp_path / "c.json").exists()
    assert "Nothing was stored" in run("calibrate", portrait.path).stdout


def test_what_cannot_be_used_ends_with_2(run, both_cards, tmp_path, portrait):
    (tmp_path / "bad.json").write_text("{}", encoding="utf-8")
    cases = (
        (card.app, ("calibrate", tmp_path / "none.jpg")),
        (card.app, ("calibrate", both_cards, "--out", both_cards / "c.json")),
        (card.app, ("calibrate", both_cards, "--chart", "own")),
        (face.app, ("measure", portrait.path, "--chart", "own", "--card", tmp_path / "bad.json")),
        (face.app, ("measure", portrait.path, "--chart", "classic24", "--card", tmp_path / "bad.json")),
    )
    for app, arguments in cases:
        done = run(*arguments, app=app)
        assert done.exit_code == 2, arguments
        assert done.stdout == ""
        assert done.stderr


def test_the_options_are_the_papers():
    assert [option.value for option in card.PaperOption] == [paper.value for paper in Paper]
