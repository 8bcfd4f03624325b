"""`tenter garment check`: exit codes, one JSON object, plain words, from a palette file alone."""

import json
from dataclasses import replace

import numpy as np
import pytest
from typer.testing import CliRunner

from studies.scenes.cloth_scene import Drapery, cloth_reflectances, cloth_scene
from studies.scenes.exposure import Shot, expose
from tenter.cli.main import app
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.consultation.garments.role import GarmentAnswer
from tenter.consultation.personal.document import palette_document
from tests.support.clients.palette_clients import client
from tests.support.pseudo import english

RED, SURE = cloth_reflectances()[[5, 30]]


@pytest.fixture(scope="module")
def palette(tmp_path_factory):
    known, made = client("warm spring")
    path = tmp_path_factory.mktemp("client") / "palette.json"
    path.write_text(json.dumps(palette_document("Ada", made, known)), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def photo(tmp_path_factory):
    """One red cloth beside a card and a print of two colours; one whose role is sure, with sequins, with stripes."""
    folder = tmp_path_factory.mktemp("photos")
    plain = Drapery((380, 60, 300, 500), RED)
    printed = Drapery((380, 60, 300, 500), cloth_reflectances()[[5, 20]], areas=(0.7, 0.3))
    sure = replace(plain, reflectances=SURE)
    sequins = replace(sure, sparkle=0.15)
    striped = replace(sure, reflectances=np.array([SURE, np.full(SURE.size, 0.8)]), areas=(0.7, 0.3), stripes=True)
    cloths = {"plain": plain, "print": printed, "bare": plain, "sure": sure, "sequins": sequins, "striped": striped}
    for name, cloth in cloths.items():
        card_at = None if name == "bare" else (30, 30)
        taken = expose(cloth_scene([cloth], card_at=card_at), "D65", "nikon", Shot(seed=6))
        (folder / f"{name}.jpg").write_bytes(taken.jpeg())
    return folder


@pytest.fixture
def run(palette):
    def run(*arguments):
        command = ["garment", "check", *map(str, arguments), "--palette", str(palette)]
        return CliRunner().invoke(app, command, catch_exceptions=False)

    return run


def test_a_reading_gives_one_json_object(run):
    done = run("66,35,30", "--json")
    assert (done.exit_code, done.stderr) == (0, "")
    found = json.loads(done.stdout)
    assert {"answer", "suitability", "interval_90", "off", "rescue", "nearest"} <= set(found)
    assert found["answer"] == "near_face"
    assert found["rescue"] is None
    assert all(isinstance(value, float) for value in found["off"].values())


def test_a_reading_says_its_light_and_observer(run):
    ten, two, lamp = (
        json.loads(run("55,30,14", *options, "--json").stdout)
        for options in ((), ("--observer", 2), ("--illuminant", "A", "--observer", 10))
    )
    assert len({found["suitability"] for found in (ten, two, lamp)}) == 3
    width = [found["off_interval_90"]["clarity"] for found in (ten, lamp)]
    assert width[1][1] - width[1][0] > width[0][1] - width[0][0]


def test_a_photograph_gives_the_role_of_its_spectrum(run, photo, tmp_path):
    spectrum = tmp_path / "red.csv"
    spectrum.write_text("\n".join(f"{nm:g},{r:.6f}" for nm, r in zip(WAVELENGTHS_NM, RED, strict=True)))
    lab = ",".join(f"{v:.2f}" for v in reflectance_to_lab(RED, "D65", Observer.CIE_1964_10))
    found = [json.loads(run(what, "--json").stdout) for what in (photo / "plain.jpg", spectrum, lab)]
    assert len({f["answer"] for f in found}) == 1
    assert [f["known_by"] for f in found] == ["photo", "spectrum", "reading"]
    assert abs(found[0]["suitability"] - found[1]["suitability"]) < 0.1
    assert "Read from the largest region of one colour" in found[0]["text"]
    assert "--print" in found[0]["reasons"][0]
    assert found[1]["reasons"] == []


@pytest.mark.parametrize(("name", "least"), [("striped", 0.2), ("sequins", 0.1)])
def test_what_was_read_in_part_is_less_sure_than_what_was_read_whole(run, photo, name, least):
    place = ("--at", "380,60,300,500")
    whole, part = (json.loads(run(photo / f"{of}.jpg", *place, "--json").stdout) for of in ("sure", name))
    assert (whole["confidence"], part["answer"]) == ("high", whole["answer"])
    assert part["confidence"] in ("medium", "low")
    assert whole["unlike"] < 0.02 < least < part["unlike"]
    assert f"About {100 * part['unlike']:.0f} % of it looks unlike the colour that was read." in part["text"]
    assert "unlike the colour" not in whole["text"]


def test_a_print_is_told_colour_by_colour_and_by_what_is_near_the_face(run, photo):
    whole, one = (
        json.loads(run(photo / "print.jpg", "--print", *near, "--json").stdout) for near in ((), ("--near-face", "2"))
    )
    assert len(whole["parts"]) == 2
    assert sum(part["area"] for part in whole["parts"]) == pytest.approx(1, abs=0.01)
    assert [part["near_face"] for part in one["parts"]] == [False, True]
    assert one["suitability"] == pytest.approx(one["parts"][1]["suitability"])


def test_a_photograph_without_a_card_is_refused_with_3_and_cannot_be_told(run, photo):
    done = run(photo / "bare.jpg", "--json")
    assert done.exit_code == 3
    found = json.loads(done.stdout)
    assert found["answer"] == "cannot_tell"
    assert found["unclear"] == "not_read"
    assert found["reasons"]
    plain = run(photo / "bare.jpg")
    assert plain.exit_code == 3
    assert plain.stdout.startswith("This can't be told yet.\nThe photo could not be read.")


def test_a_photograph_may_be_called_like_a_reading(run, photo, monkeypatch):
    (photo / "52,30,14.jpg").write_bytes((photo / "plain.jpg").read_bytes())
    monkeypatch.chdir(photo)
    found = [json.loads(run(name, "--json").stdout) for name in ("52,30,14.jpg", "plain.jpg")]
    assert found[0] == found[1]
    assert found[0]["known_by"] == "photo"


def test_a_name_is_enough_where_all_its_shades_are_worn_alike(run):
    found = json.loads(run("navy", "--json").stdout)
    assert found["known_by"] == "name"
    assert found["answer"] in set(GarmentAnswer)
    assert "Many shades are sold as navy. This answer is for a typical one." in found["text"]
    wide = run("red")
    assert wide.exit_code == 0
    assert "Many shades are sold as red" in " ".join(wide.stdout.split())


def test_plain_words_without_json(run):
    told = " ".join(run("66,35,30").stdout.split())
    assert told.startswith("Yes: wear it near your face.")
    assert "Confidence from the reading: high." in told


def test_the_shops_lamp_needs_a_spectrum(run):
    found = json.loads(run("66,35,30", "--lamp", "tube", "--json").stdout)
    assert found["lamp"]["illuminant"] == "FL2"
    assert found["lamp"]["delta_e_2000"] is None
    assert "but not its spectrum" in found["text"]
    other = json.loads(run("66,35,30", "--lamp", "disco", "--json").stdout)
    assert other["lamp"]["illuminant"] is None
    assert "No spectrum is stored of a lamp called disco" in other["text"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("66,35",), "as in 52,30,14; got '66,35'"),
        (("blurple",), "no colour 'blurple' is known"),
        (("",), "no garment was given. Give a photograph"),
        (("nowhere.jpg",), "nowhere.jpg"),
        (("nowhere.csv",), "there is no such file"),
        (("66,35,30", "--illuminant", "D66"), "no illuminant is called 'D66'"),
        (("66,35,30", "--observer", "3"), "no observer is called '3'"),
        (("66,35,30", "--near-face", "2"), "colour 2 of the garment was asked for, and it has one colour"),
        (("66,35,30", "--near-face", "x"), "--near-face takes numbers of colours"),
        (("160,35,30",), "L\\* runs from 0 to 110"),
    ],
)
def test_what_cannot_be_used_ends_with_2_and_says_what_would_do(run, arguments, said):
    done = run(*arguments, "--json")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert said.replace("\\", "") in done.stderr


def test_a_file_that_is_no_palette_ends_with_2(tmp_path):
    path = tmp_path / "palette.json"
    path.write_text("{}", encoding="utf-8")
    done = CliRunner().invoke(app, ["garment", "check", "52,30,14", "--palette", str(path)])
    assert done.exit_code == 2
    assert str(path) in done.stderr


def test_it_answers_in_another_language(run, spoken):
    assert len(english([run("52,30,14").stdout])) > 10
    assert english([run("52,30,14", "--language", spoken).stdout]) == []
    assert english([json.loads(run("52,30,14", "--json", "--language", spoken).stdout)["text"]]) == []
