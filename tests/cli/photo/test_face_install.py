"""`tenter face install` asks pip or uv for the model of the lock, without what the model asks for."""

import re
import shutil
import sys
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.cli.photo import face_install
from tenter.cli.shared.inputs import UNREADABLE
from tenter.errors import TenterError

LOCK = Path(__file__).parents[3] / "lock"
DATA = files("tenter.photo") / "data"


def listed(name):
    return (DATA / name).read_text(encoding="utf-8").split("\n", 1)[1]


@pytest.fixture
def install(monkeypatch):
    """Run the command where the installers named are there, and return it and what it would have run."""

    def install(*there, before=False, after=True):
        ran, model = [], iter([before, after])
        monkeypatch.setattr(face_install, "_is_there", lambda: next(model))
        monkeypatch.setattr(face_install, "_run", ran.append)
        monkeypatch.setattr(face_install, "find_spec", lambda name: name if name in there else None)
        monkeypatch.setattr(shutil, "which", lambda name: f"/bin/{name}" if name in there else None)
        return CliRunner().invoke(app, ["face", "install"]), ran

    return install


@pytest.mark.parametrize(
    ("there", "begins"),
    [
        (("pip", "uv"), [sys.executable, "-m", "pip", "install"]),
        (("uv",), ["/bin/uv", "pip", "install", "--quiet", "--python", sys.executable]),
    ],
)
def test_it_comes_by_pip_or_by_uv_and_nothing_that_it_asks_for_with_it(install, there, begins):
    done, (needs, model) = install(*there)
    assert done.exit_code == 0, done.output
    assert needs[: len(begins)] == model[: len(begins)] == begins
    assert [Path(command[-1]).name for command in (needs, model)] == ["face_model_needs.txt", "face_model.txt"]
    assert {"--no-deps", "--require-hashes"} <= set(model)
    assert "--no-deps" not in needs
    assert "Face measuring is installed. Try it" in done.output


def test_what_is_there_is_not_installed_again(install):
    done, ran = install("pip", before=True)
    assert (done.exit_code, ran) == (0, [])
    assert "installed already" in done.output


def test_without_an_installer_it_says_what_to_do(install):
    done, ran = install()
    assert (done.exit_code, ran) == (UNREADABLE, [])
    assert "Put uv on the PATH, or install pip" in done.output


def test_a_model_that_does_not_come_is_said(install):
    done, _ = install("pip", after=False)
    assert done.exit_code == UNREADABLE
    assert "cannot be loaded" in done.output


def test_an_installer_that_fails_is_said():
    with pytest.raises(TenterError, match="cannot be installed, as said above"):
        face_install._run([sys.executable, "-c", "raise SystemExit(1)"])


def test_the_model_is_the_locks_with_every_hash():
    [locked] = re.findall(r"^mediapipe==.*\n(?:    --hash=.*\n)+", (LOCK / "runtime.lock").read_text(), re.MULTILINE)
    # The lock is for every Python, and a marker says for which there is a face model.
    assert listed("face_model.txt") == re.sub(r" ; python_full_version < '[\d.]+' ", " ", locked, count=1)


def test_what_it_needs_is_in_the_lock_too():
    needs = listed("face_model_needs.txt").split()
    assert len(needs) == 5
    assert set(needs) < set((LOCK / "runtime.in").read_text(encoding="utf-8").split())
