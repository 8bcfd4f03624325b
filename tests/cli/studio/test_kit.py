"""`tenter kit`: the audit in words and as one JSON object, and the exit codes."""

import json
import re
from importlib.resources import files

import pytest
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.consultation.laid_out.audit import audit

DONE, UNREADABLE = 0, 2


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, [str(a) for a in arguments], catch_exceptions=False)


@pytest.fixture
def kit_file(tmp_path):
    path = tmp_path / "drapes.csv"
    path.write_bytes((files("tenter.demo_studio") / "drapes.csv").read_bytes())
    return path


def in_one_line(text):
    return " ".join(text.split())


def test_the_audit_as_one_json_object(run, kit_file, demo_kit, bundled):
    result = run("kit", "audit", "--kit", kit_file, "--json")
    assert (result.exit_code, result.stderr, result.stdout.count("\n")) == (DONE, "", 1)
    document, found = json.loads(result.stdout), audit(demo_kit, bundled)
    assert document["cloths"] == 96
    assert document["method"] == "four-by-three"
    assert document["converted_to_bench"] is False
    assert [f["text"] for f in document["findings"]] == [f.text for f in found.findings]
    assert [g["words"] for g in document["gaps"]] == [g.words for g in found.gaps]
    assert document["coverage"]["categories"] == found.coverage.categories
    pairs = [p for t in document["tests"] for p in t["pairs"]]
    assert {p["first"] for p in pairs if "brightener" in p["mixed"]} == {"D086"}
    assert len(document["clean_pairs"]) == 9
    assert [on["skin"] for on in pairs[0]["on_skins"]] == ["very light", "intermediate", "brown"]
    assert {c["cloth"] for c in document["reach"] if c["decides_nothing"]} == {
        *("D013", "D015", "D024", "D058", "D066", "D079"),
    }


def test_the_demo_kit_is_audited_when_none_is_given(run, kit_file):
    assert run("kit", "audit", "--json").stdout == run("kit", "audit", "--kit", kit_file, "--json").stdout


def test_the_audit_in_words(run, demo_kit, bundled):
    result = run("kit", "audit")
    assert (result.exit_code, result.stderr) == (DONE, "")
    said, found = in_one_line(result.stdout), audit(demo_kit, bundled)
    headings = ("96 cloths", "Cloths by hue", "Widest gaps: 3", "Test pairs", "Clean pairs", "To look at: ")
    for heading in (*headings, "Mixed: 4 of 22 pairs", "On the face", "Decide nothing: 6"):
        assert heading in said
    for gap in found.gaps:
        assert gap.words in said
    for words in ("mixed: clarity", "D095 D096", "In each category: light spring"):
        assert words in said
    assert all(f.kind in said for f in found.findings)


def test_what_to_buy_and_the_best_kit_as_json_and_in_words(run):
    document = json.loads(run("kit", "audit", "--to-buy", "--best", 12, "--json").stdout)
    assert [gap["words"] for gap in document["gap_gains"]] == [gap["words"] for gap in document["gaps"]]
    assert document["nats_per_comparison"] > 0.1
    assert all(cloth["gain"]["is_sure"] and cloth["gain"]["low"] > 0 for cloth in document["to_buy"])
    assert len(document["best_kit"]["cloths"]) == 12
    result = run("kit", "audit", "--to-buy", "--best", 12)
    assert (result.exit_code, result.stderr) == (DONE, "")
    said = in_one_line(result.stdout)
    assert f"To buy: {len(document['to_buy'])}" in said
    for cloth in document["to_buy"]:
        assert f"{cloth['words']} near L* {cloth['lab'][0]:.0f}" in said
    for gap in document["gap_gains"]:
        told = "adds" if gap["is_sure"] else "not shown to help the verdict"
        assert f"The gap “{gap['words']}”: {told}" in said
    assert "The best kit of 12 " + " ".join(document["best_kit"]["cloths"]) in said


def test_neither_is_worked_out_unless_it_is_asked_for(run):
    document = json.loads(run("kit", "audit", "--json").stdout)
    assert not {"to_buy", "gap_gains", "best_kit"} & set(document)


def test_a_best_kit_of_more_cloths_than_there_are_is_refused(run):
    result = run("kit", "audit", "--best", 200)
    assert (result.exit_code, result.stdout) == (UNREADABLE, "")
    assert "from 2 to 93" in result.stderr


def test_names_are_printed_as_they_stand(run, kit_file):
    rows = kit_file.read_text(encoding="utf-8").replace("Lamp Black", "Lamp [red] Black")
    double = "D097,Second [bold],neutral,dark,15.7,0.4,-0.7,D65,10,,,,,\n"
    kit_file.write_text(rows.rstrip("\n") + "\n" + double, encoding="utf-8")
    said = in_one_line(run("kit", "audit", "--kit", kit_file).stdout)
    assert "Lamp [red] Black (D092) and Second [bold] (D097)" in said


def test_a_kit_of_one_cloth(run, kit_file):
    kit_file.write_text("id,name,L,a,b,illuminant,observer\nA,,50,20,10,D65,10\n", encoding="utf-8")
    result = run("kit", "audit", "--kit", kit_file)
    assert result.exit_code == DONE
    assert "Test pairs" not in result.stdout
    assert "No clean pair tests undertone, depth or clarity" in in_one_line(result.stdout)


@pytest.mark.parametrize("command", ["show", "audit"])
@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (lambda path: path.unlink(), "no such file"),
        (lambda path: path.write_text("id;name\n"), "missing column"),
        (lambda path: path.write_bytes(b"\xff\xfe\x00"), "UTF-8"),
    ],
)
def test_an_unreadable_kit(run, kit_file, command, damage, words):
    damage(kit_file)
    result = run("kit", command, "--kit", kit_file, "--json")
    assert (result.exit_code, result.stdout) == (UNREADABLE, "")
    assert words in result.stderr


def test_another_method_sees_other_categories(run):
    document = json.loads(run("kit", "audit", "--method", "four-seasons", "--json").stdout)
    assert list(document["coverage"]["categories"]) == ["spring", "summer", "autumn", "winter"]


def test_a_kit_of_one_cloth_is_counted_as_one(tmp_path):
    kit = tmp_path / "one.csv"
    kit.write_text("id,name,hue_family,L,a,b,illuminant,observer\nA,Warm red,red,45,50,35,D65,10\n", encoding="utf-8")
    for command in ("show", "audit"):
        done = CliRunner().invoke(app, ["kit", command, "--kit", str(kit)])
        assert done.exit_code == 0, done.output
        assert "1 cloth" in done.output
        assert "1 cloths" not in done.output


def test_a_large_kit_prints_the_first_findings_of_a_kind_and_counts_the_others(run, kit_file):
    head, *rows = kit_file.read_text(encoding="utf-8").splitlines()
    copies = [f"{chr(97 + k)}{row}" for k in range(5) for row in rows]
    kit_file.write_text("\n".join([head, *copies]) + "\n", encoding="utf-8")
    said = run("kit", "audit", "--kit", kit_file).stdout
    document = json.loads(run("kit", "audit", "--kit", kit_file, "--json").stdout)
    doubles = sum(finding["kind"] == "near duplicate" for finding in document["findings"])
    assert f"… and {doubles - 10} more; --json has all." in in_one_line(said)
    assert len(said.splitlines()) < 400
    assert not re.search(r"\d%", said)
