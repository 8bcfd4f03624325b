"""A sitting at the terminal: one key an answer, and a kill that loses nothing."""

import json
import os
import signal
import subprocess
import sys

from typer.testing import CliRunner

from tenter.cli.main import app


def run(keys, journal):
    return CliRunner().invoke(app, ["sit", "--client", "T", "--journal", str(journal)], input=keys)


def lines(journal):
    return [json.loads(line) for line in journal.read_text().splitlines()]


def test_one_key_answers_and_every_kind_of_entry_is_kept(tmp_path):
    journal = tmp_path / "t.jsonl"
    pairs = "a\nk\nn\nt\nD073:too-bright\no\nD073 D075\nl\n"
    others = "f\nD074 > D073 = D075\nc\nD092 fails\np\nD002\nm\nD001\nu\nx\n1 lamp\n"
    result = run(pairs + others, journal)
    assert result.exit_code == 0
    kept = lines(journal)
    assert [e["event"] for e in kept] == [*["recorded"] * 7, "missing", "undone", "voided"]
    kinds = [e["judgement"]["kind"] for e in kept[:7]]
    assert kinds == ["pair", "pair", "pair", "pair", "fan", "single", "preference"]
    assert [e["judgement"].get("strength") for e in kept[:2]] == [1, 2]
    assert kept[3]["judgement"]["flags"] == ["D073:too-bright"]


def test_a_wrong_word_is_said_and_nothing_is_kept_of_it(tmp_path):
    journal = tmp_path / "t.jsonl"
    result = run("o\nD001 D999\nc\nD001 sings\nt\nD001:too-loud\na\nx\none two\n", journal)
    assert result.exit_code == 0
    assert "D999" in result.output
    assert "too-loud" in result.output
    assert not journal.exists()


def test_a_sitting_goes_on_where_it_stopped(tmp_path):
    journal = tmp_path / "t.jsonl"
    run("a\nj\n", journal)
    result = run("g\nv\n", journal)
    assert "Going on: 2 events" in result.output
    assert len(lines(journal)) == 3


def test_a_kill_loses_no_entry_that_was_acknowledged(tmp_path):
    journal = tmp_path / "t.jsonl"
    command = [sys.executable, "-c", "from tenter.cli.main import main; main()", "sit", "--client", "T"]
    process = subprocess.Popen(
        [*command, "--journal", str(journal)],
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "OMP_NUM_THREADS": "1"},
    )
    acknowledged = 0
    process.stdin.write("a\nk\ns\n")
    process.stdin.flush()
    for line in process.stderr:
        acknowledged += "kept\n" in line and "entry" in line
        if acknowledged == 3:
            break
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdin.close()
    process.stderr.close()
    assert acknowledged == 3
    assert len(lines(journal)) == 3
