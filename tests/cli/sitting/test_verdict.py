"""`tenter verdict`: the verdict in words, and a refusal that says what is owed."""

import math
from importlib.resources import files

import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.report.reading.why import contradicts, together
from tenter.report.words.wording import times

HEADER = "client,step,kind,cloths,answer\n"


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, ["verdict", *map(str, arguments)], catch_exceptions=False)


def test_the_verdict_says_what_why_and_what_to_hold_again(run, demo_verdicts, demo_kit):
    # K1's story holds an answer against the run of the others, as entry 5.
    verdict = demo_verdicts["K1"]
    result = run("--client", "K1")
    assert result.exit_code == 0
    assert result.stderr == ""
    told = " ".join(result.stdout.split())
    assert told.startswith(f"K1: {verdict.headline} (")
    assert f"second: {verdict.runner_up} " in told
    assert told.index(" why ") < told.index(" against ")
    for reason in verdict.reasons[:3]:
        assert f"{times(math.exp(reason.log_odds))} {reason.text}" in told
    assert "on undertone ×" in together(verdict)
    assert " ".join(together(verdict).split()) in told
    again = [c for c in verdict.contradictions if c.number == 5]
    assert f"entry 5: {' and '.join(again[0].repeat)}. {contradicts(again[0])} Perhaps " in told
    left, right = (demo_kit[i] for i in verdict.settling_pair)
    assert f"Would settle it: {left.id} {left.name} against {right.id} {right.name}" in told


def test_the_demo_ledger_is_read_where_none_is_named(run, tmp_path):
    (tmp_path / "j.csv").write_bytes((files("tenter.demo_studio") / "judgements.csv").read_bytes())
    assert run("--client", "K3").stdout == run(tmp_path / "j.csv", "--client", "K3").stdout


def test_a_verdict_without_its_phases_is_refused_with_what_is_owed(run, tmp_path):
    (tmp_path / "j.csv").write_text(HEADER + "Ada,1,pair,D063 D064,D063\n", encoding="utf-8")
    result = run(tmp_path / "j.csv", "--client", "Ada")
    assert result.exit_code == 3
    assert result.stdout == ""
    assert "still owed: clarity or depth" in result.stderr


def test_a_liking_and_an_earlier_result_are_no_evidence(run, tmp_path):
    rows = "Ada,1,preference,D063 D064,D063\nAda,2,earlier,,light spring: another school\n"
    (tmp_path / "j.csv").write_text(HEADER + rows, encoding="utf-8")
    result = run(tmp_path / "j.csv", "--client", "Ada")
    assert result.exit_code == 3
    assert "still owed: undertone and clarity or depth" in result.stderr


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nowhere.csv", "--client", "K1"], "there is no such file"),
        (["--client", "K9"], "no judgement of client 'K9'"),
        (["--client", "K1", "--kit", "nowhere.csv"], "there is no such file"),
        (["--client", "K1", "--method", "five-seasons"], "four-by-three"),
        (["--client", "K1", "--face", "nowhere.json"], "there is no such file"),
    ],
)
def test_what_cannot_be_read_is_said(run, arguments, words):
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert words in result.stderr
