"""Kit health: what it says of a kit with readings and without, and the finished file."""

import re

import pypdfium2
import pytest

from tenter.consultation.laid_out.audit import FindingKind, audit
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.worth.shopping import kit_worth
from tenter.errors import TenterError
from tenter.report.workshop import kit_health as health
from tenter.report.workshop.checked_kit import checked_kit
from tenter.report.workshop.kit_health import kit_health
from tenter.report.workshop.workshop_paper import workshop_pdf
from tests.support.tag_tree import smallest_letter, tags
from tests.support.workshop_kit import read_over_years

DAY = "2026-11-29"


@pytest.fixture(scope="module")
def paper(demo_kit, bundled):
    return kit_health(checked_kit(demo_kit, bundled, DAY, read_over_years()), "The North Room, Eddermouth")


def section(paper, title):
    return next(one for one in paper.sections if one.title == title)


def test_what_spoils_an_answer_today_comes_before_what_is_to_be_bought(paper):
    heads = [row.head for row in section(paper, "What to do first").rows]
    assert paper.headline == f"{len(heads)} things to do for your kit"
    assert heads[:3] == [
        "Take D001 and D061 out of the tests, or enter their new colours.",
        "Don’t hold D061 and D062 against each other.",
        "Read D003 again.",
    ]
    assert heads[3].startswith("Don’t rely on 4 mixed pairs: D086 and D087;")
    assert heads[-1].startswith("Look for a red (L* 47, a* 15, b* 4), ")


def test_the_kit_is_that_of_the_day(demo_kit, bundled):
    before = kit_health(checked_kit(demo_kit, bundled, "2025-12-01", read_over_years()))
    assert "Take D001" not in section(before, "What to do first").rows[0].head
    assert section(before, "Faded cloths").lines[0] == "Changed by less than ΔE00 2: D061."
    checked = checked_kit(demo_kit, bundled, DAY, read_over_years())
    assert checked.kit.lab[checked.kit.row("D061")] == pytest.approx((50.2, 38.3, 33.1))


def test_the_cloths_that_changed_most_are_drawn(paper):
    rows = section(paper, "Faded cloths").rows
    assert len(rows) == 2
    drawn = {row.head: row for row in rows}["Test Red W (D061)"]
    assert drawn.picture.words.startswith("ΔE00 ")
    assert "Got 4 lighter and lost 6 chroma." in drawn.picture.words
    assert drawn.swatches == ()
    assert "<title>How D061 has changed</title>" in drawn.picture.svg


def test_a_faded_cloth_is_shown_as_it_was_and_as_it_is(paper, demo_kit, bundled, monkeypatch):
    monkeypatch.setattr(health, "_MOST_DRAWN", 0)
    few = health.kit_health(checked_kit(demo_kit, bundled, DAY, read_over_years()))
    rows = {row.head.split(":")[0]: row for row in section(few, "Faded cloths").rows}
    red = rows["Test Red W (D061)"]
    assert red.lines == ("Got 4 lighter and lost 6 chroma. Grey scale 2-3.", "2 washes since.")
    assert [swatch.words for swatch in red.swatches] == ["D061 on 4 May 2025", "D061 on 4 November 2026"]
    assert red.swatches[0].hex != red.swatches[1].hex
    assert section(paper, "Pairs that no longer match").rows[0].lines == (
        "The pair now also differs in lightness and chroma.",
    )


def test_readings_that_spread_are_said_with_the_probable_cause(paper):
    (row,) = section(paper, "Readings to look at").rows
    assert row.head == "Buttermilk Crocus (D003), 4 May 2026"
    assert "pile direction" in row.lines[0]


def test_every_finding_of_the_audit_is_on_the_paper(demo_kit, bundled):
    said = kit_health(checked_kit(demo_kit, bundled, DAY))
    every = [text for one in said.sections for row in one.rows for text in (row.head, *row.lines)]
    gaps = audit(demo_kit, bundled).of_kind(FindingKind.GAP)
    assert len(gaps) == 3
    for finding in audit(demo_kit, bundled).findings:
        assert any(finding.text in text for text in every), finding.text
        assert finding.advice in every


def test_what_to_buy_says_its_gain_and_a_gap_that_does_not_help_says_so(demo_kit, bundled):
    checked = checked_kit(demo_kit, bundled, DAY, to_buy=True)
    said = kit_health(checked)
    worth = kit_worth(bench_of(demo_kit, bundled))
    rows = section(said, "What to buy").rows
    assert len(rows) == len(worth.to_buy) > 0
    for row, cloth in zip(rows, worth.to_buy, strict=True):
        assert row.head.lower().startswith(f"{cloth.words}, near l* {cloth.lab[0]:.0f}")
        assert f"It adds {cloth.gain.nats:.4f} nats ({cloth.gain.low:.4f} to" in row.lines[0]
        assert cloth.gain.is_sure
    for row, gap in zip(section(said, "What it covers").rows, worth.gaps, strict=True):
        assert (row.lines == ("A cloth there is not shown to help the verdict.",)) != gap.gain.is_sure
        assert any(line.startswith("Look for") for line in row.lines) == gap.gain.is_sure
    assert worth.to_buy[0].words in section(said, "What to do first").rows[-1].head


def test_without_readings_nothing_is_said_to_have_faded(demo_kit, bundled):
    said = kit_health(checked_kit(demo_kit, bundled, DAY))
    assert section(said, "Faded cloths").lines[0].startswith("No readings were given, so nobody knows")
    assert "Pairs that no longer match" not in [one.title for one in said.sections]


def test_what_is_no_day_is_refused(demo_kit, bundled):
    with pytest.raises(TenterError, match="is no day"):
        checked_kit(demo_kit, bundled, "soon")


def test_the_finished_file(paper, tmp_path):
    document, notes = workshop_pdf(paper)
    (tmp_path / "health.pdf").write_bytes(document)
    assert notes == ()
    assert document == workshop_pdf(paper)[0]
    with pypdfium2.PdfDocument(document) as pdf:
        texts = [page.get_textpage().get_text_range() for page in pdf]
        assert pdf.is_tagged()
        assert pdf.get_metadata_dict()["Title"] == "Kit health, 29 November 2026"
    assert len(texts) == 4
    # The foot says what the zigzag edge means where such a cloth is on the page: the optic white of a mixed pair.
    assert ["Zigzag edge" in text for text in texts] == ["Optic White" in text for text in texts]
    squeezed = re.sub(r"[\s\u200b\u0002\ufffe-]", "", "".join(texts)).replace("’", "'")
    for one in paper.sections:
        for text in (one.title, *one.lines, *(words for row in one.rows for words in (row.head, *row.lines))):
            assert re.sub(r"[\s-]", "", text).replace("’", "'") in squeezed, text
    found = [tag for page in tags(tmp_path / "health.pdf") for tag in page]
    pictures = [tag.alt for tag in found if tag.kind == "Figure"]
    assert section(paper, "What it covers").picture.words in pictures
    assert "" not in pictures
    assert next(tag.kind for tag in found if tag.kind.startswith("H")) == "H1"
    assert smallest_letter(tmp_path / "health.pdf") >= 7.9
