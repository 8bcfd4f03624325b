"""`tenter compare-sittings`: two ledgers of one client, in words and as JSON."""

import json
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from tenter.cli.main import app
from tests.support.pseudo import english


@pytest.fixture
def ledger() -> str:
    return str(files("tenter.demo_studio") / "judgements.csv")


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, ["compare-sittings", *arguments], catch_exceptions=False)


def test_one_sitting_against_itself_shows_no_change(ledger: str):
    result = run(ledger, ledger, "--client", "K1", "--earlier-date", "2024-03-14")
    assert result.exit_code == 0
    assert "No change shown" in result.stdout
    assert "Earlier, 14 March 2024:" in result.stdout
    assert "For the client: Your new answers agree with those of 14 March 2024" in result.stdout


def test_two_people_are_told_apart_as_json(ledger: str):
    names = (
        "--earlier-consultant",
        "Ana",
        "--later-consultant",
        "ana",
        "--earlier-light",
        "5000",
        "--later-light",
        "4000",
    )
    result = run(ledger, ledger, "--client", "K5", "--earlier-client", "K2", "--json", *names)
    assert result.exit_code == 0
    found = json.loads(result.stdout)
    assert found["change"] == "shown"
    assert found["earlier"]["category"] != found["later"]["category"]
    assert found["causes"]["analyst"] == "excluded"
    assert found["causes"]["light"] == "differed"
    low, high = found["shifts"]["undertone"]["interval_95_together"]
    assert low < found["shifts"]["undertone"]["mean"] < high
    assert found["for_client"].count(".") == 1


def test_a_light_may_come_from_its_check(ledger: str, tmp_path: Path):
    check = tmp_path / "light.json"
    check.write_text(json.dumps({"basis": "meter", "cct": 5000, "ra": 80, "lux": 1200}), encoding="utf-8")
    told = run(ledger, ledger, "--client", "K1", "--earlier-light", str(check), "--later-light", "6400").stdout
    assert "The light: may be the cause: 5000 K, Ra 80, 1200 lx, and later 6400 K." in told
    check.write_text(json.dumps({"basis": "meter", "ra": 80}), encoding="utf-8")
    assert run(ledger, ledger, "--client", "K1", "--earlier-light", str(check)).exit_code == 2


def test_what_cannot_be_read_says_so(ledger: str, tmp_path: Path):
    assert run(ledger, ledger, "--client", "K1", "--later-date", "yesterday").exit_code == 2
    assert run(ledger, ledger, "--client", "K1", "--later-light", "3").exit_code == 2
    (tmp_path / "none.csv").write_text("client,step,kind,cloths,answer\n", encoding="utf-8")
    assert run(ledger, str(tmp_path / "none.csv"), "--client", "K1").exit_code == 2


def test_it_is_said_in_another_language(ledger: str, spoken: str):
    told = run(ledger, ledger, "--client", "K1", "--earlier-date", "2024-03-14", "--language", spoken)
    assert set(english([told.stdout])) == {"K", "four", "by", "three"}  # what the client and the method are called
