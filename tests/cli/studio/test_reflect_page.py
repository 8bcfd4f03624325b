"""The pages about reflected light: their commands work and print what is shown, and their table is the program's."""

import re
import shlex
import shutil
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tenter.cli import demo
from tenter.cli.main import app
from tenter.consultation.cloths.reflection_factors import ReflectionFactor, ShadedSide, default_factors

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs" / "how-to" / "reflected-light.md").read_text(encoding="utf-8")
MODEL = (ROOT / "docs" / "how-it-works" / "reflected-light.md").read_text(encoding="utf-8")
SERIES = ROOT / "tests" / "data" / "series"
PHOTOS = {"black-1.jpg": "a1.jpg", "white-1.jpg": "b2.jpg", "black-2.jpg": "a3.jpg", "white-2.jpg": "b4.jpg"}


@pytest.fixture
def studio(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    demo.copy_studio(files("tenter.demo_studio"), Path("studio"))
    for name, file in PHOTOS.items():
        shutil.copy(SERIES / file, tmp_path / "studio" / name)
    monkeypatch.chdir(tmp_path / "studio")


def ran(line):
    """Run a command of the page as a shell would, and return what it prints."""
    said, _, out = line.partition(" > ")
    done = CliRunner().invoke(app, shlex.split(said)[1:])
    assert done.exit_code == 0, (line, done.output)
    if out:
        Path(out).write_text(done.stdout, encoding="utf-8")
    return done.stdout


def is_shown(word, printed):
    """Whether a word is the printed one, or a number near it: a photograph's last digits are its machine's."""
    numbers = [w.replace("−", "-") for w in (word, printed)]
    if all(re.fullmatch(r"[+-]?\d+\.\d+", n) for n in numbers):
        shown, found = map(float, numbers)
        return abs(shown - found) <= 0.1 + 0.1 * abs(found)
    return word == printed


def test_the_commands_of_the_page_print_what_it_shows(studio):
    compared = 0
    printed = ""
    for language, text in re.findall(r"^```(\w+)\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL):
        if language == "sh":
            printed = [ran(line) for line in text.splitlines()][-1]
            continue
        shown = text.split()
        for word, found in zip(shown, printed.split(), strict=False):
            assert is_shown(word, found), (word, found, printed)
        assert len(printed.split()) >= len(shown)
        compared += 1
    assert compared == 2
    assert Path("peach.svg").read_text(encoding="utf-8").startswith("<svg")


def test_the_table_of_the_page_is_the_programs():
    left, neither = default_factors(ShadedSide.LEFT), default_factors()
    of = {
        "jaw, side toward the window": left["jaw_right"],
        "jaw, shaded side": left["jaw_left"],
        "jaw, no side in the shade": neither["jaw_left"],
        "chin": left["chin"],
        "lips": left["lips"],
        "cheek, side toward the window": left["cheek_right"],
        "cheek, shaded side": left["cheek_left"],
        "cheek, no side in the shade": neither["cheek_right"],
        "nose, forehead": left["nose"],
    }
    rows = re.findall(r"^\| ([^|]+) \| ([\d.]+) \| ([\d.]+) to ([\d.]+) \| ([\d.]+) \|$", MODEL, re.MULTILINE)
    assert {place: ReflectionFactor(*map(float, numbers)) for place, *numbers in rows} == of
    assert left["forehead"] == left["nose"]
