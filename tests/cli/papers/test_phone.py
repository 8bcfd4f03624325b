"""`tenter phone-page` and `tenter lock-screen`: from a ledger or from a palette's file, and what is refused."""

import io
from pathlib import Path

import pytest
from PIL import Image
from typer.testing import CliRunner, Result

from tenter.cli.main import app


def run(*arguments: object) -> Result:
    return CliRunner().invoke(app, [str(a) for a in arguments], catch_exceptions=False)


@pytest.fixture(scope="module")
def palette(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("palette") / "palette.json"
    assert run("palette", "--client", "K5", "--out", file).exit_code == 0
    return file


def test_a_ledger_and_its_palettes_file_give_the_same_page(palette: Path, tmp_path: Path):
    day = ("--date", "2026-03-14", "--name", "Maren Tolliver", "--studio", "The North Room")
    assert run("phone-page", "--client", "K5", "--out", tmp_path / "one.html", *day).exit_code == 0
    assert run("phone-page", palette, "--out", tmp_path / "two.html", *day).exit_code == 0
    one, two = ((tmp_path / name).read_text(encoding="utf-8") for name in ("one.html", "two.html"))
    assert one.split("<script")[0] == two.split("<script")[0]
    for words in ("Maren Tolliver", "14 March 2026", "The North Room", "Warm spring"):
        assert words in one


def test_the_lock_screen_has_the_size_asked_for(palette: Path, tmp_path: Path):
    out = tmp_path / "lock.png"
    result = run("lock-screen", palette, "--out", out, "--width", 720, "--height", 1600)
    assert result.exit_code == 0
    assert Image.open(io.BytesIO(out.read_bytes())).size == (720, 1600)


def test_what_cannot_be_done_says_why(palette: Path, tmp_path: Path):
    out = tmp_path / "page.html"
    neither = run("phone-page", "--out", out)
    assert neither.exit_code == 2
    assert "--client" in neither.stderr
    (tmp_path / "few.csv").write_text("client,step,kind,cloths,answer\nA,1,pair,D063 D064,D063\n", encoding="utf-8")
    assert run("phone-page", tmp_path / "few.csv", "--client", "A", "--out", out).exit_code == 3
    assert run("lock-screen", palette, "--out", out, "--width", 5).exit_code == 2
    assert not out.exists()
