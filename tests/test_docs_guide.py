"""The guide names what the screens show, and its commands work as they are written."""

import re
import shlex
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tenter.cli import demo
from tenter.cli.main import app

ROOT = Path(__file__).parents[1]
GUIDES = sorted((ROOT / "docs" / "guide").glob("*.md"))
SCREENS = [p for p in (ROOT / "src" / "tenter").rglob("*") if p.suffix in (".html", ".py", ".js")]


def labels(guide):
    """Return what a guide says stands on a screen: words between single asterisks."""
    text = re.sub(r"```.*?```|\\\*", "", guide.read_text(encoding="utf-8"), flags=re.DOTALL)
    return re.findall(r"(?<!\*)\*([A-Z][^*\n]+)\*(?!\*)", text)


def on_screens():
    shown = " ".join(path.read_text(encoding="utf-8") for path in SCREENS)
    return re.sub(r"\s+", " ", shown).replace("’", "'") + " Maren Tolliver"  # whose name comes with the demo studio


def test_what_the_guide_says_stands_on_a_screen_does():
    shown = on_screens()
    named = {label for guide in GUIDES for label in labels(guide)}
    assert len(named) > 25
    assert {label for label in named if label.replace("’", "'") not in shown} == set()


@pytest.mark.parametrize("guide", GUIDES, ids=lambda path: path.stem)
def test_the_keys_of_the_guide_are_those_of_the_bench(guide):
    stage = (ROOT / "src" / "tenter" / "web" / "bench" / "templates" / "bench" / "bench_stage.html").read_text(
        encoding="utf-8"
    )
    known = {key for keys in re.findall(r'data-keys="([^"]*)"', stage) for key in keys.split()} | {"←", "→"}
    rows = re.findall(r"^\| ((?:`[^`]+`)(?: or `[^`]+`)?)[^|]*\| ", guide.read_text(encoding="utf-8"), re.MULTILINE)
    told = {key.replace("Esc", "Escape") for row in rows for key in re.findall(r"`([^`]+)`", row)}
    assert told <= known
    assert (len(told) > 5) == (guide.stem == "a-sitting")


def test_the_commands_of_the_guide_work(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    demo.copy_studio(files("tenter.demo_studio"), Path("studio"))
    monkeypatch.chdir(tmp_path / "studio")
    blocks = [
        b for g in GUIDES for b in re.findall(r"^```sh\n(.*?)^```", g.read_text("utf-8"), re.MULTILINE | re.DOTALL)
    ]
    lines = [shlex.split(line, comments=True) for block in blocks for line in block.splitlines()]
    commands = [said for program, *said in lines if program == "tenter"]
    assert len(commands) > 4
    for said in commands:
        done = CliRunner().invoke(app, said)
        assert done.exit_code == 0, (said, done.output)
        assert "--out" not in said or Path(said[said.index("--out") + 1]).exists(), said
    assert [words for words in lines if words[0] != "tenter"] == [["./run", "serve"]]
