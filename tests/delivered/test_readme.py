"""The README's commands work as they are written, in the folder that the demo makes, and its Python does too."""

import io
import re
import shlex
import subprocess
from contextlib import redirect_stdout
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tenter.cli import demo
from tenter.cli.main import app

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CODE = dict(
    re.findall(r"^```(sh|python)\n((?:(?!```).)*)", README[README.index("## At work") :], re.MULTILINE | re.DOTALL)
)
SET_UP, *COMMANDS = [shlex.split(line, comments=True) for line in CODE["sh"].splitlines()]


@pytest.fixture
def studio(tmp_path, monkeypatch):
    """The folder that `./run demo` makes and the README goes to."""
    monkeypatch.chdir(tmp_path)
    demo.copy_studio(files("tenter.demo_studio"), Path("build/demo/studio"))
    monkeypatch.chdir(tmp_path / COMMANDS[0][1])


def test_every_command_works_in_the_order_given(studio):
    assert COMMANDS[0][0] == "cd"
    assert len(COMMANDS) > 15
    for program, *said in COMMANDS[1:]:
        assert program == "tenter"
        done = CliRunner().invoke(app, said)
        assert done.exit_code == 0, (said, done.output)
        for option, name in pairwise(said):
            assert option not in ("--out", "--csv") or Path(name).exists(), said


def test_the_python_works(studio):
    out = io.StringIO()
    with redirect_stdout(out):
        exec(compile(CODE["python"], "README.md", "exec"), {})
    assert "light spring" in out.getvalue()


def test_the_path_to_tenter_is_where_the_set_up_puts_it():
    run = (ROOT / "run").read_text(encoding="utf-8")
    assert SET_UP == ["export", "PATH=$PWD/.venv/bin:$PATH"]
    assert "VENV=.venv\n" in run
    assert 'exec "$VENV/bin/tenter" demo "$@"' in run


def test_what_run_is_told_in_the_readme_it_knows():
    told = {line.split()[1] for line in re.findall(r"^\./run .*", README, re.MULTILINE)}
    usage = subprocess.run([ROOT / "run"], capture_output=True, text=True, check=True).stderr
    assert told >= {"demo", "serve", "test"}
    assert all(f" {word}" in usage for word in told)


def test_what_the_readme_points_to_is_there():
    pointed = re.findall(r"\]\(([^)#]+)\)", README)
    assert len(pointed) > 10
    assert [name for name in pointed if not (ROOT / name).exists()] == []
