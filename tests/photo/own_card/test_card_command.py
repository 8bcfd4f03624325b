"""`tenter card print` and `tenter card calibrate`: files, exit codes, and one JSON object on stdout."""

import json

import pypdfium2
import pytest
from PIL import Image
from typer.testing import CliRunner

from studies.scenes.own_card_scene import calibration_photograph, printed_card
from tenter.cli.photo import card, face
from tenter.cli.shared.paper_options import PaperOption
from tenter.photo.files.loading import Photo
from tenter.photo.own_card.sighting import find_own_card
from tenter.report.drawing.paper_size import PaperSize
from tests.support.pictures.own_card_pictures import assert_read_as_asked, rendered

SERIAL = 7


@pytest.fixture(autouse=True)
def own_data_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture
def run():
    return lambda *arguments, app=card.app: CliRunner().invoke(app, [str(argument) for argument in arguments])


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Photographs of two cards, each beside the classic chart, and something that is no photograph."""
    folder = tmp_path_factory.mktemp("photo")
    for serial in (SERIAL, SERIAL + 1):
        picture = calibration_photograph(printed_card(serial), seed=1, camera="nikon")
        Image.fromarray(picture).save(folder / f"both-{serial}.png")
    (folder / "notes.txt").write_text("daylight", encoding="utf-8")
    return folder


@pytest.fixture
def both_cards(folder):
    return folder / f"both-{SERIAL}.png"


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
    assert page.shape[:2] == pytest.approx(tuple(side / 25.4 * 150 for side in PaperSize(paper).size_mm[::-1]), abs=2)
    seen = find_own_card(Photo(page))
    assert seen.serial == 42
    assert_read_as_asked(seen.reading, code_values=0.6)


def test_what_a_card_needs_is_said_before_anything_else(run, tmp_path):
    lines = run("print", tmp_path / "card.pdf", "--serial", 42).stdout.splitlines()
    assert lines[0].startswith("It needs a 24-patch chart once: borrow one")
    assert "tenter card calibrate" in lines[2]
    page = pypdfium2.PdfDocument(tmp_path / "card.pdf")[0].get_textpage().get_text_bounded()
    needed = page.index("You need a 24-patch colour chart once")
    assert needed < page.index("MAKING IT")
    for command in ("--help", ("print", "--help"), ("calibrate", "--help")):
        assert "borrowed one will" in " ".join(
            run(*([command] if isinstance(command, str) else command)).stdout.split()
        )
    assert "needs a 24-patch chart" in " ".join(run("list").stdout.split())


def test_a_card_without_a_number_draws_one(run, tmp_path):
    serials = {json.loads(run("print", tmp_path / name, "--json").stdout)["serial"] for name in ("c.pdf", "d.pdf")}
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
    assert f"The values of card No. 7 are in {kept}.\n" in done.stdout
    assert "A second photograph of a card" in done.stdout
    assert json.loads(kept.read_text(encoding="utf-8"))["serial"] == SERIAL


def test_a_folder_of_cards_is_measured_by_number_and_listed(run, folder, portrait, tmp_path):
    done = run("calibrate", folder, portrait.path)
    assert done.exit_code == 0, done.stderr
    assert f"{portrait.path} is left out:" in done.stdout
    table = [line.split() for line in done.stdout.splitlines() if line.split() and line.split()[0] in {"7", "8"}]
    assert [row[0] for row in table] == ["7", "8"]
    assert [row[2] for row in table] == ["1", "1"]
    assert sorted(path.name for path in (tmp_path / "data").rglob("*.json")) == ["card-7.json", "card-8.json"]
    assert [line.split() for line in run("list").stdout.splitlines()[1:3]] == table
    told = json.loads(run("list", "--json").stdout)["cards"]
    assert [(card["serial"], card["photographs"], card["old"]) for card in told] == [(7, 1, False), (8, 1, False)]
    again = run("calibrate", folder / "both-8.png").stdout
    assert "They replace those of" in again
    assert "Name all photographs of a card together" not in again
    assert "A card No. 8 was measured here before" in run("print", tmp_path / "c.pdf", "--serial", "8").stdout
    assert "measured here before" not in run("print", tmp_path / "c.pdf", "--serial", "9").stdout


def test_a_file_that_cannot_be_read_is_named_and_the_others_are_used(run, both_cards, tmp_path):
    mixed = tmp_path / "mixed"
    mixed.mkdir()
    (mixed / "a-broken.jpg").write_bytes(b"no picture at all")
    (mixed / "b-good.png").write_bytes(both_cards.read_bytes())
    done = run("calibrate", mixed)
    assert done.exit_code == 0, done.stderr
    assert f"{mixed / 'a-broken.jpg'} is left out:\n• " in done.stdout
    assert "The values of card No. 7 are in" in done.stdout
    told = json.loads(run("calibrate", mixed, "--json").stdout)
    [reason] = told["reasons"]
    assert (reason["photo"], reason["serial"], reason["code"]) == (str(mixed / "a-broken.jpg"), None, "unreadable")
    assert [card["serial"] for card in told["cards"]] == [7]


def test_where_no_file_can_be_read_it_ends_with_2(run, tmp_path):
    for name in ("a.jpg", "b.jpg"):
        (tmp_path / name).write_bytes(b"no picture at all")
    done = run("calibrate", tmp_path / "a.jpg", tmp_path / "b.jpg")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert "none of the photographs can be read. a.jpg: " in done.stderr
    assert "b.jpg: " in done.stderr


def test_values_from_fewer_photographs_than_before_say_so(run, both_cards, tmp_path):
    run("calibrate", both_cards)
    [kept] = (tmp_path / "data").rglob("card-7.json")
    values = json.loads(kept.read_text(encoding="utf-8"))
    kept.write_text(json.dumps({**values, "photographs": 2}), encoding="utf-8")
    said = run("calibrate", both_cards).stdout
    assert "which were read from 2 photographs. Name all photographs of a card together" in said


def test_several_cards_go_into_a_folder_and_not_into_one_file(run, folder, tmp_path):
    done = run("calibrate", folder, "--out", tmp_path / "cards.json")
    assert done.exit_code == 2
    assert "show 2 cards" in done.stderr
    assert not (tmp_path / "cards.json").exists()
    (tmp_path / "cards").mkdir()
    told = json.loads(run("calibrate", folder, "--out", tmp_path / "cards", "--json").stdout)
    assert [card["file"] for card in told["cards"]] == [str(tmp_path / "cards" / f"card-{n}.json") for n in (7, 8)]
    assert (told["file"], told["values"], told["reasons"]) == (None, None, [])


def test_old_and_broken_values_are_pointed_out_in_the_list(run, both_cards, tmp_path):
    run("calibrate", both_cards)
    [kept] = (tmp_path / "data").rglob("card-7.json")
    values = json.loads(kept.read_text(encoding="utf-8"))
    kept.write_text(json.dumps({**values, "calibrated_on": "2020-01-31"}), encoding="utf-8")
    kept.with_name("card-9.json").write_text("{}", encoding="utf-8")
    said = run("list")
    assert said.exit_code == 0
    assert "months ago, and inks fade. Measure it again." in said.stdout
    assert (
        f"Card No. 9: {kept.with_name('card-9.json')} cannot be used: this is not a file of card values" in said.stdout
    )


def test_a_face_names_its_card_by_number(run, portrait):
    measured = run("measure", portrait.path, "--chart", "own", "--card", "70000", app=face.app)
    assert measured.exit_code == 2
    assert "a number from 1 to 65535; 70000 came" in measured.stderr
    measured = run("measure", portrait.path, "--chart", "own", "--card", "7", "--json", app=face.app)
    assert json.loads(measured.stdout)["reasons"][0]["code"] == "chart_not_found"


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
    assert [option.value for option in PaperOption] == [paper.value for paper in PaperSize]
