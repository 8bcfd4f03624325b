"""`tenter palette`: a table, JSON, a file that is read back, and a refusal that says what is owed."""

import json

import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.consultation.personal.document import read_palette

LEDGER = "client,step,kind,cloths,answer\nAda,1,pair,D063 D064,D063\nAda,2,pair,D082 D083,D082\n"


@pytest.fixture
def ledger(tmp_path):
    path = tmp_path / "j.csv"
    path.write_text(LEDGER, encoding="utf-8")
    return path


@pytest.fixture
def run(ledger):
    def start(*arguments):
        command = ["palette", str(ledger), "--client", "Ada", *map(str, arguments)]
        return CliRunner().invoke(app, command, catch_exceptions=False)

    return start


def test_the_table_has_every_colour_and_the_staples(run, tmp_path):
    result = run("--out", tmp_path / "p.json", "--love", "purple", "--must", "uniform: navy")
    assert result.exit_code == 0
    assert f"The palette is in {tmp_path / 'p.json'}." in result.stderr
    kept = read_palette(tmp_path / "p.json")
    assert [h.sentence for h in kept.palette.honoured] == ["You love purple", "uniform"]
    assert kept.palette.honoured[1].answer.startswith("You have to wear navy: put ")
    told = run("--love", "purple", "--must", "uniform: navy").stdout
    assert told.startswith("Ada: 44 colours  (the sitting is not finished)")
    words = " ".join(told.split())
    assert all(f"{c.name} " in words for c in kept.palette.colours)
    assert "You love purple: Your purple: " in words
    assert "black: " in words.split("staples")[1]


def test_json_is_one_object_and_the_same_as_the_file(run, tmp_path):
    result = run("--json", "--out", tmp_path / "p.json")
    assert json.loads(result.stdout) == json.loads((tmp_path / "p.json").read_text(encoding="utf-8"))
    assert json.loads(result.stdout)["client"] == "Ada"


def test_what_cannot_be_made_says_why(run, ledger, tmp_path):
    assert run("--hate", "bleen").exit_code == 2
    ledger.write_text("client,step,kind,cloths,answer\nAda,1,pair,D063 D064,D063\n", encoding="utf-8")
    refused = run("--json")
    assert refused.exit_code == 3
    assert json.loads(refused.stdout)["owed"] == ["clarity or depth"]
    assert "still owed: clarity or depth" in refused.stderr


def test_a_budget_says_what_to_buy_first(run):
    words = " ".join(run("--pieces", 2).stdout.split())
    assert "Your budget: 2 new pieces: Buy in this order: " in words
    assert run("--pieces", 0).exit_code == 2
