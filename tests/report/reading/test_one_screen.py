"""The verdict's screen says what the sheet says, and what only the consultant needs."""

import pytest

from tenter import Method
from tenter.consultation.conventions.bundled import BUNDLED
from tenter.report.reading.content import reading_sheet
from tenter.report.reading.one_screen import one_screen
from tenter.report.words.wording import printed_percent

CLIENTS = ["K1", "K2", "K3", "K4", "K5"]


def screen(sitting, card, method="four-by-three"):
    return one_screen(card(), sitting, [Method.bundled(name) for name in BUNDLED if name != method])


@pytest.mark.parametrize("client", CLIENTS)
def test_screen_and_sheet_are_one_content(sitting_of, verdict_of, card, client):
    sitting, verdict = sitting_of(client), verdict_of(client)
    shown = screen(sitting, card)
    assert shown.sheet == reading_sheet(card(), sitting)
    assert [r.hold for r in shown.repeats] == [c.repeat for c in verdict.contradictions]
    assert [r.line for r in shown.repeats] == list(shown.sheet.why.contradictions)
    assert all(r.line.causes for r in shown.repeats)
    assert shown.settles == (verdict.settling_pair or ())


@pytest.mark.parametrize("client", CLIENTS)
def test_other_methods_are_read_in_words(sitting_of, card, client):
    sitting = sitting_of(client)
    told = screen(sitting, card).other_methods
    for line, name in zip(told, ("depth-first", "four-seasons"), strict=True):
        read = sitting.read_under(Method.bundled(name))
        if read.category is None:
            assert line.text.endswith("cannot tell.")
            assert not any(c in line.text for c in read.probabilities)
        else:
            assert f"{read.category}, {read.odds_word}, {printed_percent(read.probability)}" in line.text


def test_some_invented_client_cannot_be_told_under_another_method(sitting_of, card):
    told = [line.text for client in CLIENTS for line in screen(sitting_of(client), card).other_methods]
    assert any("cannot tell" in line for line in told)
    assert any("cannot tell" not in line for line in told)


def test_each_phase_that_had_entries_is_left_out_once(sitting_of, verdict_of, card):
    lines = screen(sitting_of("K5"), card).without_phase
    assert len(lines) == len(verdict_of("K5").without_phase)
    for line, (category, p) in zip(lines, verdict_of("K5").without_phase.values(), strict=True):
        assert line.text.endswith(f"{category}, {printed_percent(p)}")
        assert ("still" in line.text) == (category == verdict_of("K5").category)
