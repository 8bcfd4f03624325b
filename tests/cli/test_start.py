"""Ctrl-C ends the command with 130 and no traceback, from the first moment on."""

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tenter.cli import main, start
from tenter.errors import STOPPED

PYPROJECT = Path(__file__).parents[2] / "pyproject.toml"


class StopsLoading:
    """What a press of Ctrl-C does while the command line is being loaded."""

    @staticmethod
    def find_spec(name, path=None, target=None):
        if name == "tenter.cli.main":
            raise KeyboardInterrupt


@pytest.fixture
def ended():
    """Start the command, and return its exit code and whether a traceback would be shown."""

    def ended():
        with pytest.raises((SystemExit, KeyboardInterrupt)) as ending:
            start.start()
        return getattr(ending.value, "code", None), ending.value.__suppress_context__

    return ended


def test_ctrl_c_ends_with_130(ended, monkeypatch):
    def stopped():
        raise KeyboardInterrupt

    monkeypatch.setattr(main, "app", stopped)
    assert ended() == (STOPPED, True)
    assert STOPPED == 130


def test_ctrl_c_while_the_command_line_loads_ends_with_130(ended, monkeypatch):
    monkeypatch.delitem(sys.modules, "tenter.cli.main")
    monkeypatch.setattr(sys, "meta_path", [StopsLoading, *sys.meta_path])
    assert ended() == (STOPPED, True)


def test_the_command_starts_there_and_next_to_nothing_is_loaded_before():
    scripts = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["project"]["scripts"]
    assert scripts["tenter"] == "tenter.cli.start:start"
    program = "import sys, tenter.cli.start; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    loaded = {name for name in done.stdout.split() if name.partition(".")[0] in ("tenter", "typer")}
    assert loaded == {
        "tenter",
        "tenter.cli",
        "tenter.cli.start",
        "tenter.errors",
        "tenter.kept_words",
        "tenter.language",
        "tenter.numerals",
    }
