"""A sitting at the terminal: one key an answer, and a kill that loses nothing."""

import json
import os
import re
import signal
import subprocess
import sys
from importlib.resources import files

import pytest
from typer.testing import CliRunner

import tenter
from tenter.cli.main import app
from tenter.consultation.sitting.journal import judgement_from

TWO_CLOTHS = """id,name,hue_family,L,a,b,illuminant,observer
A,Warm red,red,45,50,35,D65,10
B,Cool red,red,45,56,8,D65,10
"""


def run(keys, journal, *more):
    return CliRunner().invoke(app, ["sit", "--client", "T", "--journal", str(journal), *map(str, more)], input=keys)


def said_after_help(result):
    """Return what was said after the keys were explained once."""
    return result.output.split("everything is saved\n", 1)[1]


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


def test_the_consultant_names_the_result_at_the_terminal_and_the_odds_stay(tmp_path):
    journal = tmp_path / "t.jsonl"
    answers = "o\nD061 D062\nk\no\nD073 D075\ns\n"
    before, after = (
        run(answers + "v\n", journal).output,
        run("r\ndeep winter\ndeep colours held the face\nv\n", journal),
    )
    assert after.exit_code == 0
    named = lines(journal)[-1]["judgement"]
    assert (named["kind"], named["category"], named["note"]) == ("verdict", "deep winter", "deep colours held the face")
    assert "deep colours held the face" in after.output
    odds = re.compile(r"T: .* \(\d+ %\)")
    assert odds.search(before)[0] == odds.search(after.output)[0]


def test_a_result_that_is_no_category_is_not_kept(tmp_path):
    journal = tmp_path / "t.jsonl"
    result = run("r\nloud winter\n", journal)
    assert "no category is called 'loud winter'" in result.output
    assert not journal.exists()


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


def test_the_first_pair_is_named_with_its_place_and_its_phase(tmp_path):
    said = said_after_help(run("", tmp_path / "t.jsonl"))
    assert "\nUndertone · 0 kept · go on\n" in said
    held = next(line for line in said.splitlines() if line.startswith("  left "))
    for cloth in tenter.Sitting(tenter.Kit.demo(), tenter.Method.bundled(), seed=7).propose():
        drape = tenter.Kit.demo()[cloth]
        assert f"{cloth} {drape.name} ({drape.place})" in held
    assert said.endswith("Nothing was entered.\n")


@pytest.mark.parametrize("key", ["z", "?", "quit", "aa"])
def test_a_key_without_a_meaning_shows_the_keys_again(tmp_path, key):
    result = run(f"{key}\nq\n", tmp_path / "t.jsonl")
    assert result.exit_code == 0
    assert result.output.count("left better: a little, clearly, strongly") == 2
    assert not (tmp_path / "t.jsonl").exists()


def test_q_stops_before_what_comes_after_it(tmp_path):
    run("a\nq\ns\n", tmp_path / "t.jsonl")
    assert len(lines(tmp_path / "t.jsonl")) == 1


def test_a_half_face_view_is_kept_once_and_asks_for_its_exchange(tmp_path):
    journal = tmp_path / "t.jsonl"
    result = run("h\no\nD063 D064\na\no\nD064 D063\nh\nj\n", journal)
    assert "counts half until the sides are exchanged" in result.output
    before, after = result.output.split("entry 2 kept")
    waits = "a half-face view waits for its sides to be exchanged: D064 left, D063 right"
    assert waits in before.split("entry 1 kept")[1]
    assert waits not in after
    assert [e["judgement"]["view"] for e in lines(journal)] == ["split", "split"]


def test_the_view_flags_and_signs_hold_for_one_answer_only(tmp_path):
    journal = tmp_path / "t.jsonl"
    run("o\nD063 D064\nh\nt\nD064:too-cool\ni\nD063:own-tint D064:blotchy\na\no\nD063 D064\na\n", journal)
    first, second = (e["judgement"] for e in lines(journal))
    assert (first["view"], second["view"]) == ("split", "alternate")
    assert (first["flags"], first["signs"]) == (["D064:too-cool"], ["D063:own-tint", "D064:blotchy"])
    assert not {"flags", "signs"} & second.keys()


def test_a_fan_may_hold_ties_and_groups(tmp_path):
    journal = tmp_path / "t.jsonl"
    result = run("f\nD074 > D073 = D075\nf\nD001+D002 > D003 > D004+D005\n", journal)
    assert "fan: " in result.output
    fans = [judgement_from(e["judgement"]) for e in lines(journal)]
    assert [fan.ranks for fan in fans] == [
        ((("D074",),), (("D073",), ("D075",))),
        ((("D001", "D002"),), (("D003",),), (("D004", "D005"),)),
    ]


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("f\nD074 > D073\n", "a fan needs at least three cloths; got 2"),
        ("f\nD074 > D073 > D074\n", "a fan names a cloth twice"),
        ("c\nD092\n", "a cloth and one of the words are needed, as in: D092 fails"),
        ("o\nD001\n", "two cloths are needed, as in: D063 D064"),
        ("o\nD001 D001\na\n", "D001 was compared with itself"),
        ("m\nD999\n", "no cloth in this kit is called 'D999'"),
        ("i\nD001:sad\na\n", "no sign is called 'sad'"),
        ("o\nD063 D064\nt\nD001:too-warm\na\n", "names a cloth that was not held"),
        ("u\n", "there is nothing to undo"),
        ("x\n7 lamp\n", "there is no entry 7"),
        ("x\nlamp\n", "an entry's number and a reason are needed"),
        ("v\n", "still owed: undertone and clarity or depth"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_kept(tmp_path, keys, words):
    result = run(keys, tmp_path / "t.jsonl")
    assert result.exit_code == 0
    assert words in said_after_help(result)
    assert not (tmp_path / "t.jsonl").exists()


@pytest.mark.parametrize("keys", ["f\n\n", "p\n\n", "m\n\n"])
def test_an_empty_line_takes_a_command_back(tmp_path, keys):
    result = run(keys, tmp_path / "t.jsonl")
    assert result.exit_code == 0
    assert "kept\n" not in said_after_help(result)
    assert not (tmp_path / "t.jsonl").exists()


def test_a_void_entry_needs_a_reason_and_is_void_once(tmp_path):
    journal = tmp_path / "t.jsonl"
    result = run("a\nx\n1\nx\n1 wrong lamp\nx\n1 again\n", journal)
    assert "a void entry needs a reason" in result.output
    assert "entry 1 is void already" in result.output
    assert lines(journal)[1:] == [{"event": "voided", "number": 1, "reason": "wrong lamp"}]
    assert "Undertone · 0 kept" in result.output.split("entry 1 kept")[1]


def test_a_missing_cloth_is_proposed_no_more_and_undo_brings_it_back(tmp_path):
    journal = tmp_path / "t.jsonl"
    left, right = tenter.Sitting(tenter.Kit.demo(), tenter.Method.bundled(), seed=7).propose()
    result = run(f"m\n{left}\nu\n", journal)
    held = [line for line in result.output.splitlines() if "  left " in line and "     right " in line]
    assert [left in line for line in held] == [True, False, True]
    assert held[0] == held[2]
    assert right in held[0]
    assert "taken back; it stays in the record" in result.output
    assert [e["event"] for e in lines(journal)] == ["missing", "undone"]


def test_a_kit_that_has_nothing_left_says_so_and_takes_no_answer(tmp_path):
    (tmp_path / "two.csv").write_text(TWO_CLOTHS)
    result = run("n\nn\nn\na\no\nA B\na\n", tmp_path / "t.jsonl", "--kit", tmp_path / "two.csv")
    assert "nothing left to hold" in result.output
    refused = "no pair is held; o chooses one"
    assert result.output.count(refused) >= 1
    kept = [e["judgement"] for e in lines(tmp_path / "t.jsonl")]
    assert kept[-1]["left"] == "A"
    assert kept[-1]["answer"] == "left"
    assert all(j["answer"] == "nothing-seen" for j in kept[:-1])
    assert len(kept) - 1 + result.output.count(refused) == 4


def test_the_verdict_so_far_is_said_and_the_sitting_goes_on(tmp_path):
    keys = "o\nD063 D064\nd\no\nD073 D075\nd\nv\nn\n"
    result = run(keys, tmp_path / "t.jsonl")
    assert result.stdout.startswith("T: ")
    assert "\ntraits: " in result.stdout
    assert "2 comparisons counted" in result.stdout
    told = " ".join(result.stdout.split())  # a terminal breaks lines where its width has them end
    assert "Test Pink W, the warmer cloth, was strongly better than Test Pink C (entry 1)" in told
    assert "entry 3 kept" in result.stderr
    assert len(lines(tmp_path / "t.jsonl")) == 3


def test_where_a_fan_is_worth_more_for_its_minutes_it_is_offered_beside_a_pair(tmp_path):
    # Under a method for a quick hand with fans; the bundled one finds its first pairs worth more a minute.
    bundled = (files("tenter.consultation") / "data" / "four-by-three.toml").read_text(encoding="utf-8")
    quick = re.sub(r"^fan_minutes = .*$", "fan_minutes = 0.5", bundled, flags=re.MULTILINE)
    (tmp_path / "quick.toml").write_text(quick, encoding="utf-8")
    said = said_after_help(run("g\n", tmp_path / "t.jsonl", "--method", tmp_path / "quick.toml")).splitlines()
    [first, second] = [line for line in said if "worth a fan: f puts" in line]
    for offered in (first, second):
        assert re.fullmatch(r"  worth a fan: f puts D\d+ .*, D\d+ .*, D\d+ .* in order; or a pair:", offered)
    assert said[said.index(first) + 1].startswith("  left ")
    assert lines(tmp_path / "t.jsonl")[0]["judgement"]["answer"] == "both-good"
    assert "worth a fan" not in run("", tmp_path / "other.jsonl").output


def test_a_sitting_without_a_journal_named_is_kept_in_the_users_own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    result = CliRunner().invoke(app, ["sit", "--client", "Ada/../B"], input="a\n")
    assert result.exit_code == 0
    [kept] = (tmp_path / "tenter" / "sittings").iterdir()
    assert kept.name == "Ada____B.jsonl"
    assert len(lines(kept)) == 1


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--kit", "nowhere.csv"], "there is no such file"),
        (["--method", "five-seasons"], "five-seasons"),
        (["--face", "nowhere.json"], "there is no such file"),
    ],
)
def test_what_cannot_be_read_ends_the_sitting_before_it_begins(tmp_path, more, words):
    result = run("a\n", tmp_path / "t.jsonl", *more)
    assert result.exit_code == 2
    assert words in result.stderr
    assert not (tmp_path / "t.jsonl").exists()


def test_a_journal_that_is_none_is_refused_and_left_as_it_was(tmp_path):
    journal = tmp_path / "t.jsonl"
    journal.write_text("a diary\n")
    result = run("a\n", journal)
    assert result.exit_code == 2
    assert "line 1 is not an event of a sitting" in result.stderr
    assert journal.read_text() == "a diary\n"


# A program that a shell starts beside it is told to be deaf to Ctrl-C, and so are its children: this one is to hear it.
_HEARING = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)"


@pytest.mark.parametrize(("end", "code"), [(signal.SIGKILL, -signal.SIGKILL), (signal.SIGINT, 130)])
def test_neither_a_kill_nor_ctrl_c_loses_an_entry_that_was_acknowledged(tmp_path, end, code):
    journal = tmp_path / "t.jsonl"
    command = [sys.executable, "-c", f"{_HEARING}; from tenter.cli.main import run; run()", "sit", "--client", "T"]
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
    process.send_signal(end)
    _, said = process.communicate(timeout=60)
    assert process.returncode == code
    assert "Traceback" not in said
    assert (f"Saved: {journal}" in said) == (end == signal.SIGINT)
    assert acknowledged == 3
    assert len(lines(journal)) == 3
