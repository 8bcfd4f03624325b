"""A client who reads another language than the studio: what they read is in theirs, the consultant's pages stay."""

import email
import html
import io
import re
import zipfile
from email.policy import default

import pytest
from django.utils import timezone

from tenter.consultation.client.consent import WORDING_VERSION, Purpose, asked_for
from tenter.report.own_words.studio_words import Topic
from tenter.report.printing.forms import SwatchForm
from tenter.web.archives.client_archive import archive_of
from tenter.web.archives.client_archive_reading import read_archive
from tenter.web.models import Consent, HandedPaper, StudioName
from tenter.web.papers import handed, handed_papers, own_words
from tenter.web.papers.own_words import WordsSlot
from tenter.web.rules import consents
from tenter.web.rules.client_language import clients_language
from tenter.web.server.in_language import in_language
from tenter.web.store.screen_link import link_of

COLOURS = {"en": "Your colours", "de": "Ihre Farben"}


@pytest.fixture
def row(client_row):
    return client_row.sittings.get()


def reads(row, tag):
    row.client.language = tag
    row.client.save()
    return row


def test_it_is_the_studios_unless_the_card_says_another(owner, client_row):
    assert clients_language(client_row) == "en"
    StudioName.objects.create(owner=owner, name="Nord", language="de")
    for said, tag in {"": "de", "en": "en", "tlh": "de"}.items():  # no catalogue of the last is here
        client_row.language = said
        assert clients_language(client_row) == tag


def test_papers_change_with_the_card_and_none_is_kept_in_the_other_language(row):
    for tag in ("en", "de", "en", "de"):
        paper = handed.paper_of(reads(row, tag))
        assert (paper.title, str(paper.language)) == (f"{COLOURS[tag]}: Ilse Varnholt", tag)
    draft = email.message_from_bytes(handed.mail(row).content, policy=default)
    assert draft["Subject"].startswith(COLOURS["de"])
    papers, page, _picture = [one.get_payload(decode=True) for one in draft.iter_attachments()]
    for drawn in (papers, handed.swatches(row, SwatchForm.WALLET).content):
        assert re.search(rb"/Lang ?\(de\)", drawn)
    assert b'<html lang="de"' in page


def test_the_studios_sheet_stays_in_the_studios_language(row):
    before = handed.studio_sheet_of(row)
    assert handed.studio_sheet_of(reads(row, "de")) == before
    with in_language("de"):
        assert handed.studio_sheet_of(row) != before


def test_a_paper_is_printed_again_in_the_language_of_its_day(visitor, owner, row):
    english, first = handed.paper_of(row), handed_papers.note_papers(row, owner)
    german, second = handed.paper_of(reads(row, "de")), handed_papers.note_papers(row, owner)
    assert handed_papers.note_papers(row, owner) == second
    assert [paper.language for paper in (first, second)] == ["en", "de"]
    assert (handed.paper_as_of(first), handed.paper_as_of(second)) == (english, german)
    page = visitor.get(f"/sittings/{row.pk}/papers").text
    assert page.count("None of your own words, Deutsch") == 1
    HandedPaper.objects.update(language="")  # as of one from before languages were noted
    assert handed.paper_as_of(HandedPaper.objects.get(pk=first.pk)) == german


def test_the_studios_own_words_are_those_in_the_clients_language(owner, row):
    for tag, head in {"en": "Castrall & Daughter", "de": "Castrall & Tochter"}.items():
        own_words.save_text(owner, owner, WordsSlot(Topic.LETTERHEAD, "", tag), head)
    assert handed.paper_of(row).own.letterhead == ("Castrall & Daughter",)
    assert handed.paper_of(reads(row, "de")).own.letterhead == ("Castrall & Tochter",)


def test_the_clients_screen_and_the_turned_verdict_are_theirs_and_the_buttons_ours(client, visitor, row):
    reads(row, "de")
    page = html.unescape(visitor.get(f"/sittings/{row.pk}/verdict").text)
    assert '<html lang="de"' in page
    assert "Was an Ihnen zu sehen war" in page
    assert re.search(r'<p class="long">[^<]*<svg[^>]*>.*?</svg> Mineralblaugrün', page)
    assert re.search(r"<p>[^<]*<svg[^>]*>.*?</svg> Kühlrosa", page)
    acts = page[page.index('<div class="acts" lang="en"') :]
    assert all(word in acts for word in ("Papers (PDF)", "Evidence", "Mail draft"))
    assert '<html lang="en"' in visitor.get(f"/sittings/{row.pk}/evidence").text
    row.ended = None
    row.save()
    for revealed in (timezone.now(), None):
        row.revealed_at = revealed
        row.save()
        assert '<html lang="de"' in client.get(f"/screen/{link_of(row)}").text


@pytest.mark.parametrize("asking", ["consents", "agree"])
def test_a_consent_is_asked_and_kept_in_the_clients_language(visitor, row, asking):
    address, client = f"/people/{row.client_id}/{asking}", reads(row, "de").client
    Consent.objects.filter(client=client).delete()
    with in_language("de"):
        said = asked_for(Purpose.ANALYSIS).wording
    assert said != asked_for(Purpose.ANALYSIS).wording
    page = html.unescape(visitor.get(address).text)
    assert said in page
    assert '<html lang="en"' in page
    assert 'lang="de"' in page
    shown = f"{WORDING_VERSION} de"
    assert f'name="shown" value="{shown}"' in page
    answer = {"purposes": ["analysis"], "until": consents.usual_end().isoformat()}
    reads(row, "")
    visitor.post(address, answer | {"shown": shown})  # the card was changed meanwhile
    assert not Consent.objects.filter(client=client).exists()
    reads(row, "de")
    visitor.post(address, answer | {"shown": shown})
    kept = Consent.objects.get(client=client)
    assert (kept.wording, kept.language) == (said, "de")
    visitor.post(f"/people/{client.pk}/consents/take-back", {"purpose": "analysis"})
    assert [one.language for one in consents.history(client)] == ["de", "de"]
    proof = html.unescape(visitor.get(f"/people/{client.pk}/consents/proof").text)
    assert f'<blockquote lang="de" dir="auto">{said}</blockquote>' in proof
    assert "in the client’s language: Deutsch" in proof


def test_the_card_offers_every_language_and_keeps_one_that_is_not_here(visitor, client_row):
    address = f"/people/{client_row.pk}/edit"
    page = html.unescape(visitor.get(address).text)
    assert all(f">{one}</option>" in page for one in ("The studio’s language (English)", "English", "Deutsch"))
    said = {"name": client_row.name, "note": "", "language": "de"}
    visitor.post(address, said)
    assert "Papers in: Deutsch" in visitor.get(f"/people/{client_row.pk}").text
    client_row.refresh_from_db()
    client_row.language = "tlh"
    client_row.save()
    assert visitor.post(address, said | {"language": "tlh"}).status_code == 302
    assert visitor.post(address, said | {"language": "xx"}).status_code == 200
    client_row.refresh_from_db()
    assert client_row.language == "tlh"


def test_a_letter_is_begun_in_the_clients_language(visitor, row):
    reads(row, "de")
    assert 'name="language" value="de"' in visitor.get(f"/people/{row.client_id}/letter").text


def test_the_archive_is_in_the_clients_language_and_knows_it(row, monkeypatch):
    monkeypatch.setattr("tenter.web.archives.client_archive_files._put_papers", lambda found, sitting: None)
    content = archive_of(reads(row, "de").client).content
    assert read_archive(content, "one.zip").client.language == "de"
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert b'<html lang="de"' in archive.read("index.html")
