"""`tenter sit --replay`: one JSON object on standard output, all else on standard error, and the exit codes."""

import csv
import json
import subprocess
import sys
from importlib.resources import files

import pytest
from typer.testing import CliRunner

from tenter import Answer, Kit, Method, PairJudgement, Sitting
from tenter.cli.main import app
from tenter.consultation.axes import Axis
from tenter.consultation.words.traits import LeadingTrait

DONE, UNREADABLE, REFUSED = 0, 2, 3
HEADER = "client,step,phase,kind,cloths,view,answer,strength,flags,signs,region,source,note"
KEYS = {
    "client",
    "category",
    "season",
    "odds_word",
    "probability",
    "runner_up",
    "trait_neighbour",
    "leading_trait",
    "probabilities",
    "comparisons",
    "void",
    "contradictions",
    "reasons",
    "against",
    "evidence_by_axis",
    "tendencies",
    "between",
    "not_finished",
    "stop",
}


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, [str(a) for a in arguments], catch_exceptions=False)


@pytest.fixture
def studio(tmp_path):
    """The invented studio's kit and ledger as files."""
    for name in ("drapes.csv", "judgements.csv"):
        (tmp_path / name).write_bytes((files("tenter.demo_studio") / name).read_bytes())
    return tmp_path


def replay(run, studio, client, *more):
    return run("sit", "--replay", studio / "judgements.csv", "--kit", studio / "drapes.csv", "--client", client, *more)


@pytest.mark.parametrize("client", ["K3", "K4"])
def test_replay_prints_one_object_with_the_contracts_keys(run, studio, bundled, demo_verdicts, client):
    result = replay(run, studio, client, "--json")
    assert result.exit_code == DONE
    document = json.loads(result.stdout)
    assert result.stdout.count("\n") == 1
    assert result.stderr == ""
    assert document.keys() >= KEYS
    verdict = demo_verdicts[client]
    assert document["client"] == client
    assert document["category"] == verdict.category
    assert document["season"] == bundled.season_of[verdict.category]
    assert document["probability"] == pytest.approx(verdict.probability, abs=1e-12)
    assert list(document["probabilities"]) == list(bundled.categories)
    assert sum(document["probabilities"].values()) == pytest.approx(1, abs=1e-9)
    for reason in (*document["reasons"], *document["against"]):
        assert reason.keys() >= {"entries", "text", "log_odds", "axis", "direction", "speaks_for", "flagged"}
        assert reason["direction"] in (None, *(e for e in LeadingTrait if e.axis == reason["axis"]))
    assert document["evidence_by_axis"].keys() <= set(Axis)
    assert document["evidence_by_axis"] == pytest.approx(verdict.evidence_by_axis)
    assert document["stop"].keys() == {"advised", "why", "expected_change"}
    assert document["stop"]["advised"] == (document["not_finished"] is None)
    assert document["stop"]["why"] == verdict.stop.why
    assert document["reasons"]


def test_what_is_owed_and_what_speaks_against_the_odds_stand_in_the_document(run, studio):
    sitting, rows = Sitting(Kit.demo(), Method.bundled(), seed=5), [HEADER]
    for n in range(16):
        left, right = sitting.propose()
        sitting.record(PairJudgement(left, right, Answer.LEFT))
        rows.append(f"K1,{n + 1},,pair,{left} {right},alternate,{left},1,,,,analyst,")
    (studio / "judgements.csv").write_text("\n".join(rows), encoding="utf-8")
    document = json.loads(replay(run, studio, "K1", "--json").stdout)
    assert document["between"] == []
    assert document["not_finished"]["owed"]
    assert document["not_finished"]["minutes"] > 0
    assert [one["code"] for one in document["tendencies"]]
    for one in document["tendencies"]:
        assert one.keys() == {"code", "text", "odds_word_lowered"}
        assert one["code"] in {"position_bias", "fatigue", "misfit", "changed_face"}


def test_contradictions_have_an_entry_a_chance_and_causes(run, studio):
    document = json.loads(replay(run, studio, "K1", "--json").stdout)
    [found] = [c for c in document["contradictions"] if c["entry"] == 5]
    assert found.keys() >= {"entry", "p", "causes"}
    assert 0 < found["p"] < 0.1
    assert all(isinstance(cause, str) for cause in found["causes"])


def test_a_void_row_counts_only_under_void(run, studio):
    rows = list(csv.DictReader((studio / "judgements.csv").read_text(encoding="utf-8").splitlines()))
    own = [row for row in rows if row["client"] == "K4"]
    document = json.loads(replay(run, studio, "K4", "--json").stdout)
    assert document["void"] == sum(row["kind"] == "void" for row in own) == 1
    assert document["comparisons"] == len(own) - 1


def test_the_phase_column_is_the_analysts_note_and_replay_ignores_it(run, studio):
    before = json.loads(replay(run, studio, "K3", "--json").stdout)
    ledger = studio / "judgements.csv"
    ledger.write_text(ledger.read_text(encoding="utf-8").replace(",undertone,", ",border,"), encoding="utf-8")
    assert json.loads(replay(run, studio, "K3", "--json").stdout) == before


def test_the_seed_moves_no_number(run, studio):
    one, two = (json.loads(replay(run, studio, "K3", "--json", "--seed", seed).stdout) for seed in (1, 2))
    one.pop("settling_pair"), two.pop("settling_pair")
    assert one == two


def test_replay_in_words_names_verdict_and_reason(run, studio, demo_verdicts):
    result = replay(run, studio, "K3")
    assert result.exit_code == DONE
    assert demo_verdicts["K3"].headline in result.stdout
    assert "why" in result.stdout


def test_a_measured_face_is_read(run, studio):
    colour = {"lab": [62.0, 11.0, 16.0], "lab_interval_90": [[60, 64], [9, 13], [14, 18]]}
    face = {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2", "regions": {"forehead": colour}}
    (studio / "face.json").write_text(json.dumps(face), encoding="utf-8")
    with_face = replay(run, studio, "K3", "--json", "--face", studio / "face.json")
    assert with_face.exit_code == DONE
    assert json.loads(with_face.stdout) == json.loads(replay(run, studio, "K3", "--json").stdout)


@pytest.mark.parametrize(
    ("document", "words"),
    [
        ({"accepted": False, "basis": "chart"}, "no absolute colours"),
        ({"accepted": True, "basis": "relative", "regions": {}}, "no absolute colours"),
        ({"accepted": True, "basis": "chart"}, "tenter face measure"),
        ([], "not a JSON object"),
        ("words", "not a JSON object"),
    ],
)
def test_a_face_that_cannot_be_used_is_unreadable(run, studio, document, words):
    (studio / "face.json").write_text(json.dumps(document), encoding="utf-8")
    result = replay(run, studio, "K3", "--json", "--face", studio / "face.json")
    assert result.exit_code == UNREADABLE
    assert result.stdout == ""
    assert words in result.stderr


def test_too_little_for_a_verdict_is_refused(run, studio):
    (studio / "judgements.csv").write_text(f"{HEADER}\nA,1,,pair,D063 D064,,D063,1,,,,,\n", encoding="utf-8")
    result = replay(run, studio, "A", "--json")
    assert result.exit_code == REFUSED
    assert json.loads(result.stdout)["owed"] == ["clarity or depth"]
    assert "clarity or depth" in result.stderr
    in_words = replay(run, studio, "A")
    assert (in_words.exit_code, in_words.stdout) == (REFUSED, "")


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (lambda s: (s / "judgements.csv").unlink(), "no such file"),
        (lambda s: (s / "judgements.csv").write_bytes(b"\xff\xfe\x00"), "UTF-8"),
        (lambda s: (s / "judgements.csv").write_text("client,step\nK3,1\n"), "missing column"),
        (lambda s: (s / "judgements.csv").write_text(f"{HEADER}\nK3,1,,pair,D063 D999,,D063,1,,,,,\n"), "D999"),
        (lambda s: (s / "drapes.csv").write_text("id;name\n"), "missing column(s): 'L', 'a', 'b'"),
        (lambda s: (s / "judgements.csv").write_text("client;step\n"), "semicolons"),
        (lambda s: (s / "drapes.csv").unlink(), "no such file"),
    ],
)
def test_unreadable_input(run, studio, damage, words):
    damage(studio)
    result = replay(run, studio, "K3", "--json")
    assert result.exit_code == UNREADABLE
    assert result.stdout == ""
    assert words in result.stderr


def test_an_unknown_client_names_those_in_the_ledger(run, studio):
    result = replay(run, studio, "K9", "--json")
    assert (result.exit_code, result.stdout) == (UNREADABLE, "")
    assert "K1, K2, K3, K4 and K5" in result.stderr


@pytest.mark.parametrize("method", ["nine-seasons", "missing.toml"])
def test_an_unknown_method_is_unreadable(run, studio, method):
    result = replay(run, studio, "K3", "--json", "--method", method)
    assert (result.exit_code, result.stdout) == (UNREADABLE, "")
    assert method in result.stderr


@pytest.mark.parametrize("arguments", [["sit"], ["sit", "--replay"], ["sit", "--client", "K1", "--colour"], ["weave"]])
def test_wrong_usage(run, arguments):
    assert run(*arguments).exit_code == UNREADABLE


@pytest.mark.parametrize("method", ["depth-first", "four-seasons"])
def test_another_bundled_method_reads_the_same_ledger(run, studio, method):
    document = json.loads(replay(run, studio, "K3", "--json", "--method", method).stdout)
    assert document["method"] == method
    assert document["category"] in document["probabilities"]


def test_the_installed_command_keeps_standard_output_for_the_object(studio):
    program = "from tenter.cli.main import run; run()"
    arguments = ["sit", "--replay", "judgements.csv", "--kit", "drapes.csv", "--client", "K3", "--json"]
    command = [sys.executable, "-W", "error", "-c", program, *arguments]
    done = subprocess.run(command, cwd=studio, capture_output=True, text=True, check=True, timeout=120)
    assert json.loads(done.stdout)["client"] == "K3"
    assert done.stderr == ""
