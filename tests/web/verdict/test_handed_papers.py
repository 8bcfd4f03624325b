"""Papers that were handed over: noted once for each version, and printed again as they were."""

import html

import pytest

from tenter import Answer, PairJudgement
from tenter.consultation.client.consent import Purpose
from tenter.consultation.personal.edits import Drop, colour_key
from tenter.consultation.wishes.said_wishes import SaidWish, WishKind
from tenter.consultation.wishes.wishes import Wishes
from tenter.measured.written_face import WrittenFace
from tenter.report.own_words.studio_words import Topic
from tenter.web.models import Associate, HandedPaper
from tenter.web.papers import client_wishes, handed, handed_papers, own_words, palette_edits
from tenter.web.papers.own_words import WordsSlot
from tenter.web.rules import consents
from tenter.web.store import given_face
from tests.support import entering
from tests.web.conftest import browser_of


@pytest.fixture
def row(client_row):
    return client_row.sittings.get()


@pytest.fixture
def write(owner, client_row):
    """Write the letterhead, and a letter to the client."""

    def write(head, letter=""):
        own_words.save_text(owner, owner, WordsSlot(Topic.LETTERHEAD, "", "en"), head)
        if letter:
            own_words.save_text(owner, owner, WordsSlot(Topic.LETTER, language="en", client=client_row), letter)

    return write


def test_papers_are_noted_once_as_long_as_they_are_the_same(visitor, owner, row, write):
    assert visitor.get(f"/sittings/{row.pk}/sheet.pdf?paper=studio").status_code == 200
    assert not HandedPaper.objects.exists()
    for name in ("papers.pdf", "papers.pdf", "sheet.pdf"):
        assert visitor.get(f"/sittings/{row.pk}/{name}").status_code == 200
    [first] = HandedPaper.objects.all()
    assert (first.words, first.edits, first.by) == ("", 0, owner)
    assert first.events == row.events.count()
    write("Studio Castrall")
    visitor.get(f"/sittings/{row.pk}/mail.eml")
    assert [paper.words for paper in row.handed_papers.all()] == ["1", ""]


def test_a_paper_is_made_again_as_it_was_whatever_came_since(owner, row, write):
    before = handed.paper_of(row)
    bare = handed_papers.note_papers(row, owner)
    write("Studio Castrall", "Dear Ilse")
    lettered = handed_papers.note_papers(row, owner)
    second = handed.paper_of(row)
    write("Castrall & Daughter", "Dear Ilse, again")
    palette_edits.keep_edit(row, Drop(colour_key(handed.palette_of_sitting(row).colours[3])), "k")
    live_events = row.events.count()
    row.ended = None
    row.save()
    entering.record_judgement(row, PairJudgement("D082", "D083", Answer.RIGHT, 3), "late")
    now = handed.paper_of(row)
    assert row.events.count() == live_events + 1
    assert handed.paper_as_of(bare) == before
    assert handed.paper_as_of(lettered) == second
    assert (before.own, second.own.letterhead, now.own.letterhead) == (
        None,
        ("Studio Castrall",),
        ("Castrall & Daughter",),
    )
    assert now != second


@pytest.fixture
def measured():
    """The colours of a face, as a photograph gives them."""
    lab = {"forehead": [62.0, 14.0, 17.0], "hair": [24.0, 6.0, 8.0]}
    regions = {name: {"lab": v, "lab_interval_90": [[x - 1.8, x + 1.8] for x in v]} for name, v in lab.items()}
    light = {"illuminant": "D65", "observer": "2"}
    return WrittenFace.from_json({"accepted": True, "basis": "chart", **light, "regions": regions})


def test_it_goes_by_the_wishes_and_the_face_of_its_day(owner, row, measured):
    consents.give_consent(row.client, [Purpose.SHEET], consents.usual_end(), owner, "Orla Venn")
    before, first = handed.paper_of(row), handed_papers.note_papers(row, owner)
    wish = client_wishes.add_wish(row.client, owner, SaidWish(WishKind.LOVED, "purple", "my grandmother’s"))
    second = handed_papers.note_papers(row, owner)
    given_face.give_face(row, None, measured, owner)
    third = handed_papers.note_papers(row, owner)
    assert (handed_papers.note_papers(row, owner), len({first, second, third})) == (third, 3)
    loves = [len(client_wishes.wishes_for(row.client, by=paper.at).loved) for paper in (first, second, third)]
    faces = [given_face.given_face_of(row, by=paper.at) is not None for paper in (first, second, third)]
    assert (loves, faces) == ([0, 1, 1], [False, False, True])
    assert handed.paper_as_of(first) == before
    client_wishes.take_back_wish(row.client, str(wish.pk))
    given_face.give_face(row, None, measured, owner)
    gone = client_wishes.wishes_for(row.client, by=third.at), given_face.given_face_of(row, by=third.at)
    assert gone == (Wishes(), None), "what was taken back or replaced since is left out"


def test_the_page_lists_them_and_gives_each_again(visitor, owner, row, write):
    address = f"/sittings/{row.pk}/papers"
    assert "None yet." in visitor.get(address).text
    handed_papers.note_papers(row, owner)
    write("Studio Castrall", "Dear Ilse")
    paper = handed_papers.note_papers(row, owner)
    page = html.unescape(visitor.get(address).text)
    assert "None of your own words" in page
    assert "Words as of version 1, letter 1" in page
    assert f'href="/handed/{paper.pk}/papers.pdf"' in page
    again = visitor.get(f"/handed/{paper.pk}/papers.pdf")
    assert (again.status_code, again["Content-Type"], again.content[:5]) == (200, "application/pdf", b"%PDF-")
    assert HandedPaper.objects.count() == 2  # what is printed again is no other paper
    assert f'href="{address}"' in visitor.get(f"/sittings/{row.pk}").text


def test_only_who_sees_the_sitting_sees_its_papers_and_they_go_with_the_client(owner, row, person, stranger):
    paper = handed_papers.note_papers(row, owner)
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    for user in (bea, stranger):
        for address in (f"/sittings/{row.pk}/papers", f"/handed/{paper.pk}/papers.pdf"):
            assert browser_of(user).get(address).status_code == 404
    row.client.delete()
    assert not HandedPaper.objects.exists()
