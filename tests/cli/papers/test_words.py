"""`--words`: the studio's own words on the papers of the command line."""

import pypdfium2
import pytest
from typer.testing import CliRunner

from tenter.cli.main import app

WORDS = 'version = "autumn 2026"\nletter = "Dear Mia,"\n[texts]\n"{of}" = "A wood in October."\n'


@pytest.fixture
def run(tmp_path):
    def sheet(of):
        (tmp_path / "words.toml").write_text(WORDS.format(of=of), encoding="utf-8")
        out, words = str(tmp_path / "paper.pdf"), str(tmp_path / "words.toml")
        return CliRunner().invoke(app, ["sheet", "--client", "K5", "--words", words, "--out", out, "--replace"])

    return sheet


def test_the_papers_carry_the_words_of_a_file(run, tmp_path):
    seasons = ("spring", "summer", "autumn", "winter")
    texts = {}
    for season in seasons:
        done = run(season)
        assert done.exit_code == 0, done.stderr
        with pypdfium2.PdfDocument(tmp_path / "paper.pdf") as document:
            texts[season] = document[1].get_textpage().get_text_range()
    assert all("Dear Mia," in text and "version autumn 2026" in text for text in texts.values())
    assert sum("A wood in October." in text for text in texts.values()) == 1


def test_a_text_of_a_season_that_the_method_does_not_have_is_refused(run, tmp_path):
    done = run("indigo")
    assert done.exit_code == 2
    assert "no season or sub-season is called 'indigo'; use " in done.stderr
    assert not (tmp_path / "paper.pdf").exists()
