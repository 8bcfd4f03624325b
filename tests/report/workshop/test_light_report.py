"""The light report: the verdict first, then numbers, kit and skin, standards; and the finished file."""

import re

import numpy as np
import pypdfium2
import pytest

from tenter.colorimetry.illuminants import illuminant_power
from tenter.light.check import check_light
from tenter.light.face_lux import face_lux_from
from tenter.light.lamp_spectrum import LampSpectrum
from tenter.light.light_drift import light_drift
from tenter.light.light_values import meter_values_from, values_of_spectrum
from tenter.light.on_kit import light_on_kit
from tenter.report.workshop.light_report import ReportedLight, light_report
from tenter.report.workshop.workshop_paper import workshop_pdf
from tenter.report.workshop_pictures.light_picture import light_shown
from tests.support.tag_tree import smallest_letter, tags

DAY = "2026-11-29"


def reported(illuminant, lux, kit=None, method=None, before=None):
    spectrum = LampSpectrum(np.array(illuminant_power(illuminant), dtype=float), f"lamps/{illuminant}.csv")
    values = values_of_spectrum(spectrum).with_face(face_lux_from(lux))
    return ReportedLight(
        check=check_light(values),
        changes=() if before is None else light_drift(before.check.values, values),
        effect=None if kit is None else light_on_kit(spectrum.power, kit, method),
        kit=kit,
        shown=light_shown(spectrum.power, values),
    )


@pytest.fixture(scope="module")
def good():
    return reported("D55", "cheek_left=1200,cheek_right=1150")


@pytest.fixture(scope="module")
def poor(demo_kit, bundled, good):
    return reported("LED-B3", "cheek_left=1200,cheek_right=900", demo_kit, bundled, good)


@pytest.fixture(scope="module")
def paper(poor):
    return light_report(poor, DAY, "The North Room")


def section(paper, title):
    return next(one for one in paper.sections if one.title == title)


def test_the_verdict_is_first_then_numbers_then_kit_and_skin_then_standards(paper):
    assert paper.headline == "Don't drape in this light yet"
    assert paper.about == "From its spectrum, LED-B3.csv"
    assert [one.title for one in paper.sections] == [
        *("To correct", "In order", "Values", "Hues in this light", "Since last time"),
        *("Cloths that this light changes most", "Pairs", "Skin", "What standards ask"),
    ]


def test_each_thing_to_correct_has_what_was_found_what_is_wanted_and_what_to_do(paper, poor):
    rows = section(paper, "To correct").rows
    assert len(rows) == len(poor.check.to_fix) == 4
    for row, criterion in zip(rows, poor.check.to_fix, strict=True):
        assert row.head == f"{criterion.name}: {criterion.found}"
        assert row.lines == (f"Wanted: {criterion.asked}.", criterion.fix)


def test_a_good_light_passes_and_nothing_is_to_correct(good):
    said = light_report(good, DAY)
    assert said.headline == "This light is good for draping"
    assert "To correct" not in [one.title for one in said.sections]


def test_a_cloth_is_shown_by_day_and_in_this_light(paper, poor):
    rows = section(paper, "Cloths that this light changes most").rows
    assert [row.head.split()[0] for row in rows] == [shift.name for shift in poor.effect.cloths[:6]]
    for row in rows:
        by_day, here = row.swatches
        assert by_day.words.endswith("by daylight")
        assert by_day.hex != here.hex


def test_what_changed_too_much_is_said_once(paper):
    lines = section(paper, "Since last time").lines
    assert sum("warm up for 15 minutes" in line for line in lines) == 1
    assert lines[-1].startswith("More than a lamp should change: colour temperature, tint, Ra and R9.")


def test_a_meter_has_no_picture_and_says_what_is_still_to_measure():
    said = light_report(ReportedLight(check_light(meter_values_from("cct=5600,ra=97"))), DAY)
    assert said.headline == "Nothing that was measured speaks against this light"
    assert said.about == "From a meter’s values"
    assert all(one.picture is None for one in said.sections)
    assert any(
        line.startswith("Brightness on the face: not measured") for line in section(said, "Still to measure").lines
    )


def test_the_finished_file(paper, tmp_path):
    document, notes = workshop_pdf(paper)
    (tmp_path / "light.pdf").write_bytes(document)
    assert notes == ()
    with pypdfium2.PdfDocument(document) as pdf:
        texts = [page.get_textpage().get_text_range() for page in pdf]
        assert pdf.is_tagged()
        assert pdf.get_metadata_dict()["Title"] == "The light, 29 November 2026"
    assert len(texts) == 3
    squeezed = re.sub(r"[\s\u200b\u0002\ufffe-]", "", "".join(texts)).replace("’", "'")
    assert "Don'tdrapeinthislightyet" in squeezed
    for one in paper.sections:
        for text in (one.title, *one.lines, *(words for row in one.rows for words in (row.head, *row.lines))):
            assert re.sub(r"[\s-]", "", text).replace("’", "'") in squeezed, text
    pictures = [tag.alt for page in tags(tmp_path / "light.pdf") for tag in page if tag.kind == "Figure"]
    assert any(alt.startswith("The spectrum of a light") for alt in pictures)
    assert "" not in pictures
    assert smallest_letter(tmp_path / "light.pdf") >= 7.9


def test_the_sentences_about_hues_stay_on_one_page_with_their_heading():
    document, _notes = workshop_pdf(light_report(reported("FL2", "cheek_left=1200,cheek_right=1150"), DAY))
    with pypdfium2.PdfDocument(document) as pdf:
        said = [page.get_textpage().get_text_range() for page in pdf]
    assert [text.count("turns toward") + text.count("Looks ") for text in said if "turns toward" in text] == [9]
    assert [text.split("Hues in this light")[1].count("Looks ") > 0 for text in said if "turns toward" in text] == [
        True
    ]
