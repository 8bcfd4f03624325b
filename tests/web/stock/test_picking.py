"""The pick list of a sitting: closed before the reveal, counted down once, put back, and never given out twice."""

import pytest

from tenter.consultation.stock.snippets import Snippet
from tenter.web.models import Associate, Sitting, StockMovement
from tenter.web.papers import handed
from tenter.web.stock import stock_room
from tests.web.conftest import browser_of


@pytest.fixture
def row(visitor, owner):
    """A sitting whose verdict was revealed."""
    found = Sitting.objects.filter(ended__isnull=False).order_by("pk").last()
    visitor.post(f"/sittings/{found.pk}/reveal")
    found.refresh_from_db()
    assert found.revealed_at
    return found


@pytest.fixture
def stocked(owner, row):
    """Snippets of three colours of its palette, the third without a piece, and one far from all of them."""
    first, second, third = handed.palette_of_sitting(row).colours[:3]
    snippets = [
        Snippet("10", "first <one>", first.lab, count=2, reorder_at=1),
        Snippet("9", "second", second.lab, count=1),
        Snippet("8", "third", third.lab),
        Snippet("7", "far", (50.0, 90.0, -90.0), count=5),
    ]
    stock_room.put_into_drawers(owner, owner, snippets)
    return [first.name, second.name, third.name]


def counts(owner):
    return {one.drawer: one.count for one in stock_room.stock_of(owner)}


def take(visitor, row, *drawers, key="k1"):
    return visitor.post(f"/sittings/{row.pk}/pick", {"drawers": drawers, "key": key}, follow=True)


def test_before_the_reveal_there_is_no_pick_list(visitor, owner):
    row = Sitting.objects.last()
    Sitting.objects.update(revealed_at=None)
    answer = visitor.get(f"/sittings/{row.pk}/pick")
    assert answer.status_code == 409
    assert "Pick list for" not in answer.text
    assert take(visitor, row, "10").status_code == 409


def test_without_a_stock_every_colour_is_printed(visitor, row):
    page = visitor.get(f"/sittings/{row.pk}/pick").text
    colours = len(handed.palette_of_sitting(row).colours)
    assert f"No drawer has a colour of this palette. All {colours} are to be printed." in page
    assert "Your stock has no snippets" in page
    assert page.count("no snippets in stock") == colours
    assert "Take them from stock" not in page


def test_the_list_goes_by_drawer_and_says_what_is_printed(visitor, row, stocked):
    page = visitor.get(f"/sittings/{row.pk}/pick").text
    assert "2 colours from the drawers" in page
    assert page.index("<strong>9</strong> · second") < page.index("<strong>10</strong> · first &lt;one&gt;")
    assert f"for {stocked[0]}: the same to the eye" in page
    assert "1 left afterwards, reorder" in page
    assert "drawer 8 would fit, but is empty" in page
    assert "<strong>7</strong>" not in page


def test_what_is_ticked_is_counted_down_once_and_stands_as_the_clients(visitor, owner, row, stocked):
    for _ in range(2):
        assert "1 piece taken from stock" in take(visitor, row, "10").text or _ == 1
    assert counts(owner) == {"7": 5, "8": 0, "9": 1, "10": 1}
    page = visitor.get(f"/sittings/{row.pk}/pick").text
    assert "Drawer 10, first &lt;one&gt;" in page[page.index('id="taken"') : page.index('id="picks"')]
    assert "<strong>10</strong>" not in page
    assert "<strong>9</strong>" in page
    assert "Still to take" in page
    [moved] = StockMovement.objects.filter(sitting=row)
    assert (moved.change, moved.why, moved.by) == (-1, "picked", owner)
    assert row.client.name in visitor.get(f"/stock/{moved.snippet_id}").text


def test_a_piece_is_put_back_once_for_a_press(visitor, owner, row, stocked):
    take(visitor, row, "9", "10")
    snippet = row.picked.get(snippet__drawer="9").snippet
    for status in (302, 404):
        sent = {"snippet": snippet.pk, "key": "back"}
        assert visitor.post(f"/sittings/{row.pk}/pick/back", sent).status_code == status
    assert counts(owner) == {"7": 5, "8": 0, "9": 1, "10": 1}
    assert "<strong>9</strong>" in visitor.get(f"/sittings/{row.pk}/pick").text


@pytest.mark.parametrize(
    ("drawers", "said"),
    [
        ((), "No drawer was ticked"),
        (("10", "8"), "Drawer 8 is no longer on the list"),
        (("nowhere",), "no longer on the list"),
    ],
)
def test_what_is_not_on_the_list_is_not_counted(visitor, owner, row, stocked, drawers, said):
    assert said in take(visitor, row, *drawers).text
    assert counts(owner) == {"7": 5, "8": 0, "9": 1, "10": 2}


def test_a_drawer_that_was_emptied_meanwhile_is_said(visitor, owner, row, stocked):
    take(visitor, row, "9", key="other")
    assert "Drawer 9 is no longer on the list" in take(visitor, row, "9", "10").text
    assert counts(owner) == {"7": 5, "8": 0, "9": 0, "10": 2}


def test_a_wider_tolerance_takes_more(visitor, owner, row, stocked):
    wide = visitor.get(f"/sittings/{row.pk}/pick?within=6").text
    narrow = visitor.get(f"/sittings/{row.pk}/pick").text
    assert wide.count('name="drawers"') >= narrow.count('name="drawers"') == 2
    assert '<option value="6" selected>' in wide
    assert visitor.get(f"/sittings/{row.pk}/pick?within=much").text.count('name="drawers"') == 2


def test_a_drawer_cleared_meanwhile_takes_nothing_back(visitor, owner, row, stocked):
    take(visitor, row, "10")
    snippet = row.picked.get().snippet
    visitor.post(f"/stock/{snippet.pk}/clear")
    answer = visitor.post(f"/sittings/{row.pk}/pick/back", {"snippet": snippet.pk, "key": "x"}, follow=True)
    assert "drawer 10 has been cleared since" in answer.text
    assert row.picked.count() == 1


def test_who_does_not_see_the_client_sees_no_list(owner, person, stranger, row, stocked):
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    for user in (bea, stranger):
        assert browser_of(user).get(f"/sittings/{row.pk}/pick").status_code == 404
        assert take(browser_of(user), row, "10").status_code == 404
        assert browser_of(user).post(f"/sittings/{row.pk}/pick/back", {"snippet": "1"}).status_code == 404
    assert counts(owner) == {"7": 5, "8": 0, "9": 1, "10": 2}
