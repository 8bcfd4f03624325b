"""Every command and every Python example of the README, the guide, the how-to pages and the reference works as written.

A document's blocks are run in its order, in the folder that `./run demo` makes. A block may say on its first line why
it is not run, for one of few reasons. What a `console` block prints has to be what the program prints.
"""

import io
import re
import shlex
from contextlib import redirect_stdout
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from textwrap import dedent

import pytest
from typer.testing import CliRunner

from tenter.cli import demo
from tenter.cli.main import app

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
DOCUMENTS = (
    README,
    *(one for part in ("guide", "how-to", "reference") for one in sorted((ROOT / "docs" / part).glob("*.md"))),
)
FENCED = re.compile(r"^(?P<indent> *)```(?P<kind>[^\n]*)\n(?P<text>.*?)^(?P=indent)```$", re.MULTILINE | re.DOTALL)
NOT_RUN = "# no test runs this: "
REASONS = (
    *("it starts a server", "it installs programs", "it acts on your own studio"),
    *("it needs your own photographs", "it needs your own measurements"),
)
RUN_ELSEWHERE = {
    "kit-readings.md": "test_readings.py",
    "reflected-light.md": "test_reflect_page.py",
}  # with photographs
READ_ELSEWHERE = ("csv", "csv faulty", "toml", "toml faulty", "text")  # by tests/test_docs.py
SAVED = re.compile(r"(csv|toml) [\w-]+\.\1")  # a block that a document asks to be saved under this name
STUDIO = Path("build/demo/studio")
WIDTH = "100"  # columns of the terminal that the documents show


def blocks(document):
    """Return the fenced blocks of a document as pairs: what each is, and its text."""
    return [(found["kind"], dedent(found["text"])) for found in FENCED.finditer(document.read_text(encoding="utf-8"))]


def reason(text):
    """Return why a block is not run, as it says on its first line; empty where it does not say so."""
    return text.splitlines()[0].removeprefix(NOT_RUN) if text.startswith(NOT_RUN) else ""


def tried(document):
    """Return the blocks of a document that are run here."""
    if document.name in RUN_ELSEWHERE:
        return []
    return [(kind, text) for kind, text in blocks(document) if kind in RUN and not reason(text)]


def run_lines(text, monkeypatch):
    for line in text.splitlines():
        run_command(line, monkeypatch)


def run_console(text, monkeypatch):
    for asked, shown in re.findall(r"^\$ (.*)\n((?:(?!\$ ).*\n)*)", text, re.MULTILINE):
        assert lines(run_command(asked, monkeypatch)) == lines(shown), asked


def lines(text):
    return [line.rstrip() for line in text.strip("\n").splitlines()]


def run_python(text, monkeypatch):
    out = io.StringIO()
    with redirect_stdout(out):
        exec(compile(text, "example", "exec"), {})
    assert out.getvalue().strip()


def run_command(line, monkeypatch):
    """Run one line of a shell and return what it prints; `tenter` in this process, and nothing else but a way there."""
    program, *said = shlex.split(line, comments=True)
    if program == "cd":
        monkeypatch.chdir(said[0])
        return ""
    if program == "export":
        assert said == ["PATH=$PWD/.venv/bin:$PATH"], "tests/delivered/test_readme.py knows where tenter is"
        return ""
    assert program == "tenter", line
    done = CliRunner().invoke(app, said)
    assert done.exit_code == 0, (line, done.output)
    for option, name in pairwise(said):
        assert option not in ("--out", "--csv", "--picture") or Path(name).exists(), line
    return done.stdout


RUN = {"sh": run_lines, "console": run_console, "python": run_python}


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """The folder into which `./run demo` writes; the terminal is as wide as the documents show it."""
    monkeypatch.setenv("COLUMNS", WIDTH)
    demo.copy_studio(files("tenter.demo_studio"), tmp_path / STUDIO)
    return tmp_path


@pytest.mark.parametrize("document", [one for one in DOCUMENTS if tried(one)], ids=lambda document: document.stem)
def test_the_examples_of_a_document_work(document, folder, monkeypatch):
    monkeypatch.chdir(folder if document == README else folder / STUDIO)
    worked = 0
    for kind, text in blocks(document):
        if SAVED.fullmatch(kind):
            Path(kind.split()[1]).write_text(text, encoding="utf-8")
        if kind in RUN and not reason(text):
            RUN[kind](text, monkeypatch)
            worked += 1
    assert worked


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda document: document.stem)
def test_a_block_is_run_or_says_why_not(document):
    found = blocks(document)
    assert {reason(text) for _, text in found if reason(text)} <= set(REASONS)
    assert {kind for kind, text in found if reason(text)} <= {"sh"}
    assert [kind for kind, _ in found if kind not in (*RUN, *READ_ELSEWHERE) and not SAVED.fullmatch(kind)] == []
    assert [text for kind, text in found if kind == "console" and not text.startswith("$ ")] == []
    assert "```" not in FENCED.sub("", document.read_text(encoding="utf-8")), "a block that is not closed"


@pytest.mark.parametrize(("document", "by"), RUN_ELSEWHERE.items())
def test_what_is_not_run_here_is_run_by_a_test_of_its_own(document, by):
    text = (ROOT / "tests" / "cli" / "studio" / by).read_text(encoding="utf-8")
    assert f'"{document}"' in text
    assert "test_the_commands_of_the_" in text


def test_enough_is_tried():
    run = [(kind, text) for document in DOCUMENTS for kind, text in tried(document)]
    lines = [line.removeprefix("$ ") for kind, text in run if kind != "python" for line in text.splitlines()]
    assert len([line for line in lines if line.startswith("tenter ")]) > 45
    assert {kind for kind, _ in run} == set(RUN)
