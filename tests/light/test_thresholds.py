import re
import tomllib
from dataclasses import asdict
from pathlib import Path

import pytest

from tenter.errors import TenterError, UnreadableInput
from tenter.light.standards import standards_on
from tenter.light.threshold_terms import THRESHOLD_TERMS, own_threshold_lines
from tenter.light.thresholds import PRACTICE, LightThresholds, kept_thresholds, read_thresholds


def test_the_thresholds_of_practice():
    # The studio's practice, common practice, no source: 1000 lx, Ra 95, R9 80, Duv 0.005, cheeks within 10 %.
    assert (PRACTICE.least_lux, PRACTICE.least_ra, PRACTICE.least_r9) == (1000, 95, 80)
    assert (PRACTICE.most_duv, PRACTICE.most_cheek_difference) == (0.005, 0.10)


def test_the_document_has_every_threshold():
    text = (Path(__file__).parents[2] / "docs" / "how-to" / "light.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `((?:least|most|drift)_\w+)` \| ([\d.]+) \|", text, flags=re.MULTILINE)
    assert {name: float(value) for name, value in rows} == asdict(PRACTICE)
    [example] = re.findall(r"^```toml\n(.*?)^```", text, flags=re.MULTILINE | re.DOTALL)
    assert LightThresholds(**tomllib.loads(example)) == LightThresholds(least_lux=1500, least_rf=90)


def test_a_file_changes_what_it_names(tmp_path):
    path = tmp_path / "own.toml"
    path.write_text("# ours\nleast_lux = 1500\nleast_rf = 90\n")
    found = read_thresholds(path)
    assert found == LightThresholds(least_lux=1500, least_rf=90)
    assert found.least_ra == PRACTICE.least_ra


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("least_lux = ", "not TOML"),
        ("brightness = 3", "no threshold 'brightness'"),
        ('least_lux = "much"', "threshold least_lux is a finite number"),
        ("least_ra = 120", "from 0 to 100"),
        ("least_cct = 9000", "least_cct is 9000 and most_cct is 6800"),
    ],
)
def test_a_faulty_file_is_refused(tmp_path, text, said):
    path = tmp_path / "own.toml"
    path.write_text(text)
    with pytest.raises(UnreadableInput, match=said) as caught:
        read_thresholds(path)
    assert "least_cct" in caught.value.remedy


@pytest.mark.parametrize("document", [[], "much", {"least_lux": None}, {3: 4}])
def test_what_is_no_thresholds_is_refused(document):
    with pytest.raises(UnreadableInput, match="row 1"):
        kept_thresholds(document, "row 1")


def test_every_threshold_has_a_name_and_says_where_its_default_comes_from():
    assert [term.name for term in THRESHOLD_TERMS] == list(asdict(PRACTICE))
    assert all(str(term.title) and str(term.basis).endswith(".") for term in THRESHOLD_TERMS)
    lux = [term for term in THRESHOLD_TERMS if term.of == "lux"]
    assert {str(term.basis) for term in lux} == {"ISO 3668:2017: 1000 to 4000 lx."}
    assert (lux[0].said(PRACTICE.least_lux), lux[1].said(PRACTICE.most_lux)) == ("1000 lx", "4000 lx")
    assert any("ISO 3668:2017" in one and "1000 to 4000 lx" in one for one in standards_on("lux"))


def test_only_what_differs_from_practice_is_ones_own():
    assert own_threshold_lines(LightThresholds(least_ra=95)) == []
    assert own_threshold_lines(LightThresholds(most_cheek_difference=0.07, most_duv=0.004)) == [
        "Darker cheek below the brighter, at most: 7 %; Tenter's default is 10 %.",
        "Tint (Duv), either way, at most: 0.004; Tenter's default is 0.005.",
    ]


def test_the_least_is_below_the_most():
    with pytest.raises(TenterError, match="lower"):
        LightThresholds(least_lux=5000)
