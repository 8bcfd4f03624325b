"""The show round at the terminal: one key a cloth, what was brought by its name, and nothing of it is evidence."""

import json

import pytest
from typer.testing import CliRunner

from tenter.cli.main import app

OWED = "o\nD063 D064\na\no\nD073 D075\nl\n"  # what a verdict needs at the least


def run(keys, journal):
    return CliRunner().invoke(app, ["sit", "--client", "T", "--journal", str(journal)], input=keys)


def shown(journal):
    """Return the showings of a journal, as they were written down."""
    kept = [json.loads(line) for line in journal.read_text().splitlines()]
    return [e["judgement"] for e in kept if e["event"] == "recorded" and e["judgement"]["kind"] == "show"]


def test_one_key_shows_a_cloth_and_the_round_goes_on(tmp_path):
    journal = tmp_path / "t.jsonl"
    result = run(f"{OWED}e\n1\ns\n4\no\nD001 away\nb\nlipstick yes rosewood, matt\nq\nq\n", journal)
    assert result.exit_code == 0
    first, second, own, brought = shown(journal)
    assert (first["worth"], second["worth"]) == ("best", "no")
    assert len({first["drape"], second["drape"], "D001"}) == 3
    assert (own["worth"], own["drape"]) == ("away", "D001")
    assert brought == {"kind": "show", "view": "alternate", "source": "analyst"} | {
        "worth": "yes",
        "brought": "lipstick",
        "name": "rosewood, matt",
    }
    assert f"{first['drape']} " in result.output
    assert "2 kept" in result.output.split("rosewood")[-1]  # answers of the bench, as before


def test_u_takes_back_what_was_shown_and_no_answer_of_the_bench(tmp_path):
    journal = tmp_path / "t.jsonl"
    result = run(f"{OWED}e\n1\nu\nu\nq\nq\n", journal)
    assert "nothing of the show round is left to take back" in result.output
    assert [json.loads(line)["event"] for line in journal.read_text().splitlines()].count("undone") == 1


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("e\n", "still owed: undertone and clarity or depth"),
        (f"{OWED}e\no\nD001\nq\n", "a cloth and one of the words are needed, as in: D026 best"),
        (f"{OWED}e\no\nD999 best\nq\n", "no cloth in this kit is called 'D999'"),
        (f"{OWED}e\no\nD001 lovely\nq\n", "lovely"),
        (f"{OWED}e\nb\nhat yes straw\nq\n", "hat"),
        (f"{OWED}e\nb\ngarment yes\nq\n", "as in: garment away grey blazer"),
        (f"{OWED}e\nz\nq\n", "what is seen on the client here is not evidence"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_kept(tmp_path, keys, words):
    journal = tmp_path / "t.jsonl"
    result = run(keys + "q\n", journal)
    assert result.exit_code == 0
    assert words in result.output
    assert not journal.exists() or shown(journal) == []
