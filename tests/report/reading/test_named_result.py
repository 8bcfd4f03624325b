"""Two papers where the consultant names another result: the client's carries hers, the studio's both."""

from dataclasses import replace

import pytest

from tenter import ConsultantVerdict, Sitting
from tenter.consultation.words.odds_words import OddsWord
from tenter.report.reading.content import reading_sheet
from tenter.report.reading.named_result import BY_JUDGEMENT, Paper
from tenter.report.reading.one_screen import one_screen
from tests.report.reading.test_pdf import read, squeezed, write

REASON = "Muted rusts evened the jaw each time"


@pytest.fixture(scope="module")
def named(kit, bundled, demo_judgements):
    sitting = Sitting(kit, bundled, seed=7).record_all(demo_judgements["K5"])
    sitting.record(ConsultantVerdict("warm autumn", note=REASON))
    return sitting


def test_the_clients_paper_carries_hers_alone(named, card, tmp_path):
    sheet = reading_sheet(card(), named, Paper.CLIENT)
    write(sheet, tmp_path / "sheet.pdf")
    pages = [squeezed(page) for page in read(tmp_path / "sheet.pdf")[0]]
    assert all(squeezed(words) in pages[0] for words in ("Warm autumn", BY_JUDGEMENT, f"{REASON}."))
    assert not any(squeezed(words) in page for words in ("warm spring", sheet.labels.why) for page in pages[:2])
    assert not any(f"{word}," in page for word in OddsWord for page in pages[:1])
    assert "%" not in pages[0]
    autumn = {drape.id for drape in named.kit.drapes if "autumn" in drape.group.lower()}
    assert sheet.wearing.first
    assert {line.swatch.id for line in sheet.wearing.first} <= {
        line.swatch.id for key in ("best", "yes") for line in sheet.wearing.section(key).lines
    }
    assert autumn & {line.swatch.id for line in sheet.wearing.first}


def test_the_studios_paper_carries_both(named, card, tmp_path):
    sheet = reading_sheet(card(), named)
    write(sheet, tmp_path / "sheet.pdf")
    first = squeezed(read(tmp_path / "sheet.pdf")[0][0])
    assert all(squeezed(w) in first for w in ("Warm spring", sheet.finding.odds, "judgement: warm autumn", REASON))
    plain = reading_sheet(card(), without(named))
    assert replace(sheet.finding, named=()) == plain.finding
    assert (sheet.why, sheet.wearing) == (plain.why, plain.wearing)


def without(sitting):
    """Return a sitting again, with nothing named."""
    again = Sitting(sitting.kit, sitting.method, seed=7)
    return again.record_all(e.judgement for e in sitting.entries if not isinstance(e.judgement, ConsultantVerdict))


def test_a_minors_result_stays_provisional_and_a_reason_may_be_left_out(named, card):
    again = without(named)
    again.record(ConsultantVerdict("deep winter"))
    sheet = reading_sheet(card(minor=True), again, Paper.CLIENT)
    assert [line.text for line in sheet.finding.statements] == [
        "This reading is provisional: it is looked at again in adulthood."
    ]
    assert sheet.finding.lead.text.startswith("Leading trait: deep.")
    [line] = reading_sheet(card(), again).finding.named
    assert line.text == "The consultant’s judgement: deep winter."


def test_without_another_name_both_papers_are_one(named, card):
    again = without(named)
    assert reading_sheet(card(), again, Paper.CLIENT) == reading_sheet(card(), again, Paper.STUDIO)
    again.record(ConsultantVerdict("warm spring", note="As the odds have it."))
    shown = one_screen(card(), again, [])
    assert shown.handed is shown.sheet
    assert shown.sheet.finding.named == ()
    assert one_screen(card(), named, []).handed.finding.headline == "Warm autumn"
