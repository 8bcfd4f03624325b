"""The verdict's page: hidden until it is revealed, once and on the record; then the same content as the sheet."""

import html
import re
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client as Browser
from django.utils import timezone

from tenter import Answer, PairJudgement
from tenter.consultation.conventions.bundled import BUNDLED
from tenter.report.reading.content import reading_sheet
from tenter.web.models import Access, AuditEntry, Client, KitRecord, Sitting
from tenter.web.papers import handed
from tenter.web.store import sheets, store
from tests.support import entering
from tests.web.conftest import agreed, browser_of

INVENTED = ["Ilse Varnholt", "Marlon Adeyemi-Lind", "Pia Rosendal", "Georgi Amsel", "Maren Tolliver"]


@pytest.fixture
def hidden(owner):
    """A sitting with two entries, enough for a verdict, that has not been revealed."""
    client = agreed(Client.objects.create(owner=owner, name="Ada"))
    row = store.start_sitting(client, owner, KitRecord.objects.get(owner=owner), seed=3)
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT, 2), "a")
    entering.record_judgement(row, PairJudgement("D077", "D078", Answer.RIGHT, 2), "b")
    return row


def words(page) -> str:
    """Return a page's text as it reads."""
    return " ".join(html.unescape(page.text).split())


def test_before_the_reveal_it_only_offers_to_reveal(owner, hidden):
    with store.load(hidden) as live:
        told = live.verdict()
    for address in ("verdict", "evidence"):
        page = browser_of(owner).get(f"/sittings/{hidden.pk}/{address}")
        assert "Reveal the verdict" in page.text
        assert told.category not in page.text
        assert "%" not in page.text
    assert browser_of(owner).get(f"/sittings/{hidden.pk}/sheet.pdf").status_code == 409
    assert not AuditEntry.objects.filter(action="verdict revealed").exists()


def test_it_says_what_is_owed(owner, hidden):
    entering.undo(hidden, "c")
    entering.undo(hidden, "d")
    page = browser_of(owner).get(f"/sittings/{hidden.pk}/verdict")
    assert "still owed: undertone and clarity or depth" in page.text
    assert "Reveal the verdict" not in page.text
    answer = browser_of(owner).post(f"/sittings/{hidden.pk}/reveal")
    assert answer.status_code == 409
    assert "still owed" in answer.text
    hidden.refresh_from_db()
    assert hidden.revealed_at is None


def test_the_reveal_happens_once_and_is_on_the_record(owner, hidden):
    browser = browser_of(owner)
    page = browser.post(f"/sittings/{hidden.pk}/reveal", follow=True)
    assert page.redirect_chain == [(f"/sittings/{hidden.pk}/verdict", 302)]
    hidden.refresh_from_db()
    first = hidden.revealed_at
    assert abs((timezone.now() - first).total_seconds()) < 60
    browser.post(f"/sittings/{hidden.pk}/reveal")
    hidden.refresh_from_db()
    assert hidden.revealed_at == first
    assert AuditEntry.objects.filter(action="verdict revealed", subject=f"sitting {hidden.pk}", user=owner).count() == 1


def test_looked_at_again_it_follows_the_record_and_the_client(owner, hidden):
    browser, address = browser_of(owner), f"/sittings/{hidden.pk}/evidence"
    browser.post(f"/sittings/{hidden.pk}/reveal")
    assert "2 comparisons" in words(browser.get(address))
    entering.record_judgement(hidden, PairJudgement("D039", "D040", Answer.LEFT, 1), "c")
    assert "3 comparisons" in words(browser.get(address))
    Client.objects.filter(pk=hidden.client_id).update(name="Berta")
    page = words(browser.get(address))
    assert "Berta" in page
    assert "Ada" not in page
    entering.undo(hidden, "d")
    assert "2 comparisons" in words(browser.get(address))


def test_a_reveal_is_posted_by_the_analyst(owner, stranger, hidden):
    assert browser_of(owner).get(f"/sittings/{hidden.pk}/reveal").status_code == 405
    assert browser_of(stranger).post(f"/sittings/{hidden.pk}/reveal").status_code == 404
    Access.objects.create(client=hidden.client, user=stranger)
    assert browser_of(stranger).post(f"/sittings/{hidden.pk}/reveal").status_code == 404
    assert "has not revealed" in browser_of(stranger).get(f"/sittings/{hidden.pk}/verdict").text
    hidden.refresh_from_db()
    assert hidden.revealed_at is None


@pytest.mark.parametrize("address", ["verdict", "evidence", "sheet.pdf", "arrival"])
def test_to_anybody_else_it_does_not_exist(owner, stranger, address):
    row = Sitting.objects.first()
    assert browser_of(stranger).get(f"/sittings/{row.pk}/{address}").status_code == 404
    assert Browser().get(f"/sittings/{row.pk}/{address}").status_code == 302


def test_who_reads_blind_does_not_see_the_first_verdict(owner, stranger):
    first = Sitting.objects.get(client__name="Pia Rosendal")
    Access.objects.create(client=first.client, user=stranger)
    assert browser_of(stranger).get(f"/sittings/{first.pk}/verdict").status_code == 200
    store.start_sitting(first.client, stranger, first.kit, blind_to=first)
    for address in ("verdict", "evidence", "sheet.pdf"):
        assert browser_of(stranger).get(f"/sittings/{first.pk}/{address}").status_code == 404
    assert browser_of(owner).get(f"/sittings/{first.pk}/verdict").status_code == 200


@pytest.mark.one_database
@pytest.mark.parametrize("name", INVENTED)
def test_the_page_says_what_the_sheet_says(owner, name):
    row = Sitting.objects.get(client__name=name)
    page = words(browser_of(owner).get(f"/sittings/{row.pk}/evidence"))
    with store.load(row) as live:
        sheet = reading_sheet(sheets.client_card(row), live)
        verdict = live.verdict()
        other = [live.read_under(store.method_named(m)) for m in BUNDLED if m != row.method]
    finding, why = sheet.finding, sheet.why
    said = [finding.headline, finding.odds, finding.lead.text, why.settling.text, why.against_note]
    said += [s.text for s in (*finding.statements, *finding.neighbours)]
    said += [part for trait in finding.traits for part in (trait.axis, trait.text, trait.numbers)]
    said += [part for reason in (*why.reasons, *why.against) for part in (reason.text, reason.worth)]
    said += [part for line in why.contradictions for part in (line.title, line.text, line.repeat, *line.causes)]
    said += [c.text for c in sheet.cautions] + [k.text for k in sheet.marks] + list(sheet.notes)
    said += [read.category or "cannot tell" for read in other]
    assert len(why.reasons) <= 3
    assert len(why.against) <= 2
    assert [text for text in said if text not in page] == []
    links = re.findall(r'href="(bench\?[^"]+)"', page)
    held = [parse_qs(urlsplit(link).query)["cloths"][0].split() for link in links]
    again = [list(found.repeat) for found in verdict.contradictions]
    assert sorted(held) == sorted([*([list(verdict.settling_pair)] if verdict.settling_pair else []), *again])


@pytest.mark.one_database
@pytest.mark.parametrize("name", INVENTED)
def test_what_is_turned_to_the_client_is_their_paper_without_a_number(owner, name):
    row = Sitting.objects.get(client__name=name)
    page = words(browser_of(owner).get(f"/sittings/{row.pk}/verdict"))
    paper = handed.paper_of(row)
    result = paper.result
    assert [
        text for text in (result.cover, result.sure, result.sentence, *result.notes, *paper.seen) if text not in page
    ] == []
    shown = re.findall(r"</svg> <p>.*?</svg> ([^<]+?) ?<", page.partition('class="across"')[2].partition("</ul>")[0])
    own = {shade.name for rail in paper.rails for shade in rail.shades}
    assert 8 <= len(shown) <= 12
    assert set(shown) <= own
    assert ("medium" in page or "light clear" in page) == (row.client.words_only or row.client.minor)
    text = re.sub(r"<[^>]+>", " ", page.partition("<main")[2]).replace(paper.date, "")
    assert re.search(r"\d|%|×|÷|\bodds\b|\bentr(y|ies)\b", text) is None
    assert re.findall(r'data-key="(\w)"', page) == ["e"]


@pytest.mark.one_database
def test_one_link_holds_a_pair_again(owner):
    row = Sitting.objects.get(client__name="Maren Tolliver")
    browser = browser_of(owner)
    browser.post(f"/sittings/{row.pk}/open")
    link = re.findall(r'data-key="1" href="([^"]+)"', browser.get(f"/sittings/{row.pk}/evidence").text)[0]
    bench = browser.get(f"/sittings/{row.pk}/{link}")
    with store.load(row) as live:
        for cloth in live.verdict().contradictions[0].repeat:
            assert live.kit[cloth].name in bench.text


@pytest.mark.one_database
def test_marks_tell_seen_predicted_and_custom_apart_in_words(owner):
    row = Sitting.objects.get(client__name="Maren Tolliver")
    page = browser_of(owner).get(f"/sittings/{row.pk}/evidence").text
    for mark in ("seen", "measured", "predicted", "custom"):
        assert f"known-{mark}" in page
    assert "style=" not in page


def test_after_entries_were_undone_it_is_not_yet_again(owner, hidden):
    browser = browser_of(owner)
    browser.post(f"/sittings/{hidden.pk}/reveal")
    entering.undo(hidden, "c")
    for address in ("verdict", "evidence"):
        assert "Not yet" in browser.get(f"/sittings/{hidden.pk}/{address}").text
    assert browser.get(f"/sittings/{hidden.pk}/sheet.pdf").status_code == 409


@pytest.mark.one_database
@pytest.mark.parametrize(("asked", "file"), [("", "your-colours"), ("?paper=studio", "studio-sheet")])
def test_both_papers_are_pdfs(owner, asked, file):
    row = Sitting.objects.get(client__name="Maren Tolliver")
    answer = browser_of(owner).get(f"/sittings/{row.pk}/sheet.pdf{asked}")
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")
    assert f"{file}-maren-tolliver.pdf" in answer["Content-Disposition"]
    assert AuditEntry.objects.filter(action="reading sheet written", subject=f"sitting {row.pk}").count() == 1
