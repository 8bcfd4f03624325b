"""Looking for a client, a cloth or a page."""

import pytest

from tenter.web.models import Client
from tests.web.conftest import browser_of


def test_without_a_word_the_clients_who_sat_last_come_first(owner):
    page = browser_of(owner).get("/search").text
    last, first = Client.objects.order_by("-sittings__started")[0], Client.objects.order_by("sittings__started")[0]
    assert page.index(last.name) < page.index(first.name)


@pytest.mark.parametrize(
    ("asked", "where"),
    [("tolliver", "/people/"), ("D038", "/kit/"), ("letterhead", "/studio/words"), ("MÄREN", "/people/")],
)
def test_a_thing_found_alone_is_opened_at_once(owner, asked, where):
    answer = browser_of(owner).get("/search", {"q": asked})
    assert answer.status_code == 302
    assert answer.url.startswith(where)


def test_several_are_listed_by_kind_and_nothing_is_said_in_words(owner):
    browser = browser_of(owner)
    page = browser.get("/search", {"q": "e"}).text
    assert "Clients" in page
    assert "Cloths" in page
    assert "Nothing has “zzq” in it" in browser.get("/search", {"q": "zzq"}).text


def test_an_associate_finds_no_page_of_the_owners_and_nobody_anothers_clients(owner, stranger):
    page = browser_of(stranger).get("/search", {"q": "e"}).text
    assert not any(client.name in page for client in Client.objects.all())
