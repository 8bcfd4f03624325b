import re
import tomllib
from dataclasses import asdict
from pathlib import Path

import pytest

from tenter.errors import TenterError, UnreadableInput
from tenter.light.thresholds import PRACTICE, LightThresholds, read_thresholds


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


def test_the_least_is_below_the_most():
    with pytest.raises(TenterError, match="lower"):
        LightThresholds(least_lux=5000)
