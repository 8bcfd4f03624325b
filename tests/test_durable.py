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
