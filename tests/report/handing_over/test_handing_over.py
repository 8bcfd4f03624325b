"""What is handed over: names that are found again, and a mail that another program opens as a draft."""

import itertools
from dataclasses import dataclass
from email import message_from_bytes, policy
from types import SimpleNamespace

import pytest

from tenter.language import Catalogue, written_in
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.handing_over import just_drawn, papers
from tenter.report.handing_over.handed_file import HandedFile, file_name
from tenter.report.handing_over.just_drawn import JustDrawn
from tenter.report.handing_over.mail import mail_draft, mail_text
from tenter.report.reading.content import ClientCard

PAPERS = HandedFile("ilse-2026-03-12-colours.pdf", "application/pdf", b"%PDF-1.7\n\x00\xff binary \n--=_x\n")
PHONE = HandedFile("ilse-2026-03-12-phone.html", "text/html; charset=utf-8", "<!doctype html><p>é\n.\n".encode())
LOCK = HandedFile("ilse-2026-03-12-lock-screen.png", "image/png", b"\x89PNG\r\n\x1a\n")


def card(name="Ilse Varnholt", **more):
    return ClientCard(name, "The North Room", "Wenna Castrall", "2026-03-12", **more)


def opened(content):
    """Return a draft as a mail program reads it, and its text with plain ends of line."""
    draft = message_from_bytes(content, policy=policy.default)
    return draft, draft.get_body(("plain",)).get_content().replace("\r\n", "\n")


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("Ilse Varnholt", "ilse-varnholt"),
        ("  Marlon  Adeyemi-Lind ", "marlon-adeyemi-lind"),
        ("../../etc/passwd", "etc-passwd"),
        ("O’Brien, Zoë", "o-brien-zoë"),
        ("Łucja 山田 花子", "łucja-山田-花子"),
        ("अनीता", "अनीता"),
        ("“?”", "client"),
        ("x" * 200, "x" * 60),
    ],
)
def test_a_file_is_named_by_client_and_date(name, wanted):
    assert file_name(card(name), "colours", "pdf") == f"{wanted}-2026-03-12-colours.pdf"


def test_the_mail_is_a_draft_that_carries_every_file_as_it_is():
    draft, text = opened(mail_draft(card(), [PAPERS, PHONE, LOCK]))
    assert (draft["X-Unsent"], draft["From"], draft["To"]) == ("1", None, None)
    assert draft["Subject"] == "Your colours, The North Room"
    attached = list(draft.iter_attachments())
    assert [(a.get_filename(), a.get_content_type()) for a in attached] == [
        (PAPERS.name, "application/pdf"),
        (PHONE.name, "text/html"),
        (LOCK.name, "image/png"),
    ]
    assert [a.get_payload(decode=True) for a in attached] == [PAPERS.content, PHONE.content, LOCK.content]
    assert text.startswith("Dear Ilse Varnholt,\n\nHere are your colours from our sitting on 12 March 2026.")
    assert text.rstrip().endswith("Wenna Castrall\nThe North Room")


# -- what was just drawn -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Drawable:
    words: str
    photographs: None = None


def test_the_same_words_are_drawn_once_and_others_anew():
    count, at = itertools.count(), [0.0]
    drawn = JustDrawn(most=2, seconds=600.0, clock=lambda: at[0])

    def of(words, how="a4"):
        return drawn.of([words, how], lambda: next(count))

    assert [of("one"), of("one"), of("one", "letter"), of("one")] == [0, 0, 1, 0]
    at[0] = 1.0
    assert [of("two"), of("two")] == [2, 2]
    assert of("one", "letter") == 1 or of("one") == 0
    at[0] = 2.0
    assert of("three") == 3
    assert of("two") == 2
    assert of("one") == 4  # only the last two are kept
    with written_in(Catalogue("de")):
        assert [of("one"), of("one")] == [5, 5]  # the same content in another language
    at[0] = 603.0
    assert of("one") == 6  # and none for long


class _Waiting(list):
    """Timers that go off by hand; each is the seconds it would wait and what it would do."""

    def __call__(self, seconds, look):
        self.append((seconds, look))
        return SimpleNamespace(start=lambda: None)


def test_what_was_drawn_is_let_go_of_in_time_though_nothing_is_drawn_after_it(monkeypatch):
    at, waiting = [0.0], _Waiting()
    monkeypatch.setattr(just_drawn, "Timer", waiting)
    drawn = JustDrawn(seconds=600.0, clock=lambda: at[0])
    for at[0], words in ((0.0, "one"), (60.0, "two")):
        drawn.of([words], object)
    at[0] = 600.0
    waiting[0][1]()
    assert len(drawn._kept) == 1
    at[0] = 660.0
    waiting[1][1]()
    assert drawn._kept == {}
    assert [seconds for seconds, _ in waiting] == [600.0, 60.0]


def test_what_was_drawn_is_forgotten_on_asking_and_so_is_what_is_being_drawn():
    drawn = JustDrawn()
    drawn.of(["papers"], lambda: b"kept")
    just_drawn.forget_just_drawn()
    assert drawn._kept == {}
    assert drawn.of(["papers"], lambda: (just_drawn.forget_just_drawn(), b"late")[1]) == b"late"
    assert drawn._kept == {}


def test_papers_are_drawn_once_for_a_hand_over_and_never_on_the_disk(monkeypatch):
    calls = []
    monkeypatch.setattr(papers, "_JUST_DRAWN", JustDrawn())
    monkeypatch.setattr(papers, "studio_sheet_pdf", lambda sheet, page: (calls.append((sheet, page)), (b"%PDF", ()))[1])
    monkeypatch.setattr("tempfile.tempdir", "/nowhere")
    sheet = Drawable("a sheet")
    assert papers.pdf_of(sheet) == papers.pdf_of(sheet) == (b"%PDF", ())
    assert papers.pdf_of(sheet, PaperSize.LETTER) == (b"%PDF", ())
    assert [page for _, page in calls] == [PaperSize.A4, PaperSize.LETTER]


def test_the_mail_speaks_of_what_is_attached_alone():
    text = mail_text(card(), [PAPERS])
    assert "papers" in text
    assert "phone page" not in text
    assert "lock screen" not in text.lower()


@pytest.mark.parametrize(
    ("guardian", "greeting"),
    [("", "To the parent or guardian of Pia Rosendal,"), ("Orla Venn", "Dear Orla Venn,")],
)
def test_the_mail_of_a_minor_is_written_to_the_parent_or_guardian(guardian, greeting):
    draft, text = opened(mail_draft(card("Pia Rosendal", minor=True, guardian=guardian), [PAPERS, PHONE, LOCK]))
    assert text.startswith(f"{greeting}\n\nHere are the colours of Pia Rosendal from our sitting on 12 March 2026.\n")
    assert draft["Subject"] == "The colours of Pia Rosendal, The North Room"
    assert "Dear Pia" not in text
    to_adult = mail_text(card("Pia Rosendal", guardian=guardian), [PAPERS, PHONE, LOCK])
    assert len(set(text.split("\n")) & set(to_adult.split("\n"))) == 4  # nothing, what to ask, and by whom


@pytest.mark.parametrize(("minor", "whose"), [(False, "Your"), (True, "The")])
def test_the_mail_of_an_unfinished_sitting_says_that_the_colours_may_change(minor, whose):
    finished, not_yet = (mail_text(card(minor=minor), [PAPERS], unfinished=still) for still in (False, True))
    assert f"12 March 2026. {whose} sitting is not finished, so some colours may change.\n" in not_yet
    assert "not finished" not in finished


def test_the_same_files_give_the_same_mail():
    assert mail_draft(card(), [PAPERS, LOCK]) == mail_draft(card(), [PAPERS, LOCK])
    assert mail_draft(card(), [PAPERS]) != mail_draft(card(), [LOCK])


def test_a_name_cannot_add_a_header():
    cunning = ClientCard("Ada\nBcc: all@example.org", "Room\r\nBcc: all@example.org", "W", "2026-03-12")
    draft, text = opened(mail_draft(cunning, [PAPERS]))
    assert draft["Bcc"] is None
    assert text.startswith("Dear Ada Bcc: all@example.org,\n")


def test_names_of_any_script_come_through_the_mail():
    file = HandedFile(file_name(card("Łucja 山田"), "colours", "pdf"), "application/pdf", b"%PDF")
    draft, text = opened(mail_draft(card("Łucja 山田"), [file]))
    [attached] = draft.iter_attachments()
    assert attached.get_filename() == "łucja-山田-2026-03-12-colours.pdf"
    assert "Łucja 山田" in text
