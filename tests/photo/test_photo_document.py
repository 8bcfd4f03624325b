"""docs/photo.md repeats figures and names that the program owns: they are compared here."""

import importlib.util
from pathlib import Path

import pytest

from tenter.photo.gate import Code
from tenter.photo.loading import FORMATS, MAX_WORKING_SIDE
from tenter.photo.measure import ITA_SHADING_DEGREES
from tenter.photo.skin import skin_reflectances

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "photo.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def bench():
    spec = importlib.util.spec_from_file_location("bench_photo", ROOT / "bench" / "bench_photo.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_quotes_the_benchs_figures(bench, portraits, measured):
    rows = [row for file, result in measured.items() for row in bench.rows_of(portraits[file].truth, result)]
    quoted = bench.line("all", rows)
    assert quoted in PAGE, f"run ./run bench photo and put its table into docs/photo.md; it now says\n{quoted}"


def test_the_page_names_every_reason_and_nothing_else():
    assert all(f"`{code}`" in PAGE for code in Code)


def test_the_page_repeats_the_programs_numbers():
    assert f"{len(skin_reflectances())} measured skin spectra" in PAGE
    assert f"Beyond {MAX_WORKING_SIDE} pixels" in PAGE
    assert f"±{ITA_SHADING_DEGREES:.0f}°" in PAGE
    assert all(form in PAGE for form in FORMATS)
