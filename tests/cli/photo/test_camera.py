"""`tenter camera` and `tenter face measure --camera`: files, exit codes, and one JSON object on stdout."""

import json

import pytest
from typer.testing import CliRunner

from tenter.cli.photo import camera, face
from tests.support.pictures.phone_pictures import NAMES, phone_picture


@pytest.fixture(autouse=True)
def own_data_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture
def run():
    return lambda *arguments, app=camera.app: CliRunner().invoke(app, [str(argument) for argument in arguments])


@pytest.fixture(scope="module")
def photographs(tmp_path_factory):
    """Photographs of the card by one phone in three lights, a face, another curve, no card, an overexposed one."""
    folder = tmp_path_factory.mktemp("photo")
    for name in NAMES:
        (folder / f"{name}.jpg").write_bytes(phone_picture(name))
    return folder


def lesson(folder, *names):
    return [folder / f"{name}.jpg" for name in names]


def measured(run, photo, *options):
    done = run("measure", photo, "--json", *options, app=face.app)
    assert done.exit_code == 0, done.stderr
    return json.loads(done.stdout)


def test_a_phone_is_learned_used_listed_and_forgotten(run, photographs):
    assert "No camera was learned here yet" in run("list").stdout
    learned = run("learn", "my-phone", *lesson(photographs, "day", "shade", "lamp"), "--json")
    assert learned.exit_code == 0, learned.stderr
    said = json.loads(learned.stdout)
    assert said["accepted"]
    assert not said["replaced"]
    assert said["camera"]["photographs"] == 3

    alone = measured(run, photographs / "face.jpg")
    known = measured(run, photographs / "face.jpg", "--camera", "my-phone")
    assert known["chart"]["method"] == "classic24 by cv2.mcc, read as camera my-phone"
    assert "camera" not in alone["chart"]["method"]
    assert known["regions"]["forehead"]["lab"] != alone["regions"]["forehead"]["lab"]
    assert known["regions"]["forehead"]["lab"] == pytest.approx(alone["regions"]["forehead"]["lab"], abs=2)

    assert "my-phone: learned on" in run("list").stdout
    assert "from 3 photographs. Its pictures have more contrast" in run("list").stdout
    assert [one["name"] for one in json.loads(run("list", "--json").stdout)["cameras"]] == ["my-phone"]
    assert "deleted" in run("forget", "my-phone").stdout
    assert run("forget", "my-phone").exit_code == 2
    gone = run("measure", photographs / "face.jpg", "--camera", "my-phone", app=face.app)
    assert gone.exit_code == 2
    assert "no camera is called 'my-phone'" in gone.stderr


def test_a_phone_that_was_updated_is_read_without_what_was_learned(run, photographs):
    run("learn", "my-phone", *lesson(photographs, "day", "shade", "lamp"))
    alone = measured(run, photographs / "updated.jpg")
    known = measured(run, photographs / "updated.jpg", "--camera", "my-phone")
    assert [reason["code"] for reason in known["reasons"]] == [
        "camera_changed",
        *(reason["code"] for reason in alone["reasons"]),
    ]
    assert known["verdict"] == alone["verdict"]
    assert known["regions"] == alone["regions"]
    assert "my-phone" not in known["chart"]["method"]


def test_too_few_sound_photographs_teach_nothing_and_what_was_kept_stays(run, photographs):
    run("learn", "my-phone", *lesson(photographs, "day", "shade", "lamp"))
    before = json.loads(run("list", "--json").stdout)
    done = run("learn", "my-phone", *lesson(photographs, "day", "shade", "nocard"))
    assert done.exit_code == 3
    assert "nocard.jpg is left out" in done.stdout
    assert "2 photographs of the card can be used" in done.stdout
    said = json.loads(run("learn", "my-phone", *lesson(photographs, "day", "shade", "nocard"), "--json").stdout)
    assert not said["accepted"]
    assert [reason["code"] for reason in said["reasons"]] == ["chart_not_found"]
    assert json.loads(run("list", "--json").stdout) == before


def test_a_file_that_cannot_be_read_is_named_and_the_others_teach(run, photographs, tmp_path):
    broken = tmp_path / "broken.jpg"
    broken.write_bytes((photographs / "day.jpg").read_bytes()[:3000])
    done = run("learn", "my-phone", *lesson(photographs, "day", "shade", "lamp"), broken)
    assert done.exit_code == 0, done.stderr
    assert "broken.jpg is left out:\n• " in done.stdout
    assert "learned from 3 photographs" in done.stdout
    done = run("learn", "my-phone", *lesson(photographs, "day", "shade"), broken, "--json")
    assert done.exit_code == 3
    said = json.loads(done.stdout)
    assert said["problem"].startswith("2 photographs of the card can be used")
    assert [(reason["photo"], reason["code"]) for reason in said["reasons"]] == [(str(broken), "unreadable")]


def test_files_of_which_none_can_be_read_are_an_error(run, tmp_path):
    notes = [tmp_path / f"{name}.jpg" for name in "abc"]
    for file in notes:
        file.write_text("no picture", encoding="utf-8")
    done = run("learn", "my-phone", *notes)
    assert done.exit_code == 2
    assert "none of the photographs can be read. a.jpg: " in done.stderr


def test_a_card_that_is_refused_does_not_teach(run, photographs):
    done = run("learn", "my-phone", *lesson(photographs, "day", "shade", "bright"))
    assert done.exit_code == 3
    assert "bright.jpg is left out" in done.stdout


@pytest.mark.parametrize(
    ("name", "names", "said"),
    [
        ("my-phone", ("day", "shade"), "2 photographs came"),
        ("My Phone", ("day", "shade", "lamp"), "cannot be the name of a phone"),
        ("my-phone", ("day", "shade", "missing"), "missing.jpg"),
    ],
)
def test_what_cannot_be_used_is_said(run, photographs, name, names, said):
    done = run("learn", name, *lesson(photographs, *names))
    assert done.exit_code == 2
    assert said in done.stderr


def test_a_learned_camera_serves_the_classic_card_only(run, photographs):
    run("learn", "my-phone", *lesson(photographs, "day", "shade", "lamp"))
    done = run("measure", photographs / "face.jpg", "--chart", "none", "--camera", "my-phone", app=face.app)
    assert done.exit_code == 2
    assert "it serves chart classic24" in done.stderr
