"""What the client takes home: one click each from the verdict, named by client and date, closed before the reveal."""

import io
import zipfile
from email import message_from_bytes, policy

import pytest

from tenter.errors import MissingPart
from tenter.report.handing_over import papers as handing_papers
from tenter.report.handing_over import phone
from tenter.report.handing_over.just_drawn import JustDrawn
from tenter.web.models import AuditEntry, Client, MeasuredFace, Sitting, ThingPhotograph
from tenter.web.papers import handed
from tenter.web.sweeping import photo_sweep
from tests.web.conftest import browser_of

KINDS = {
    "papers.pdf": ("application/pdf", "inline", "ilse-varnholt-2026-03-12-colours.pdf"),
    "swatches.pdf": ("application/pdf", "inline", "ilse-varnholt-2026-03-12-swatches-wallet.pdf"),
    "phone.html": ("text/html; charset=utf-8", "attachment", "ilse-varnholt-2026-03-12-phone.html"),
    "lock-screen.png": ("image/png", "attachment", "ilse-varnholt-2026-03-12-lock-screen.png"),
    "colours.zip": ("application/zip", "attachment", "ilse-varnholt-2026-03-12-for-programs.zip"),
    "changes.json": ("application/json", "attachment", "ilse-varnholt-2026-03-12-changes.json"),
    "mail.eml": ("message/rfc822", "attachment", "ilse-varnholt-2026-03-12-mail.eml"),
}


@pytest.fixture
def row(owner):
    return Client.objects.get(name="Ilse Varnholt").sittings.get()


@pytest.mark.parametrize("name", KINDS)
def test_a_file_is_named_by_client_and_date_and_is_on_the_record(owner, row, name):
    kind, disposition, file = KINDS[name]
    answer = browser_of(owner).get(f"/sittings/{row.pk}/{name}")
    assert (answer.status_code, answer.headers["Content-Type"]) == (200, kind)
    assert answer.headers["Content-Disposition"] == f'{disposition}; filename="{file}"'
    assert AuditEntry.objects.filter(user=owner, subject=f"sitting {row.pk}").count() == 1


@pytest.mark.parametrize("name", [*KINDS, "papers/print"])
def test_before_the_reveal_there_is_only_the_offer(owner, row, name):
    Sitting.objects.filter(pk=row.pk).update(revealed_at=None)
    answer = browser_of(owner).get(f"/sittings/{row.pk}/{name}")
    assert answer.status_code == 409
    assert "Reveal the verdict" in answer.text
    assert not AuditEntry.objects.filter(subject=f"sitting {row.pk}").exists()


def test_the_mail_is_a_draft_with_the_papers(owner, row):
    browser = browser_of(owner)
    papers = browser.get(f"/sittings/{row.pk}/papers.pdf").content
    draft = message_from_bytes(browser.get(f"/sittings/{row.pk}/mail.eml").content, policy=policy.default)
    assert draft["X-Unsent"] == "1"
    attached = {a.get_filename(): a.get_payload(decode=True) for a in draft.iter_attachments()}
    assert attached["ilse-varnholt-2026-03-12-colours.pdf"] == papers
    for name in ("phone.html", "lock-screen.png"):
        assert attached[f"ilse-varnholt-2026-03-12-{name}"] == browser.get(f"/sittings/{row.pk}/{name}").content
    text = draft.get_body(("plain",)).get_content()
    assert "Dear Ilse Varnholt," in text
    assert "Your sitting is not finished, so some colours may change." in text.replace("\n", " ")


def test_papers_and_page_that_were_opened_are_not_drawn_again_for_the_mail(owner, row, monkeypatch):
    drawn = []
    draw = handing_papers.client_paper_pdf
    monkeypatch.setattr(handing_papers, "_JUST_DRAWN", JustDrawn())
    monkeypatch.setattr(handing_papers, "client_paper_pdf", lambda *given: (drawn.append(given), draw(*given))[1])
    browser = browser_of(owner)
    monkeypatch.setattr(phone, "_JUST_DRAWN", JustDrawn())
    monkeypatch.setattr(phone, "phone_page_file", lambda *given: (drawn.append(given), b"<!doctype html>")[1])
    for name in ("papers.pdf", "phone.html", "mail.eml", "papers.pdf"):
        assert browser.get(f"/sittings/{row.pk}/{name}").status_code == 200
    assert len(drawn) == 2
    Client.objects.filter(pk=row.client_id).update(name="Ilse Other")
    draft = browser.get(f"/sittings/{row.pk}/mail.eml")
    assert len(drawn) == 4
    assert b"ilse-other-2026-03-12-colours.pdf" in draft.content


def test_where_no_font_can_draw_the_lock_screen_it_is_said_and_the_mail_goes_without(owner, row, monkeypatch):
    def none(*_):
        raise MissingPart("no Noto font is installed")

    monkeypatch.setattr(phone, "lock_screen_file", none)
    browser = browser_of(owner)
    answer = browser.get(f"/sittings/{row.pk}/lock-screen.png", follow=True)
    assert "Nothing was written: no Noto font is installed." in answer.text
    draft = message_from_bytes(browser.get(f"/sittings/{row.pk}/mail.eml").content, policy=policy.default)
    assert [a.get_content_type() for a in draft.iter_attachments()] == ["application/pdf", "text/html"]


def test_every_open_format_is_in_the_archive(owner, row):
    content = browser_of(owner).get(f"/sittings/{row.pk}/colours.zip").content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        endings = {name.rpartition(".")[2] for name in archive.namelist()}
        assert endings == {"css", "svg", "gpl", "txt", "cxf", "csv"}
        assert all(name.startswith("ilse-varnholt-2026-03-12-") for name in archive.namelist())


def test_the_papers_may_be_framed_by_the_page_that_prints_them_alone(owner, row):
    browser = browser_of(owner)
    papers = browser.get(f"/sittings/{row.pk}/papers.pdf")
    page = browser.get(f"/sittings/{row.pk}/papers/print")
    assert papers.headers["X-Frame-Options"] == "SAMEORIGIN"
    assert "frame-ancestors 'self'" in papers.headers["Content-Security-Policy"]
    assert "frame-src 'self'" in page.headers["Content-Security-Policy"]
    assert page.headers["X-Frame-Options"] == "DENY"
    assert f'src="/sittings/{row.pk}/papers.pdf"' in page.text


def _drawn_and_made(row):
    """Have a paper and a palette in memory, as after a hand-over."""
    handed.palette_of_sitting(row)
    handing_papers._JUST_DRAWN.of(["papers"], lambda: (b"%PDF", ()))


def _in_memory():
    return len(handing_papers._JUST_DRAWN._kept) + handed._made.cache_info().currsize


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("/people/{client}/wishes/take-back", {}),
        ("/people/{client}/letter/erase", {}),
        ("/studio/words/erase", {"topic": "text", "of": "soft autumn", "language": "en"}),
        ("/sittings/{sitting}/face/leave", {}),
    ],
)
def test_what_is_erased_stays_in_no_paper_that_is_kept_in_memory(owner, row, address, said):
    _drawn_and_made(row)
    MeasuredFace.objects.create(sitting=row, by=owner, colours={})
    assert _in_memory() > 0
    assert browser_of(owner).post(address.format(client=row.client_id, sitting=row.pk), said).status_code == 302
    assert _in_memory() == 0


def test_no_drawn_paper_is_kept_in_memory_once_a_photograph_is_erased(owner, row, folder):
    thing = ThingPhotograph.objects.create(sitting=row, by=owner, chart="none")
    _drawn_and_made(row)
    assert photo_sweep.erase_pictures([thing], owner) == 1
    assert handing_papers._JUST_DRAWN._kept == {}
