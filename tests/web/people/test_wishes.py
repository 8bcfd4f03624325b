"""A client's loves, hates and limits in the browser: the palette follows them, and they are gone when taken back."""

import html

import pytest

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.wishes.wishes import NO_WISHES
from tenter.web.models import Access, Associate, ClientWish
from tenter.web.papers import handed
from tenter.web.papers.client_wishes import wishes_for
from tests.web.conftest import browser_of


@pytest.fixture
def row(client_row):
    return client_row.sittings.get()


@pytest.fixture
def send(visitor, client_row):
    address = f"/people/{client_row.pk}/wishes"
    return lambda kind, about="", why="": visitor.post(address, {"kind": kind, "about": about, "why": why})


def hues(row):
    return [c.hue_family for c in handed.palette_of_sitting(row).colours]


def test_the_palette_follows_a_wish_and_the_papers_say_what_became_of_it(visitor, row, send):
    assert HueFamily.PURPLE in hues(row)
    assert send("hated", "purple", "no purple for me").status_code == 302
    assert send("budget", "3").status_code == 302
    assert HueFamily.PURPLE not in hues(row)
    page = html.unescape(visitor.get(f"/sittings/{row.pk}/palette").text)
    asked = handed.paper_of(row).asked
    assert asked[0] == "No purple for me. No purple is in your palette."
    assert asked[1].startswith("Your budget: 3 new pieces. Buy in this order: ")
    assert all(line in page for line in asked)


def test_a_wish_that_is_taken_back_is_gone_and_moves_nothing_any_more(visitor, row, client_row, send):
    before = hues(row)
    send("hated", "purple")
    address = f"/people/{client_row.pk}/wishes/take-back"
    for number in ("", "x", "9" * 30, "0"):
        visitor.post(address, {"wish": number})
    assert client_row.wishes.count() == 1
    visitor.post(address, {"wish": client_row.wishes.get().pk})
    assert not ClientWish.objects.exists()
    assert hues(row) == before


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        (("loved", "bleen"), "no hue family or colour is called 'bleen'"),
        (("never", "red"), "does not say why"),
        (("budget", "some"), "a number of new pieces"),
        (("sung", "red"), "Select a valid choice"),
        (("hated", "green"), "cannot be both loved and hated"),
    ],
)
def test_what_cannot_be_is_said_and_not_kept(send, client_row, said, problem):
    send("loved", "green")
    answer = send(*said)
    assert answer.status_code == 422
    assert problem.lower() in html.unescape(answer.text).lower()
    assert client_row.wishes.count() == 1


def test_it_goes_with_the_client(send, client_row):
    send("never", "red", "mourning")
    assert wishes_for(client_row) is not NO_WISHES
    client_row.sittings.all().delete()
    client_row.delete()
    assert not ClientWish.objects.exists()


def test_only_who_may_change_the_card_sees_and_changes_them(send, owner, person, stranger, client_row):
    send("never", "red", "mourning")
    address = f"/people/{client_row.pk}/wishes"
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    for user in (bea, stranger):
        assert browser_of(user).get(address).status_code == 404
        assert browser_of(user).post(f"{address}/take-back", {"wish": client_row.wishes.get().pk}).status_code == 404
    Access.objects.create(client=client_row, user=bea)
    assert "mourning" in browser_of(bea).get(address).text
    assert client_row.wishes.count() == 1


def test_the_card_leads_there(visitor, client_row):
    assert f'href="/people/{client_row.pk}/wishes"' in visitor.get(f"/people/{client_row.pk}").text


def test_a_garment_of_a_colour_that_is_not_wanted_is_said_to_be(visitor, row, send):
    send("never", "red", "mourning")
    asked = {name: visitor.get(f"/sittings/{row.pk}/garment", {"colour": name}).text for name in ("red", "navy")}
    told = "Left out of your palette at your wish. Mourning."
    assert told in asked["red"]
    assert told not in asked["navy"]
