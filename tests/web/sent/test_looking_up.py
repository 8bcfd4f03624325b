"""People, sittings and cloths are found by words, and come a page at a time."""

import re

import pytest

from tenter.web.models import Client, KitRecord, Sitting
from tenter.web.sent.looking_up import ROWS_A_PAGE, plain
from tests.web.conftest import browser_of


def names_on(page):
    return re.findall(r'<li><a href="/people/\d+">([^<]+)</a>', page)


@pytest.fixture
def crowd(owner):
    Client.objects.bulk_create(Client(owner=owner, name=f"client {n:03}") for n in range(120))
    return owner


def test_people_come_by_name_whatever_their_accents_and_capitals(owner, visitor):
    Client.objects.filter(owner=owner).delete()
    for name in ("zoe", "Émile", "Anna", "Édith", "eda", "Ösa"):
        Client.objects.create(owner=owner, name=name)
    assert names_on(visitor.get("/people").text) == ["Anna", "eda", "Édith", "Émile", "Ösa", "zoe"]


@pytest.mark.parametrize("asked", ["varnholt", "ILSE", "ilse varn", "holt îlse", " ilse  "])
def test_a_client_is_found_by_each_of_the_words(visitor, asked):
    page = visitor.get("/people", {"q": asked}).text
    assert names_on(page) == ["Ilse Varnholt"]
    assert "1 of 5 found" in page
    assert f'value="{asked.strip()}"'.replace("  ", " ") in page


def test_what_is_not_there_is_not_found(visitor):
    page = visitor.get("/people", {"q": "ilse nobody"}).text
    assert names_on(page) == []
    assert "0 of 5 found" in page
    assert "No client yet" not in page


def test_people_come_a_page_at_a_time_and_all_of_them(crowd):
    visitor = browser_of(crowd)
    pages = [names_on(visitor.get("/people", {"page": n}).text) for n in (1, 2, 3)]
    assert [len(names) for names in pages] == [ROWS_A_PAGE, ROWS_A_PAGE, 25]
    assert len({name for names in pages for name in names}) == 125
    assert "page=2" in visitor.get("/people").text
    assert "q=client&amp;page=2" in visitor.get("/people", {"q": "client"}).text
    assert names_on(visitor.get("/people", {"page": "9999"}).text) == pages[2]
    assert names_on(visitor.get("/people", {"page": "x"}).text) == pages[0]


def test_sittings_come_a_page_at_a_time_and_are_found_by_client(crowd):
    visitor, kit = browser_of(crowd), KitRecord.objects.get()
    rows = Client.objects.filter(name__startswith="client")
    Sitting.objects.bulk_create(
        Sitting(client=client, analyst=crowd, kit=kit, method="four-by-three", seed=1) for client in rows
    )
    page = visitor.get("/sittings").text
    assert page.count('<li><span><a href="/sittings/') == ROWS_A_PAGE
    assert "Page 1 of 3" in page
    page = visitor.get("/sittings", {"q": "client 07"}).text.split("<main")[1]  # without who is sitting now
    found = set(re.findall(r"client \d{3}", page))
    assert found == {f"client 07{n}" for n in range(10)} | {"client 007", "client 107"}


def test_a_cloth_is_found_by_number_name_or_colour(visitor):
    kit = KitRecord.objects.get().pk
    page = visitor.get(f"/kit/{kit}", {"q": "d0 teal"}).text
    told = re.findall(r'class="meta">(D\d+) · ([^·<]+)', page)
    assert told
    assert all("teal" in words for _, words in told)
    assert len(told) < 96


def test_nothing_of_others_is_found(owner, stranger):
    assert names_on(browser_of(stranger).get("/people", {"q": "ilse"}).text) == []


def test_a_text_is_plain():
    assert plain("Ångström ÉLISE ﬁn") == "angstrom elise fin"
