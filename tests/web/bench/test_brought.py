"""What the client brought, by photograph: named or not, sealed, beside its answer, and gone with the client."""

from itertools import count

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tenter.consultation.client.consent import Purpose
from tenter.consultation.sitting.show_round import showings
from tenter.web.models import Access, Associate, ThingPhotograph
from tenter.web.rules import consents
from tenter.web.store import store
from tests.support.cloth_studio import rack_picture
from tests.support.photo_studio import day_ahead
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")
_KEYS = count()


@pytest.fixture
def row(going_on):
    return going_on


@pytest.fixture
def send(visitor, row):
    def sent(**said):
        fields = {"key": f"p{next(_KEYS)}", "chart": "none", "deletes_on": day_ahead(30)}
        picture = SimpleUploadedFile("thing.jpg", rack_picture(), "image/jpeg")
        return visitor.post(f"/sittings/{row.pk}/brought", fields | {"picture": picture} | said)

    return sent


@pytest.fixture
def say(visitor, row):
    """Write down a thing by name, as the show round does."""

    def said(act, **more):
        seen = store.load(row)
        with seen as live:
            event = len(live.events)
        told = {"key": f"s{next(_KEYS)}", "act": act, "seen": event} | more
        return visitor.post(f"/sittings/{row.pk}/show/entry", told)

    return said


def things(row):
    with store.load(row) as live:
        return [(str(s.brought), s.name, str(s.worth)) for s in showings(live.entries)]


def test_a_photograph_alone_is_an_answer_with_a_name_of_its_own(visitor, row, send, folder):
    assert send(brought="lipstick", worth="best").status_code == 302
    send(brought="lipstick", worth="away", name="the dark one")
    assert things(row) == [("lipstick", "lipstick 1", "best"), ("lipstick", "the dark one", "away")]
    first, second = ThingPhotograph.objects.order_by("pk")
    assert (first.entry, second.entry, first.state, first.kept) == (3, 4, "done", True)
    assert {path.name for path in (folder / "photographs").iterdir()} == {first.name, second.name}
    assert all(b"JFIF" not in path.read_bytes() for path in (folder / "photographs").iterdir())
    page = visitor.get(f"/sittings/{row.pk}/brought").text
    assert page.count("<img") == 2
    assert "away from the face" in page
    assert visitor.get(f"/garments/{first.pk}/small")["Content-Type"] == "image/jpeg"
    assert 'class="thing on-grey"' in visitor.get(f"/garments/{first.pk}").text


def test_without_the_clients_consent_no_photograph_of_a_thing_is_kept(visitor, row, send, owner):
    consents.take_back_consent(row.client, Purpose.MEASURE, owner)
    answer = send(brought="lipstick", worth="best")
    assert (answer.status_code, things(row)) == (409, [])
    assert "No consent to “Photographs kept and measured”" in answer.text
    assert not ThingPhotograph.objects.exists()


def test_what_is_named_already_is_photographed_once(visitor, row, send, say):
    say("brought yes", brought="frames", name="round frames")
    page = visitor.get(f"/sittings/{row.pk}/brought", {"entry": "3"}).text
    assert "Photograph round frames" in page
    assert 'name="worth"' not in page
    assert send(entry="3").status_code == 302
    assert things(row) == [("frames", "round frames", "yes")]
    again = send(entry="3")
    assert again.status_code == 422
    assert "has a photograph already" in again.text
    assert ThingPhotograph.objects.get().entry == 3


def test_beside_a_card_a_garments_colour_is_answered_too(visitor, row, send):
    send(brought="garment", worth="yes", chart="classic24", values="mean-of-30")
    thing = ThingPhotograph.objects.get()
    page = visitor.get(f"/garments/{thing.pk}").text
    assert (thing.state, thing.has_picture) == ("done", True)
    assert 'id="answer"' in page
    assert "<img" in page


def test_what_was_taken_back_leaves_its_photograph_to_be_erased(visitor, row, send, say, folder):
    send(brought="hair", worth="no")
    say("take-back")
    assert things(row) == []
    page = visitor.get(f"/sittings/{row.pk}/brought").text
    assert "Photographs of things you took back" in page
    thing = ThingPhotograph.objects.get()
    assert visitor.post(f"/garments/{thing.pk}/erase")["Location"] == f"/sittings/{row.pk}/brought"
    assert list((folder / "photographs").iterdir()) == []


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        ({}, "Choose one for what you show now."),
        ({"brought": "hat", "worth": "yes"}, "Select a valid choice"),
        ({"entry": "1"}, "no longer on the list of what was brought"),
        ({"brought": "garment", "worth": "yes", "picture": ""}, "Choose a file"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_written_down(row, send, said, problem):
    answer = send(**said)
    assert answer.status_code == 422
    assert problem in answer.text
    assert things(row) == []
    assert not ThingPhotograph.objects.exists()


def test_where_photographs_are_locked_nothing_is_written_down(row, send, monkeypatch):
    monkeypatch.setattr("tenter.web.sealing.photo_keys.problem", lambda: "there is no key")
    answer = send(brought="garment", worth="yes")
    assert answer.status_code == 422
    assert "There is no key." in answer.text
    assert things(row) == []


def test_only_the_sittings_own_consultant_has_the_page_and_it_goes_with_the_client(row, send, owner, person):
    send(brought="garment", worth="yes")
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    Access.objects.create(client=row.client, user=bea)
    assert browser_of(bea).get(f"/sittings/{row.pk}/brought").status_code == 404
    row.client.delete()
    assert not ThingPhotograph.objects.exists()


def test_the_show_round_leads_there(visitor, row):
    assert f'href="/sittings/{row.pk}/brought"' in visitor.get(f"/sittings/{row.pk}/show").text
