"""`tenter kit readings`: readings kept, shown and compared, as docs/how-to/kit-readings.md has it."""

import json
import re
import shlex
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tenter import Kit
from tenter.cli.main import app
from tenter.cli.studio.readings import UltravioletOption
from tenter.consultation.readings.cloth_reading import Ultraviolet
from tenter.consultation.readings.csv_readings import READING_COLUMNS
from tenter.consultation.record.ledger import demo_ledger
from tenter.consultation.record.ledger_writing import write_ledger

HOW_TO = (Path(__file__).parents[3] / "docs" / "how-to" / "kit-readings.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w+) ?([\w.-]*)\n(.*?)^```", HOW_TO, re.MULTILINE | re.DOTALL)
ROWS = "cloth,place,L,a,b,illuminant,observer\nD001,left,62,41,29,D65,10\nD001,right,62.2,41,29,D65,10\n"


def run(*words):
    return CliRunner().invoke(app, ["kit", "readings", *map(str, words)])


DAYS = {"K1": "2026-04-20", "K2": "2026-05-12", "K3": "2026-06-30", "K4": "2026-09-02", "K5": "2026-10-14"}


@pytest.fixture
def studio(tmp_path, monkeypatch):
    """A folder with the files of the how-to, and the demo studio's kit and judgements with days."""
    monkeypatch.chdir(tmp_path)
    demo = files("tenter.demo_studio")
    Path("drapes.csv").write_text((demo / "drapes.csv").read_text(encoding="utf-8"), encoding="utf-8")
    kit = Kit.demo()
    write_ledger("judgements.csv", [replace(row, day=DAYS.get(row.client, "")) for row in demo_ledger(kit)])
    for language, name, text in BLOCKS:
        if language == "csv":
            Path(name).write_text(text, encoding="utf-8")
    Path("new.csv").write_text(ROWS, encoding="utf-8")
    return tmp_path


def test_the_commands_of_the_how_to_work_and_print_what_it_shows(studio):
    shown, count = "", 0
    for language, _, text in BLOCKS:
        if language == "sh":
            for line in text.splitlines():
                done = CliRunner().invoke(app, shlex.split(line)[1:])
                assert done.exit_code == 0, (line, done.output)
                shown, count = done.stdout, count + 1
        elif language == "text":
            assert shown == text
    assert count > 3
    assert Kit.read("kit-in-may.csv").lab[0].tolist() == [82.1, 15.73, 25.48]


def test_the_columns_and_words_of_the_how_to_are_those_of_the_reader():
    [listed] = re.findall(r"^The columns of a CSV are ([^;]+);", HOW_TO, re.MULTILINE)
    assert re.findall(r"`(\w+)`", listed) == list(READING_COLUMNS)
    assert [str(word) for word in UltravioletOption] == [str(word) for word in Ultraviolet]


def test_readings_are_added_as_one_json_object(studio):
    done = json.loads(run("add", "new.csv", "--day", "2026-05-01", "--json").stdout)
    assert (done["book"], done["readings"], len(done["added"]), done["already"]) == ("kit.readings", 2, 2, [])
    [cloth] = done["cloths"]
    assert cloth["lab"] == pytest.approx([62.1, 41, 29])
    assert (cloth["cloth"], cloth["day"], cloth["readings"], cloth["wide"]) == ("D001", "2026-05-01", 2, False)
    again = json.loads(run("add", "new.csv", "--day", "2026-05-01", "--json").stdout)
    assert (again["readings"], again["added"], len(again["already"])) == (2, [], 2)
    assert again["cloths"] == done["cloths"]


def test_the_same_reading_twice_is_said(studio):
    run("add", "new.csv", "--day", "2026-05-01")
    done = run("add", "new.csv", "--day", "2026-05-01")
    assert done.stdout.splitlines()[-2:] == [
        "No reading added. kit.readings has 2 readings of 1 cloth.",
        "2 readings were in it already and were not added again: D001 (row 2) and D001 (row 3).",
    ]


def test_a_faulty_file_is_refused_and_nothing_of_it_is_kept(studio):
    run("add", "new.csv")
    before = Path("kit.readings").read_bytes()
    Path("bad.csv").write_text(ROWS + "D002,left,162,41,29,D65,10\n", encoding="utf-8")
    done = run("add", "bad.csv")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "row 4, column L: L* is a finite number from 0 to 115; got 162.0" in done.stderr
    assert Path("kit.readings").read_bytes() == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add", "none.csv"), "there is no such file"),
        (("add", "new.csv", "--day", "soon"), "'soon' is no day"),
        (("add", "new.csv", "--illuminant", "D65"), "--illuminant and --observer belong together"),
        (("add", "new.csv", "--folds", "0"), "the number of folds is a whole number from 1 to 64"),
        (("show", "none.readings"), "there is no such file"),
        (("show", "new.csv"), "new.csv: line 1"),
        (("wash", "D001", "--kind", " "), "the kind of a wash is a text"),
    ],
)
def test_what_cannot_be_done_is_said_with_exit_code_2(studio, words, said):
    done = run(*words)
    assert (done.exit_code, done.stdout) == (2, "")
    assert said in done.stderr
    assert not Path("kit.readings").exists()


def test_a_book_is_shown_with_its_washes_under_the_light_that_is_asked_for(studio):
    run("add", "new.csv", "--day", "2026-05-01", "--instrument", "spectro 1")
    run("wash", "D001", "--kind", "hand", "--day", "2026-06-01")
    done = run("show", "kit.readings", "--every")
    assert done.stdout == (
        "D001, 2026-05-01: L* 62.1, a* 41.0, b* 29.0 (D65/10°), 2 readings, spread ΔE00 0.1\n"
        "  Lab 62.00 41.00 29.00 (D65/10°), spectro 1, left [new.csv, row 2]\n"
        "  Lab 62.20 41.00 29.00 (D65/10°), spectro 1, right [new.csv, row 3]\n"
        "Washes:\n  D001, 2026-06-01: hand\n"
    )
    found = json.loads(run("show", "kit.readings", "--illuminant", "A", "--observer", "2", "--json").stdout)
    assert (found["illuminant"], found["observer"], len(found["readings"])) == ("A", "2", 2)
    assert found["cloths"][0]["basis"] == ["predicted, not measured"]
    assert found["washes"] == [{"cloth": "D001", "day": "2026-06-01", "kind": "hand", "note": ""}]
    assert run("show", "kit.readings", "--cloth", "D009").exit_code == 2


def test_remarks_go_to_standard_error(studio):
    Path("D001.txt").write_text(
        'CGATS.17\nCREATED "11/12/2026"\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\n'
        "END_DATA_FORMAT\nNUMBER_OF_SETS 1\nBEGIN_DATA\nD001 50 1 2\nEND_DATA\n"
    )
    done = run("add", "D001.txt", "--illuminant", "D65", "--observer", "10", "--day", "2026-05-01", "--json")
    assert "'11/12/2026' was not understood" in done.stderr
    assert json.loads(done.stdout)["added"][0]["day"] == "2026-05-01"


def test_a_day_that_has_not_come_is_remarked_on(studio):
    done = run("add", "new.csv", "--day", "2999-05-01")
    assert done.exit_code == 0
    assert done.stderr == "A day that has not come yet: D001 (2999-05-01). Check it.\n"
    assert run("add", "new.csv", "--day", "2999-05-01").stderr == ""  # nothing was added


def test_a_wash_of_a_cloth_that_was_never_read_is_noted_and_remarked_on(studio):
    run("add", "new.csv", "--day", "2026-05-01")
    done = run("wash", "D001", "D01", "D001", "--kind", "hand", "--day", "2026-06-01")
    assert done.stdout == "D001, 2026-06-01: hand\nD01, 2026-06-01: hand\n"
    assert done.stderr.startswith("kit.readings has no reading of D01. If a number is wrong")


def test_sittings_without_a_day_are_not_said_to_be_before_or_since(studio):
    run("add", "kit-may.csv")
    run("add", "kit-november.csv")
    write_ledger("undated.csv", demo_ledger(Kit.demo()))
    said = run("drift", "--judgements", "undated.csv").stdout
    assert "No sitting with a day used it since. 3 sittings without a day used it, before or since." in said


def test_a_kit_file_on_a_day_is_not_written_over(studio):
    run("add", "new.csv", "--day", "2026-05-01")
    assert run("kit", "kit.readings", "--on", "2026-04-30", "--out", "kit.csv").stdout.startswith(
        "kit.csv: 0 of 96 cloths"
    )
    assert run("kit", "kit.readings", "--on", "2026-05-02", "--out", "kit.csv").exit_code == 2
    done = json.loads(run("kit", "--on", "2026-05-02", "--out", "kit.csv", "--replace", "--json").stdout)
    assert done == {"out": "kit.csv", "day": "2026-05-02", "from_readings": {"D001": "2026-05-01"}, "predicted": []}
    demo = Kit.demo()
    read = Kit.read("kit.csv")
    assert read.drapes == demo.drapes
    assert read.lab[0] == pytest.approx([62.1, 41, 29])
    assert (read.lab[1:] == demo.lab[1:]).all()


def test_a_drift_is_one_json_object(studio):
    for name in ("kit-may.csv", "kit-november.csv"):
        run("add", name)
    found = json.loads(run("drift", "--judgements", "judgements.csv", "--json").stdout)
    assert [cloth["cloth"] for cloth in found["cloths"]] == ["D061", "D001"]
    faded = found["cloths"][0]
    assert (faded["direction"], faded["drifted"]) == ("got 5 lighter and lost 5 chroma", True)
    assert (faded["grey_scale"]["step"], faded["trend"], faded["pairs"]) == ("2", None, [["D061", "D062"]])
    assert faded["sittings_since"] == [{"sitting": "K4", "day": "2026-09-02"}, {"sitting": "K5", "day": "2026-10-14"}]
    assert (faded["baseline"]["day"], faded["latest"]["readings"]) == ("2026-05-04", 2)
    [pair] = found["pairs"]
    assert (pair["test"], pair["parted"]) == ("undertone-red", ["lightness", "chroma"])
    assert (found["once"], found["not_in_kit"], found["drifted_from_delta_e_2000"]) == ([], [], 2)


def test_a_trend_is_said_with_its_interval_and_when_the_cloth_will_have_drifted(studio):
    rows = "".join(f"D001,{2023 + year}-05-01,60,30,{20 + 0.4 * year + jitter},D65,10\n" for year, jitter in
                   enumerate((0, 0.05, -0.05, 0)))  # fmt: skip
    Path("years.csv").write_text(f"cloth,day,L,a,b,illuminant,observer\n{rows}", encoding="utf-8")
    run("add", "years.csv")
    said = run("drift").stdout
    assert "D001 (Orchard Peach): ΔE00 0.7 since 2023-05-01, no change that an eye would see. Grey scale 4-5." in said
    assert re.search(r"Per year, by 4 days of readings: ΔE00 0\.2 \(90 % interval 0\.2 to 0\.3\)", said)
    assert re.search(r"b\* \+0\.4 \(90 % interval 0\.3 to 0\.5\)\. It reaches ΔE00 2 in about [56] years\.", said)
    assert "Take it out" not in said
    assert "sitting" not in said
    trend = json.loads(run("drift", "--json").stdout)["cloths"][0]["trend"]
    assert trend["days"] == 4
    assert trend["b"]["interval_90"][0] < trend["b"]["per_year"] < trend["b"]["interval_90"][1]


def test_what_cannot_be_compared_is_said(studio):
    run("add", "new.csv", "--day", "2026-05-01")
    assert run("drift").stdout == (
        "No cloth has readings of two days, so nothing can be compared yet.\nRead on one day alone: D001.\n"
    )
    Path("other.csv").write_text(ROWS.replace("D001", "S1"), encoding="utf-8")
    for day in ("2026-05-01", "2026-06-01"):
        run("add", "other.csv", "--day", day)
    said = run("drift", "--judgements", "judgements.csv").stdout.splitlines()
    assert said == [
        "S1: ΔE00 0.0 since 2026-05-01, no change that an eye would see. Grey scale 5.",
        "  No sitting with a day used it since.",
        "Read on one day alone: D001.",
        "Not in the kit, so that no pair of it is known: S1.",
    ]
