"""The stock on the studio's pages: snippets come in three ways, are counted, and nothing is lost or written over."""

import csv
import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tenter.consultation.stock.files import parse_stock
from tenter.consultation.stock.movements import picked
from tenter.consultation.stock.snippets import Snippet
from tenter.errors import TenterError
from tenter.web.models import Associate, AuditEntry, KitRecord, SnippetRecord, StockMovement
from tenter.web.stock import stock_room
from tests.web.conftest import browser_of

TABLE = (
    "drawer,name,L,a,b,illuminant,observer,count,reorder_at\n7,coral <wool>,65,40,30,D65,10,3,2\n"
    "8,navy,22,4,-24,A,2,1,1\n"
)
ONE = {
    **{"by": "one", "one-drawer": "A3", "one-name": "teal card", "one-L": "50", "one-a": "-22.5", "one-b": "-9"},
    **{"one-illuminant": "D65", "one-observer": "10", "one-count": "4", "one-reorder_at": ""},
}


def as_table(text, **said):
    file = SimpleUploadedFile("mine.csv", text.encode() if isinstance(text, str) else text)
    return {"by": "table", "table-table": file, "table-count": "1", "table-reorder_at": ""} | said


def counts(owner):
    return {one.drawer: one.count for one in stock_room.stock_of(owner)}


@pytest.fixture
def stocked(visitor, owner):
    assert visitor.post("/stock/add", as_table(TABLE))["Location"] == "/stock"
    return {row.drawer: row for row in SnippetRecord.objects.all()}


def test_a_studio_begins_without_snippets_and_its_page_says_how_to_begin(visitor):
    page = visitor.get("/stock").text
    assert "No snippets yet" in page
    assert "/stock/add" in page
    assert 'href="/stock"' in visitor.get("/studio").text


def test_a_table_is_taken_in_and_given_back_the_same(visitor, owner, stocked):
    assert counts(owner) == {"7": 3, "8": 1}
    page = visitor.get("/stock").text
    assert "7 · coral &lt;wool&gt;" in page
    assert "2 drawers, 4 pieces" in page
    given = visitor.get("/stock/stock.csv")
    assert given["Content-Disposition"] == 'attachment; filename="stock.csv"'
    assert parse_stock(given.text).snippets == parse_stock(TABLE).snippets
    assert [row[0] for row in csv.reader(io.StringIO(given.text))] == ["drawer", "7", "8"]


def test_what_is_low_stands_on_the_reorder_list(visitor, stocked):
    page = visitor.get("/stock").text
    low = page[page.index('id="low"') : page.index('id="drawers"')]
    assert "Drawer 8, navy" in low
    assert "Drawer 7" not in low


def test_one_snippet_is_added_by_hand(visitor, owner):
    assert visitor.post("/stock/add", ONE)["Location"] == "/stock"
    [one] = stock_room.stock_of(owner)
    assert one == Snippet("A3", "teal card", (50.0, -22.5, -9.0), count=4)
    assert list(AuditEntry.objects.filter(action="snippets added").values_list("subject", flat=True)) == ["1"]


def test_a_kit_becomes_stock(visitor, owner):
    kit = KitRecord.objects.first()
    sent = {"by": "kit", "kit-kit": kit.pk, "kit-count": "2", "kit-reorder_at": "1"}
    assert visitor.post("/stock/add", sent)["Location"] == "/stock"
    found = stock_room.stock_of(owner)
    assert len(found) > 80
    assert {(one.count, one.reorder_at) for one in found} == {(2, 1)}


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (as_table("drawer,name\n"), "missing column(s)"),
        (as_table("a,b\n1,2\n"), "neither a stock"),
        (as_table(b"\xff\xfe"), "not UTF-8"),
        (as_table(TABLE.replace("8,navy", "7,navy")), "drawer 7 is in row 2 already"),
        (as_table(TABLE.replace("22,4", "x,4")), "row 3, column L"),
        (as_table("", **{"table-count": "-1"}), "empty"),
        (ONE | {"one-L": "300"}, "L* of drawer A3"),
        (ONE | {"one-drawer": "A 3"}, "cannot be a drawer"),
        (ONE | {"one-count": "-1"}, "greater than or equal to 0"),
        (ONE | {"one-L": "much"}, "Enter a number"),
        (ONE | {"one-illuminant": "D66"}, "valid choice"),
        ({"by": "kit", "kit-kit": "999", "kit-count": "1"}, "valid choice"),
    ],
)
def test_what_cannot_be_stock_is_said_and_nothing_is_kept(visitor, owner, sent, said):
    for file in sent.values():
        if hasattr(file, "seek"):
            file.seek(0)
    answer = visitor.post("/stock/add", sent)
    assert answer.status_code == 422
    assert said.casefold() in answer.text.casefold()
    assert counts(owner) == {}


def test_a_drawer_in_use_is_not_written_over(visitor, owner, stocked):
    more = TABLE.replace("8,navy", "9,ink")
    answer = visitor.post("/stock/add", as_table(more))
    assert answer.status_code == 422
    assert "Drawer 7 holds coral &lt;wool&gt; already" in answer.text
    assert counts(owner) == {"7": 3, "8": 1}


# -- one drawer --------------------------------------------------------------------------------------------------------


def moved(visitor, row, why, pieces, key, note=""):
    sent = {"move-why": why, "move-pieces": pieces, "move-note": note, "move-key": key}
    return visitor.post(f"/stock/{row.pk}", sent)


def test_pieces_are_bought_and_counted_and_the_same_press_counts_once(visitor, owner, stocked):
    row = stocked["7"]
    for _ in range(2):
        assert moved(visitor, row, "bought", 5, "one", "fair")["Location"] == f"/stock/{row.pk}"
    assert counts(owner) == {"7": 8, "8": 1}
    moved(visitor, row, "counted", 6, "two")
    assert counts(owner) == {"7": 6, "8": 1}
    page = visitor.get(f"/stock/{row.pk}").text
    assert [word in page for word in ("fair", "+5", "-2", "6 pieces", "+3")] == [True] * 5
    assert moved(visitor, row, "counted", 6, "three")["Location"]
    assert StockMovement.objects.filter(snippet=row).count() == 3


@pytest.mark.parametrize(("why", "pieces"), [("bought", 0), ("bought", -1), ("counted", 10**6), ("picked", 1), ("", 1)])
def test_a_wrong_count_is_said_and_counts_nothing(visitor, owner, stocked, why, pieces):
    answer = moved(visitor, stocked["7"], why, pieces, "one")
    assert answer.status_code == 422
    assert "fault-line" in answer.text
    assert counts(owner) == {"7": 3, "8": 1}


def test_no_more_is_picked_than_a_drawer_holds_whoever_asks(owner, stocked):
    with pytest.raises(TenterError, match="it held 0"):
        stock_room.move(owner, owner, picked(["8", "8"], stock_room.now()), "one")
    assert counts(owner) == {"7": 3, "8": 1}


def test_a_snippet_is_renamed_and_reordered_at_another_number(visitor, stocked):
    row = stocked["7"]
    visitor.post(f"/stock/{row.pk}/label", {"label-name": "rust", "label-reorder_at": "9"})
    row.refresh_from_db()
    assert (row.name, row.reorder_at) == ("rust", 9)
    visitor.post(f"/stock/{row.pk}/label", {"label-name": "", "label-reorder_at": "9"})
    row.refresh_from_db()
    assert row.name == "rust"
    assert "Drawer 7, rust" in visitor.get("/stock").text


def test_a_cleared_drawer_is_free_and_what_went_out_of_it_stays_written_down(visitor, owner, stocked):
    row = stocked["7"]
    assert visitor.post(f"/stock/{row.pk}/clear")["Location"] == "/stock"
    assert counts(owner) == {"8": 1}
    assert visitor.get(f"/stock/{row.pk}").status_code == 404
    visitor.post("/stock/add", ONE | {"one-drawer": "7"})
    assert counts(owner) == {"7": 4, "8": 1}
    assert StockMovement.objects.filter(snippet=row).count() == 1


def test_everybody_of_the_studio_counts_and_nobody_else_sees_it(owner, person, stranger, stocked):
    bea, row = person("Bea Thorn"), stocked["7"]
    Associate.objects.create(owner=owner, user=bea)
    assert moved(browser_of(bea), row, "bought", 1, "one").status_code == 302
    assert counts(owner) == {"7": 4, "8": 1}
    other = browser_of(stranger)
    assert "No snippets yet" in other.get("/stock").text
    for address in (f"/stock/{row.pk}", f"/stock/{row.pk}/clear", f"/stock/{row.pk}/label"):
        assert other.post(address).status_code == 404
    other.post("/stock/add", ONE | {"one-drawer": "7"})
    assert counts(owner) == {"7": 4, "8": 1}
    assert counts(stranger) == {"7": 4}
