"""`tenter sheet`: the client's paper, the studio's sheet, and what is refused."""

import pypdfium2
import pytest
from typer.testing import CliRunner

from tenter.cli.main import app


@pytest.fixture
def run(tmp_path):
    out = tmp_path / "sheet.pdf"
    return out, lambda *more: CliRunner().invoke(
        app, ["sheet", "--client", "K1", "--out", str(out), "--date", "2026-03-14", *more], catch_exceptions=False
    )


def read(path):
    with pypdfium2.PdfDocument(path) as document:
        text = " ".join(page.get_textpage().get_text_range() for page in document)
        return " ".join(text.split()), document.get_page_size(0)


def test_the_clients_paper_is_written_unless_the_studios_is_asked_for(run):
    out, sheet = run
    assert sheet("--name", "Ilse Varnholt").exit_code == 0
    text, size = read(out)
    assert "Ilse Varnholt" in text
    assert "What was seen on you" in text
    assert "%" not in text
    assert size == pytest.approx((595.28, 841.89), abs=0.1)
    assert sheet("--studio-copy", "--replace").exit_code == 0
    text, _ = read(out)
    assert "69 %" in text
    assert "what would settle it" in text.casefold()


@pytest.mark.parametrize("more", [(), ("--studio-copy",)])
def test_both_papers_come_on_letter_too(run, more):
    out, sheet = run
    assert sheet("--paper", "letter", *more).exit_code == 0
    assert read(out)[1] == pytest.approx((612, 792), abs=0.1)


def test_an_unknown_page_is_refused_before_anything_is_written(run):
    out, sheet = run
    result = sheet("--paper", "a5")
    assert result.exit_code == 2
    assert "'a5' is not one of 'a4', 'letter'" in result.stderr
    assert not out.exists()


def test_without_a_verdict_it_says_what_is_owed(run, tmp_path):
    ledger = tmp_path / "j.csv"
    ledger.write_text("client,step,kind,cloths,answer\nK1,1,pair,D063 D064,D063\n", encoding="utf-8")
    out, sheet = run
    result = sheet(str(ledger))
    assert result.exit_code == 3
    assert "still owed" in result.stderr
    assert not out.exists()
