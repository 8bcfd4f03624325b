"""A file is written whole or not at all."""

import os
from pathlib import Path

import pytest

from tenter import durable

OLD, NEW = b"what stood there", b"what is new, and longer than what stood there"


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_a_file_takes_the_place_of_another(tmp_path):
    path = tmp_path / "note"
    durable.write(path, OLD)
    durable.write(path, NEW, durable.PRIVATE)
    assert path.read_bytes() == NEW
    assert path.stat().st_mode & 0o777 == 0o600
    assert names(tmp_path) == ["note"]


def test_a_new_file_never_takes_a_place(tmp_path):
    path = tmp_path / "note"
    durable.write_new(path, OLD)
    with pytest.raises(FileExistsError):
        durable.write_new(path, NEW)
    assert path.read_bytes() == OLD
    assert names(tmp_path) == ["note"]


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_where_a_step_fails_the_old_file_stays_and_nothing_else(tmp_path, monkeypatch, step):
    path = tmp_path / "note"
    durable.write(path, OLD)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, full)
    with pytest.raises(OSError, match="No space left"):
        durable.write(path, NEW)
    assert path.read_bytes() == OLD
    assert names(tmp_path) == ["note"]


def test_file_and_folder_are_synced_in_that_order(tmp_path, monkeypatch):
    synced = []

    def noted(descriptor):
        synced.append((Path(f"/proc/self/fd/{descriptor}").readlink().name, names(tmp_path)))

    monkeypatch.setattr(os, "fsync", noted)
    durable.write(tmp_path / "note", NEW)
    (file, before), (folder, after) = synced
    assert file.endswith(".half")
    assert before == [file]
    assert (folder, after) == (tmp_path.name, ["note"])


def test_a_folder_that_cannot_be_synced_is_no_fault(tmp_path, monkeypatch):
    real = os.open

    def opened(path, flags, *rest):
        if path == tmp_path:
            raise PermissionError(13, "no")
        return real(path, flags, *rest)

    monkeypatch.setattr(os, "open", opened)
    durable.write(tmp_path / "note", NEW)
    assert (tmp_path / "note").read_bytes() == NEW


def test_a_new_file_is_at_its_place_only_once_it_is_whole(tmp_path):
    path = tmp_path / "all.zip"
    with durable.new_file(path, durable.PRIVATE) as file:
        file.write(NEW)
        assert not path.exists()
    assert path.read_bytes() == NEW
    assert path.stat().st_mode & 0o777 == 0o600
    assert names(tmp_path) == ["all.zip"]


def test_of_a_new_file_that_fails_nothing_is_left(tmp_path):
    def written(said):
        with durable.new_file(tmp_path / "all.zip") as file:
            file.write(said)

    with pytest.raises(TypeError):
        written("no bytes")
    assert names(tmp_path) == []


def test_where_a_file_system_has_no_links_a_new_file_is_put_there_and_takes_no_place(tmp_path, monkeypatch):
    def none(*_):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", none)

    def written_late():
        with durable.new_file(tmp_path / "late") as file:
            file.write(NEW)
            (tmp_path / "late").write_bytes(OLD)  # somebody else was first

    durable.write_new(tmp_path / "note", OLD)
    with pytest.raises(PermissionError):
        written_late()
    assert [path.read_bytes() for path in sorted(tmp_path.iterdir())] == [OLD, OLD]


def test_what_killed_writers_left_goes_once_it_is_old_enough(tmp_path):
    half, other = tmp_path / ".all.zip.0a1b2c3d.half", tmp_path / "all.zip"
    half.write_bytes(OLD)
    other.write_bytes(NEW)
    durable.forget_halves(tmp_path, older_than=3600)
    assert names(tmp_path) == [half.name, other.name]
    os.utime(half, (0, 0))
    durable.forget_halves(tmp_path, older_than=3600)
    assert names(tmp_path) == [other.name]
