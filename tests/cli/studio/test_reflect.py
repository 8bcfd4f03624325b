"""`tenter reflect`: what a cloth's light does to a face, on screen and as JSON, and a room measured by photographs."""

import json
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.consultation.cloths.reflection_factors import REFLECTION_REGIONS

SERIES = Path(__file__).parents[2] / "data" / "series"
PHOTOS = [SERIES / name for name in ("a1.jpg", "b2.jpg", "a3.jpg", "b4.jpg")]
DONE, UNREADABLE, REFUSED = 0, 2, 3
COLOURS = {
    **{region: [66.0, 11.0, 16.0] for region in ("forehead", "nose", "cheek_right")},
    **{"cheek_left": [45.0, 11.0, 15.0], "chin": [60.0, 12.0, 15.0], "lips": [50.0, 25.0, 12.0]},
    **{"jaw_left": [38.0, 10.0, 14.0], "jaw_right": [62.0, 10.0, 15.0], "hair": [20.0, 3.0, 5.0]},
}


def run(*said):
    return CliRunner().invoke(app, ["reflect", *map(str, said)])


def face_json(colours=COLOURS, **more):
    regions = {r: {"lab": lab, "lab_interval_90": [[v - 2, v + 2] for v in lab]} for r, lab in colours.items()}
    return {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2", "regions": regions} | more


@pytest.fixture
def face(tmp_path):
    path = tmp_path / "face.json"
    path.write_text(json.dumps(face_json()), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def series_file(tmp_path_factory):
    """What `tenter face series --json` says of the twins: black, white, black, white."""
    done = CliRunner().invoke(app, ["face", "series", *map(str, PHOTOS), "--json"])
    path = tmp_path_factory.mktemp("series") / "series.json"
    path.write_text(done.stdout, encoding="utf-8")
    return path


def document(*said):
    done = run(*said, "--json")
    assert done.exit_code == DONE, done.output
    return json.loads(done.stdout)


def test_every_place_has_its_change_and_whether_it_is_seen(face):
    found = document("--drape", "D063", "--face", face)
    assert tuple(found["regions"]) == REFLECTION_REGIONS
    for said in found["regions"].values():
        assert {"delta_lab", "delta_e_2000", "visible"} <= set(said)
        low, high = said["delta_e_2000_range"]
        assert low <= said["delta_e_2000"] <= high
    assert found["kind"] == "drape"
    assert found["shaded_side"] == "left"
    assert found["recovered"] is True
    assert found["regions"]["jaw_left"]["visible"] is True
    assert found["regions"]["forehead"]["size"] == "too small to see"
    assert found["regions"]["jaw_left"]["delta_e_2000"] > found["regions"]["jaw_right"]["delta_e_2000"]


def test_a_warm_drape_against_a_cool_one_raises_b(face):
    found = document("--drape", "D063", "--against", "D064", "--face", face)
    assert found["against"].startswith("D064")
    assert all(said["delta_lab"][2] > 0 for said in found["regions"].values())


def test_a_cape_and_a_wall_come_beside_the_drape(face):
    found = document("--drape", "D001", "--cape", "95,0,2", "--wall", "70,-20,10", "--wall-at", "left", "--face", face)
    assert (found["kind"], found["cape"]["kind"], found["wall"]["kind"]) == ("drape", "cape", "wall")
    assert any("closed at the neck" in note for note in found["cape"]["notes"])
    wall = found["wall"]["regions"]
    assert wall["jaw_left"]["factor"] > wall["jaw_right"]["factor"]
    assert any("assumption" in note for note in found["wall"]["notes"])
    alone = document("--cape", "95,0,2", "--face", face)
    assert alone == found["cape"]


def test_a_spectrum_is_no_recovered_cloth(face, tmp_path):
    path = tmp_path / "moss.csv"
    rows = (f"{nm:.0f},{0.1 + 0.3 * (nm > 520)}" for nm in WAVELENGTHS_NM)
    path.write_text("nm,reflectance\n" + "\n".join(rows), encoding="utf-8")
    found = document("--drape", path, "--face", face)
    assert found["surface"] == "moss"
    assert "moss" not in found["notes"][1]


def test_a_cloth_with_spectra_in_the_book_is_not_recovered(face, tmp_path):
    spectra = tmp_path / "spectra.csv"
    names = [f"{nm:.0f}" for nm in WAVELENGTHS_NM]
    row = ",".join(["D063", *(f"{0.1 + 0.5 * (nm > 560):.3f}" for nm in WAVELENGTHS_NM)])
    spectra.write_text("\n".join([",".join(["id", *names]), row]) + "\n", encoding="utf-8")
    book = tmp_path / "book.jsonl"
    done = CliRunner().invoke(app, ["kit", "readings", "add", str(spectra), "--book", str(book)])
    assert done.exit_code == DONE, done.output
    by_kit = document("--drape", "D063", "--against", "D064", "--face", face)
    by_book = document("--drape", "D063", "--against", "D064", "--face", face, "--readings", book)
    assert "D063" in by_kit["notes"][1]
    assert "D063" not in by_book["notes"][1]
    assert by_book["regions"]["chin"]["delta_lab"] != by_kit["regions"]["chin"]["delta_lab"]


def test_a_cloth_read_without_spectra_has_its_last_days_colour(face, tmp_path):
    colours = tmp_path / "colours.csv"
    colours.write_text("id,L,a,b,illuminant,observer\nD063,60,10,5,D65,10\n", encoding="utf-8")
    book = tmp_path / "book.jsonl"
    assert CliRunner().invoke(app, ["kit", "readings", "add", str(colours), "--book", str(book)]).exit_code == DONE
    by_book = document("--drape", "D063", "--face", face, "--readings", book)
    by_hand = document("--drape", "60,10,5", "--face", face)
    assert by_book["regions"] == by_hand["regions"]


def test_on_screen_it_says_where_and_that_contrast_has_no_number(face):
    said = " ".join(run("--drape", "D063", "--face", face).stdout.split())
    assert "D063 (Test Pink W), compared with nothing (a black in its place)" in said
    assert "Too small to see: forehead, nose" in said
    black = " ".join(run("--drape", "18,0,0", "--face", face).stdout.split())
    assert "Too small to see: at every place." in black
    assert "No published model gives a number for that" in said
    assert "left side is in the shade" in said


def test_the_drawing_is_written_and_never_over_another(face, tmp_path):
    out = tmp_path / "map.svg"
    assert run("--drape", "D063", "--face", face, "--map", out).exit_code == DONE
    assert out.read_text(encoding="utf-8").startswith("<svg")
    again = run("--drape", "D063", "--face", face, "--map", out)
    assert again.exit_code == UNREADABLE
    assert "is there already" in again.stderr
    assert run("--drape", "D063", "--face", face, "--map", out, "--replace").exit_code == DONE


@pytest.mark.parametrize(
    ("said", "code", "words"),
    [
        (["--drape", "D063"], UNREADABLE, "Give --face"),
        (["--face", "FACE"], UNREADABLE, "give --drape, --cape or --wall"),
        (["--drape", "D999", "--face", "FACE"], UNREADABLE, "no cloth in this kit"),
        (["--drape", "50,20", "--face", "FACE"], UNREADABLE, "L*, a* and b*"),
        (["--drape", "40,-100,100", "--face", "FACE"], UNREADABLE, "no surface has"),
        (["--drape", "D090", "--face", "FACE"], REFUSED, "is a metal"),
        (["--wall", "60,0,0", "--wall-at", "above", "--face", "FACE"], UNREADABLE, "no place of a wall"),
        (["--wall", "60,0,0", "--wall-metres", "0", "--face", "FACE"], UNREADABLE, "distance of a wall"),
        (["--drape", "D063", "--face", "FACE", "--room", "FACE"], UNREADABLE, "room (it has no 'factor_range'). Use"),
        (["--drape", "D063", "--face", "FACE", "--map", "m.png"], UNREADABLE, "the map is an SVG, and m.png is named"),
        (["--drape", "D063", "--face", "FACE", "--observer", "5"], UNREADABLE, "no observer"),
        (["--drape", "missing.csv", "--face", "FACE"], UNREADABLE, "no such file"),
    ],
)
def test_what_cannot_be_predicted_says_why(face, said, code, words):
    done = run(*(face if word == "FACE" else word for word in said), "--json")
    assert (done.exit_code, done.stdout) == (code, "")
    assert words in done.stderr


def test_a_face_without_a_place_that_is_predicted_is_refused(tmp_path):
    path = tmp_path / "face.json"
    path.write_text(json.dumps(face_json({"forehead": [60, 10, 15]})), encoding="utf-8")
    room = tmp_path / "room.json"
    chin = {"factor": 0.05, "factor_range": [0.02, 0.1], "sheen": 0.1}
    room.write_text(json.dumps({"regions": {"chin": chin}}), encoding="utf-8")
    done = run("--drape", "D063", "--face", path, "--room", room)
    assert done.exit_code == REFUSED
    assert "Measure cheeks, chin or jaw" in done.stderr


def test_an_unmeasured_cloth_is_refused(face, tmp_path):
    kit = tmp_path / "kit.csv"
    kit.write_text("id,name,L,a,b,illuminant,observer,hue_family\nA,,,,,D65,10,red\n", encoding="utf-8")
    done = run("--drape", "A", "--kit", kit, "--face", face)
    assert done.exit_code == REFUSED
    assert "no measured colour" in done.stderr


# F of the scenes themselves, with the default sheen: `./run bench reflected`, and tests/data/twin_scenes.
TRUE_FACTORS = {"chin": 0.050, "jaw_left": 0.169, "jaw_right": 0.079, "cheek_left": 0.019, "cheek_right": 0.009}


def test_a_room_is_measured_by_photographs_in_turn_and_used(face, series_file, tmp_path):
    found = document("room", series_file, "--a", "18,0,0", "--b", "94,0,0")
    for region, true in TRUE_FACTORS.items():
        low, high = found["regions"][region]["measured"]["interval_90"]
        assert low <= true <= high, region
    assert found["regions"]["forehead"]["measured"] is None
    assert found["regions"]["jaw_right"]["measured"]["kept_default"] is True
    path = tmp_path / "room.json"
    path.write_text(json.dumps(found), encoding="utf-8")
    said = document("--drape", "D063", "--face", face, "--room", path)
    assert said["regions"]["chin"]["factor"] == found["regions"]["chin"]["factor"]
    assert any("measured in your room" in note for note in said["notes"])


def test_which_cloth_was_first_makes_no_difference(series_file):
    document_there = json.loads(series_file.read_text(encoding="utf-8"))
    turned = {"A": "B", "B": "A"}
    document_there["pattern"] = "".join(turned[letter] for letter in document_there["pattern"])
    other = series_file.with_name("turned.json")
    other.write_text(json.dumps(document_there), encoding="utf-8")
    one = document("room", series_file, "--a", "18,0,0", "--b", "94,0,0")
    two = document("room", other, "--a", "94,0,0", "--b", "18,0,0")
    for region, said in one["regions"].items():
        assert np.allclose(said["factor"], two["regions"][region]["factor"])


def test_the_room_is_shown(series_file):
    done = run("room", series_file, "--a", "18,0,0", "--b", "94,0,0")
    assert done.exit_code == DONE
    assert "default" in done.stdout
    assert "90 % interval" in done.stdout


@pytest.mark.parametrize(
    ("cloths", "code", "words"),
    [(("94,0,0", "90,0,0"), REFUSED, "Use a white and a black"), (("D999", "18,0,0"), UNREADABLE, "no cloth")],
)
def test_a_room_that_cannot_be_measured_says_why(series_file, cloths, code, words):
    done = run("room", series_file, "--a", cloths[0], "--b", cloths[1], "--json")
    assert (done.exit_code, done.stdout) == (code, "")
    assert words in done.stderr


def test_photographs_that_are_no_series_measure_no_room():
    done = run("room", *PHOTOS[:2], "--a", "18,0,0", "--b", "94,0,0", "--pattern", "AB")
    assert done.exit_code == UNREADABLE
    assert "at least two photographs of each drape" in done.stderr


PORTRAIT = Path(str(files("tenter.demo_studio") / "portraits" / "K1.jpg"))


def test_a_portrait_beside_two_drapes_is_written(tmp_path):
    out = tmp_path / "pink.png"
    done = run("picture", PORTRAIT, "--drape", "D063", "--drape", "D064", "--out", out)
    assert done.exit_code == DONE, done.output
    assert "A model, not a photograph." in done.stdout
    assert out.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("said", "code", "words"),
    [
        (["--drape", "D063", "--out", "one.png"], UNREADABLE, "give --drape twice"),
        (["--drape", "D063", "--drape", "D064", "--out", "two.jpg"], UNREADABLE, "name it two.png"),
        (["--drape", "D063", "--drape", "D999", "--out", "two.png"], UNREADABLE, "no cloth in this kit"),
        (["--drape", "D063", "--drape", "D064", "--out", "two.png", "--chart", "none"], REFUSED, "no colour card"),
        (["--drape", "D063", "--drape", "D064", "--out", "there.png"], UNREADABLE, "is there already"),
    ],
)
def test_a_picture_that_cannot_be_made_says_why(tmp_path, monkeypatch, said, code, words):
    monkeypatch.chdir(tmp_path)
    Path("there.png").write_bytes(b"")
    done = run("picture", PORTRAIT, *said)
    assert done.exit_code == code
    assert words in done.stderr
    assert not Path("two.png").exists()
