"""A folder chosen on a page: folders that are there, opened one after the other, and nothing but their names."""

import getpass
import os
from pathlib import Path

import pytest

from tenter.web.folders import own_folders
from tenter.web.folders.own_folders import named_folder, starting_folders, subfolders
from tests.web.conftest import browser_of


@pytest.fixture
def home(tmp_path, monkeypatch):
    found = tmp_path / "home"
    for name in ("Dokumente/Backups", "Bilder", "In the cloud", "Boxes", ".secret", "Work & play"):
        (found / name).mkdir(parents=True)
    (found / "letter.txt").write_text("not for a page", encoding="utf-8")
    (found / ".config").mkdir()
    named = 'XDG_DOCUMENTS_DIR="$HOME/Dokumente"\nXDG_PICTURES_DIR="$HOME/Bilder"\nXDG_MUSIC_DIR="$HOME/gone"\n'
    (found / ".config" / "user-dirs.dirs").write_text(named, encoding="utf-8")
    monkeypatch.setenv("HOME", str(found))
    return found


@pytest.fixture
def opener(owner):
    owner.is_superuser = True
    owner.save()
    return browser_of(owner)


def test_it_begins_with_ones_own_folders_cloud_folders_drives_and_phones(home, tmp_path, monkeypatch):
    drive = tmp_path / "run/media" / getpass.getuser() / "Blue stick"
    empty, phone = tmp_path / "mnt/not plugged in", tmp_path / f"run/user/{os.getuid()}/gvfs/mtp:host=phone"
    for folder in (drive, empty, phone):
        folder.mkdir(parents=True)
    monkeypatch.setattr(own_folders.os.path, "ismount", lambda path: Path(path) == drive)
    own, others = [home, home / "Dokumente", home / "Bilder"], [home / "Boxes", home / "In the cloud"]
    assert starting_folders(home, tmp_path) == [*own, drive, phone, *others, home / "Work & play"]
    (home / ".config/user-dirs.dirs").unlink()
    (home / "Pictures").mkdir()
    assert home / "Pictures" in starting_folders(home, tmp_path)


def test_only_names_of_folders_that_are_not_hidden_are_given(home):
    (home / "link").symlink_to(home / "Bilder")
    (home / "broken").symlink_to(home / "nowhere")
    (home / os.fsdecode(b"caf\xe9")).mkdir()
    found = [path.name for path in subfolders(home).folders]
    assert found == ["Bilder", "Boxes", "Dokumente", "In the cloud", "link", "Work & play"]


def test_of_very_many_the_others_are_counted(home, monkeypatch):
    monkeypatch.setattr(own_folders, "_MOST", 2)
    assert ([path.name for path in subfolders(home).folders], subfolders(home).left_out) == (["Bilder", "Boxes"], 3)


@pytest.mark.parametrize("said", ["", "Bilder", "/nowhere/at/all", "/\0", "~"])
def test_what_is_no_whole_path_of_a_folder_opens_nothing(said):
    assert named_folder(said) is None


@pytest.mark.parametrize(("wanted", "asking"), [("daily", "/studio/backup/daily"), ("incoming", "/studio/incoming")])
def test_a_folder_is_opened_and_chosen_and_the_page_that_asked_has_it_in_its_field(opener, home, wanted, asking):
    assert f"/studio/folders?for={wanted}" in opener.get(asking).text
    text = opener.get(f"/studio/folders?for={wanted}").text
    assert f'in={home}/Dokumente"' in text
    text = opener.get(f"/studio/folders?for={wanted}&in={home}/Bilder/..").text
    assert f'in={home}/Work%20%26%20play"' in text
    assert f'value="{home}"' in text
    assert f'action="{asking}"' in text
    assert "letter" not in text
    assert ".secret" not in text
    field = "folder" if wanted == "daily" else "path"
    assert f'value="{home}"' in opener.get(asking, {field: str(home)}).text


def test_a_folder_that_is_gone_or_closed_to_tenter_is_said_and_not_offered(opener, home, monkeypatch):
    gone = opener.get("/studio/folders?for=daily&in=/nowhere/at/all").text
    assert "That folder is not there any more." in gone
    assert "Choose this folder" not in gone
    monkeypatch.setattr("os.access", lambda _path, mode: not mode & os.W_OK)
    text = opener.get(f"/studio/folders?for=daily&in={home}").text
    assert "Tenter may not write in this folder." in text
    assert "Choose this folder" not in text
    assert "Choose this folder" in opener.get(f"/studio/folders?for=incoming&in={home}").text


def test_to_anybody_else_and_for_anything_else_it_does_not_exist(opener, stranger):
    assert opener.get("/studio/folders?for=restore").status_code == 404
    assert browser_of(stranger).get("/studio/folders?for=daily").status_code == 404
    assert opener.post("/studio/folders?for=daily").status_code == 405
