"""docs/studies/photo-study.md repeats figures and names that the program owns: they are compared here."""

import re
from pathlib import Path

from studies.photo.photo_accuracy import line
from studies.scenes.photo_truth import Truth, rows_of
from tenter.photo.camera.skin import skin_reflectances
from tenter.photo.cloth.colour import ClothCode
from tenter.photo.face.measure import ITA_SHADING_DEGREES
from tenter.photo.files.loading import FORMATS, MAX_WORKING_SIDE
from tenter.photo.reasons import Code

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs" / "studies" / "photo-study.md").read_text(encoding="utf-8")
FOR_PRACTITIONERS = (ROOT / "docs" / "how-to" / "photo.md").read_text(encoding="utf-8")


def test_the_page_quotes_the_figures_of_the_portraits(portraits, measured):
    rows = [row for file, result in measured.items() for row in rows_of(Truth.of_image(portraits[file].truth), result)]
    quoted = line("all", rows)
    assert quoted in PAGE, f"run ./run bench photo --folder tests/data/rendered_portraits; it now says\n{quoted}"


def test_the_page_names_every_reason_and_nothing_else():
    assert [code for code in (*Code, *ClothCode) if f"| `{code}` |" not in FOR_PRACTITIONERS] == []
    named = re.findall(r"^\| `(\w+)` \|", FOR_PRACTITIONERS, flags=re.MULTILINE)
    assert sorted(named) == sorted({*Code, *ClothCode})


def test_the_page_repeats_the_programs_numbers():
    assert f"{len(skin_reflectances())} measured skin spectra" in PAGE
    assert f"Beyond {MAX_WORKING_SIDE} pixels" in PAGE
    assert f"±{ITA_SHADING_DEGREES:.0f}°" in PAGE
    assert all(form in PAGE for form in FORMATS)
