"""The matrix of Pythons: which are tried, and what is said of one that is not here or fails."""

import tomllib
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def matrix(tmp_path, monkeypatch):
    """The script as a module, on a machine whose pyenv is empty."""
    path = ROOT / ".ci" / "matrix"
    monkeypatch.setattr("sys.dont_write_bytecode", True)
    module = module_from_spec(spec := spec_from_loader("matrix", SourceFileLoader("matrix", str(path))))
    spec.loader.exec_module(module)
    monkeypatch.setenv("PYENV_ROOT", str(tmp_path / "pyenv"))
    monkeypatch.setattr(module, "PLACE", tmp_path / "matrix")
    return module


def interpreter(tmp_path, folder, answer):
    """Put a file into pyenv's place that answers as a Python of some version would, and fails at anything else."""
    python = tmp_path / "pyenv" / "versions" / folder / "bin" / "python"
    python.parent.mkdir(parents=True)
    python.write_text(f'#!/bin/sh\n[ "$1" = -c ] && echo {answer}\n', encoding="utf-8")
    python.chmod(0o755)
    return str(python)


def test_what_is_tried_is_what_the_package_says_it_runs_on(matrix):
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert matrix.versions() == ["3.11", "3.12", "3.13"]
    assert project["requires-python"] == f">={matrix.versions()[0]}"


def test_an_interpreter_is_taken_that_is_what_its_folder_says(matrix, tmp_path):
    interpreter(tmp_path, "3.98.1", "2.7")
    kept = interpreter(tmp_path, "3.98.2", "3.98")
    assert matrix.python_of("3.98") == kept
    assert matrix.python_of("3.97") is None


def test_a_version_that_is_not_here_is_said_to_be_not_run(matrix, monkeypatch, capsys):
    monkeypatch.setattr(matrix, "versions", lambda: ["3.97"])
    monkeypatch.setattr("sys.argv", ["matrix"])
    assert matrix.main() == 1  # nothing was tried at all
    assert "Python 3.97: not run" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("results", "code"),
    [(("passed: all", "not run: no"), 0), (("passed: all", "FAILED: pytest"), 1), (("FAILED: pytest", "not run"), 1)],
)
def test_one_that_fails_fails_the_matrix(matrix, monkeypatch, capsys, results, code):
    monkeypatch.setattr(matrix, "versions", lambda: ["3.97", "3.98"])
    monkeypatch.setattr(matrix, "tried", lambda version, _: dict(zip(["3.97", "3.98"], results, strict=True))[version])
    monkeypatch.setattr("sys.argv", ["matrix"])
    assert matrix.main() == code
    assert capsys.readouterr().out.splitlines() == [f"Python 3.97: {results[0]}", f"Python 3.98: {results[1]}"]


def test_a_step_that_fails_is_named(matrix, monkeypatch, tmp_path):
    interpreter(tmp_path, "3.98.2", "3.98")
    done = matrix.tried("3.98", ["tests"])  # it makes no environment
    assert done.startswith("FAILED: ")
    assert "-m venv" in done
