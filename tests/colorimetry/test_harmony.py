"""Two-colour harmony against a second implementation, and its laws."""

import csv
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.harmony import two_colour_harmony
from tenter.colorimetry.spaces import srgb_to_lab

_LINES = (Path(__file__).parents[1] / "data" / "two_colour_harmony.csv").read_text(encoding="utf-8").splitlines()
EXAMPLES = list(csv.DictReader(line for line in _LINES if not line.startswith("# ")))


def lab_of(code):
    return srgb_to_lab([int(code[i : i + 2], 16) / 255 for i in (1, 3, 5)])


# Computed by another program from the formulae of Ou & Luo (2006), to four decimals.
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: f"{e['srgb1']}-{e['srgb2']}")
def test_harmony_agrees_with_a_second_implementation(example):
    found = two_colour_harmony(lab_of(example["srgb1"]), lab_of(example["srgb2"]))
    assert_allclose(found, float(example["CH"]), rtol=0, atol=2e-3)  # the second program's own white point


def test_the_order_of_two_colours_does_not_matter():
    rng = np.random.default_rng(4)
    one, other = (rng.uniform((15, -50, -50), (95, 50, 50), (50, 3)) for _ in range(2))
    assert_allclose(two_colour_harmony(one, other), two_colour_harmony(other, one), rtol=0, atol=1e-12)


def test_equal_hue_and_chroma_is_more_harmonious_than_opposite_hues():
    near = two_colour_harmony((60, 20, 0), (40, 20, 0))
    assert near > two_colour_harmony((60, 20, 0), (40, -20, 0))


def test_the_reported_range_holds():
    rng = np.random.default_rng(5)
    one, other = (rng.uniform((10, -60, -60), (98, 60, 60), (4000, 3)) for _ in range(2))
    found = two_colour_harmony(one, other)
    assert found.min() > -1.5
    assert found.max() < 1.6
