"""The workshop's papers and pictures from the terminal: written where they are asked for, with exit codes and words."""

import json
from xml.etree import ElementTree

import pypdfium2
import pytest
from PIL import Image
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.readings.book import add_readings
from tenter.report.workshop_pictures.pair_sheet import pair_shown
from tests.support.pseudo import english
from tests.support.workshop_kit import read_over_years

DONE, UNREADABLE = 0, 2


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, [str(a) for a in arguments], catch_exceptions=False)


@pytest.fixture
def book(tmp_path):
    path = tmp_path / "kit.readings"
    add_readings(path, read_over_years().readings)
    return path


def test_kit_health_is_written_and_its_first_things_are_said(run, tmp_path, book):
    out = tmp_path / "health.pdf"
    done = run(
        "kit",
        "health",
        "--out",
        out,
        "--readings",
        book,
        "--day",
        "2026-11-29",
        "--studio",
        "The North Room",
        "--no-to-buy",
    )
    assert done.exit_code == DONE
    assert done.stdout.splitlines()[1].startswith("1. Take D001 and D061 out of the tests")
    assert done.stderr == f"Wrote {out}\n"
    with pypdfium2.PdfDocument(out) as document:
        assert "The North Room" in document[0].get_textpage().get_text_range()


def test_kit_health_as_one_json_object(run, tmp_path):
    out = tmp_path / "health.pdf"
    done = run("kit", "health", "--out", out, "--day", "2026-11-29", "--no-to-buy", "--json")
    document = json.loads(done.stdout)
    assert (document["out"], document["day"]) == (str(out), "2026-11-29")
    assert "Mixed pairs" in [section["title"] for section in document["sections"]]
    assert run("kit", "health", "--out", out).exit_code == UNREADABLE  # it is there already


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("coverage",), "Measured cloths by lightness"),
        (("drift", "D061", "--readings", "BOOK"), "ΔE00 4.4 since"),
        (("pair", "D095", "D096", "--for", "undertone"), "Mixed: they also differ in"),
    ],
)
def test_a_picture_is_written_and_said_in_words(run, tmp_path, book, asked, said):
    out = tmp_path / "picture.svg"
    done = run("kit", "picture", *(book if word == "BOOK" else word for word in asked), "--out", out)
    assert done.exit_code == DONE
    assert said in done.stdout
    assert ElementTree.parse(out).getroot().tag == "{http://www.w3.org/2000/svg}svg"


def test_a_cloth_that_nobody_knows_has_no_picture(run, tmp_path, book):
    out = tmp_path / "picture.svg"
    done = run("kit", "picture", "pair", "D001", "D999", "--out", out)
    assert (done.exit_code, out.exists()) == (UNREADABLE, False)
    assert "D999" in done.stderr


def test_a_light_is_drawn_from_its_spectrum(run, tmp_path):
    lamp, out = tmp_path / "lamp.csv", tmp_path / "lamp.svg"
    lamp.write_text("".join(f"{nm},1\n" for nm in range(380, 781, 5)), encoding="utf-8")
    done = run("light", "picture", lamp, "--out", out)
    assert done.exit_code == DONE
    assert "CCT 54" in done.stdout
    assert ">lamp</text>" in out.read_text(encoding="utf-8")


def test_a_light_report_is_written_in_another_language(run, spoken, tmp_path):
    out = tmp_path / "light.pdf"
    done = run("light", "report", "--meter", "cct=5600,ra=92", "--out", out, "--language", spoken)
    assert done.exit_code == DONE
    assert len(done.stdout) > 20
    assert english([done.stdout]) == []


def test_a_light_report_is_written_and_its_verdict_said(run, tmp_path):
    out = tmp_path / "light.pdf"
    done = run("light", "report", "--meter", "cct=5600,duv=0.001,ra=92,r9=60", "--out", out, "--date", "2026-11-29")
    assert done.exit_code == DONE
    assert done.stdout.splitlines() == [
        "Don't drape in this light yet.",
        "1. Colour rendering (Ra): 92.0",
        "2. Rendering of strong red (R9): 60.0",
    ]
    with pypdfium2.PdfDocument(out) as document:
        assert "29 November 2026" in document[0].get_textpage().get_text_range()


def test_labels_are_written_for_the_cloths_that_are_named(run, tmp_path):
    out = tmp_path / "labels.pdf"
    done = run("kit", "labels", "--cloth", "D007", "--cloth", "D001", "--width", "70", "--height", "25", "--out", out)
    assert (done.exit_code, done.stderr) == (DONE, f"Wrote {out}\n")
    with pypdfium2.PdfDocument(out) as document:
        text = document[0].get_textpage().get_text_range()
    assert text.index("D007") < text.index("D001")


def test_a_label_that_is_too_low_for_its_code_is_refused(run, tmp_path):
    out = tmp_path / "labels.pdf"
    done = run("kit", "labels", "--height", "9", "--out", out)
    assert (done.exit_code, out.exists()) == (UNREADABLE, False)
    assert "a phone reads from 11.6 mm on" in done.stderr


def test_a_picture_whose_name_says_so_is_a_png_in_the_cloths_own_colours(run, tmp_path, demo_kit, bundled):
    out = tmp_path / "pair.png"
    assert run("kit", "picture", "pair", "D061", "D062", "--out", out).exit_code == DONE
    cloths = pair_shown(bench_of(demo_kit, bundled), "D061", "D062").cloths
    with Image.open(out) as picture:
        assert picture.size == (1680, 1185)  # 1120 by 790 units
        for cloth, x in zip(cloths, (560, 1100), strict=True):
            assert "#{:02x}{:02x}{:02x}".format(*picture.convert("RGB").getpixel((x, 460))) == cloth.hex
