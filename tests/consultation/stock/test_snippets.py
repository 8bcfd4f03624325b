"""Snippets in drawers, and what comes in and goes out of them."""

import pytest
from numpy.testing import assert_allclose

from tenter import Kit
from tenter.colorimetry.illuminants import Observer
from tenter.colorimetry.measurement import D65_10, Colours, Conditions
from tenter.consultation.stock.movements import Movement, MovementReason, picked, stock_after, to_count
from tenter.consultation.stock.snippets import LARGEST_DRAWER, Snippet, Stock, drawer_from, snippets_of_kit
from tenter.errors import TenterError, UnknownName

GREY = (50.0, 0.0, 0.0)
DAY = "2026-11-29"


def stock(*snippets: Snippet) -> Stock:
    return Stock(snippets or (Snippet("1", "coral", (65, 40, 30), count=3, reorder_at=2), Snippet("2", "navy", GREY)))


def test_drawers_are_in_the_order_in_which_they_are_walked_along() -> None:
    found = stock(*(Snippet(drawer, "", GREY) for drawer in ("10", "A10", "2", "A2", "b1", "1")))
    assert [one.drawer for one in found] == ["1", "2", "10", "A2", "A10", "b1"]


@pytest.mark.parametrize("drawer", ["", "  ", "a b", "1,2", "x" * 13, "7\n8", None, 3.5, True])
def test_what_cannot_be_a_drawer_is_refused_with_what_can(drawer: object) -> None:
    with pytest.raises(TenterError, match="A3, 4-07"):
        drawer_from(drawer)


def test_a_whole_number_is_a_drawer_and_a_nameless_snippet_is_called_by_it() -> None:
    assert drawer_from(12) == "12"
    assert Snippet(" 12 ", " ", GREY).name == "12"


def test_two_snippets_of_one_drawer_are_named() -> None:
    with pytest.raises(TenterError, match="used twice: A1, a1"):
        stock(Snippet("A1", "", GREY), Snippet("a1", "", GREY), Snippet("2", "", GREY))


@pytest.mark.parametrize(
    "wrong",
    [
        {"lab": (200.0, 0.0, 0.0)},
        {"lab": (50.0, float("nan"), 0.0)},
        {"lab": (50.0, 0.0)},
        {"lab": "grey"},
        {"count": -1},
        {"count": 1.5},
        {"count": LARGEST_DRAWER + 1},
        {"reorder_at": -1},
        {"name": "x" * 81},
    ],
)
def test_wrong_numbers_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(TenterError):
        Snippet(**({"drawer": "7", "name": "rose", "lab": GREY} | wrong))  # type: ignore[arg-type]


def test_a_drawer_that_is_not_there_is_told_with_those_that_are() -> None:
    with pytest.raises(UnknownName, match="no drawer is called '9'; use 1 or 2"):
        stock()["9"]
    with pytest.raises(UnknownName, match="none yet"):
        Stock()["9"]
    assert stock(Snippet("A1", "rose", GREY))["a1"].name == "rose"


def test_colours_under_another_light_are_carried_to_d65_and_ten_degrees() -> None:
    warm = Conditions("A", Observer.CIE_1931_2)
    mixed = stock(Snippet("1", "", (60.0, 30.0, 40.0), warm), Snippet("2", "", (60.0, 30.0, 40.0)))
    assert_allclose(mixed.lab[1], (60.0, 30.0, 40.0), atol=1e-9)
    assert_allclose(mixed.lab[0], Colours((60.0, 30.0, 40.0), warm).under(D65_10).lab, atol=1e-9)
    assert abs(mixed.lab[0] - mixed.lab[1]).max() > 1
    assert Stock().lab.shape == (0, 3)


def test_a_kit_becomes_stock_without_its_metals_and_what_nobody_measured() -> None:
    kit = Kit.parse(
        "id,name,L,a,b,illuminant,observer,hue_family,undertone\n"
        "D1,coral,65,40,30,A,2,,\nD2,gold,70,3,15,A,2,metal,1\nD3,teal,,,,A,2,teal,\n"
    )
    [one] = snippets_of_kit(kit, count=4, reorder_at=1)
    assert (one.drawer, one.name, one.lab, str(one.conditions)) == ("D1", "coral", (65.0, 40.0, 30.0), "A/2°")
    assert (one.count, one.reorder_at) == (4, 1)


def test_more_snippets_go_beside_those_there_are_and_never_over_them() -> None:
    more = stock().with_more((Snippet("3", "teal", GREY),))
    assert [one.drawer for one in more] == ["1", "2", "3"]
    with pytest.raises(TenterError, match="drawer 1 holds coral already, so teal was not put there"):
        stock().with_more((Snippet("3", "rose", GREY), Snippet("1", "teal", GREY)))


# -- movements ---------------------------------------------------------------------------------------------------------


def test_what_comes_in_and_goes_out_adds_up_and_the_stock_before_stays() -> None:
    before = stock()
    after = stock_after(
        before, [Movement("1", 5, MovementReason.BOUGHT, DAY), *picked(["1", "1"], DAY), *picked(["1"], DAY)]
    )
    assert (after["1"].count, before["1"].count, after["2"].count) == (5, 3, 0)


def test_a_drawer_is_on_the_reorder_list_at_its_number_and_below() -> None:
    assert stock().to_reorder == ()
    low = stock_after(stock(), picked(["1"], DAY))
    assert [one.drawer for one in low.to_reorder] == ["1"]
    assert [one.drawer for one in stock_after(low, picked(["1"], DAY)).to_reorder] == ["1"]


def test_no_more_goes_out_than_there_is() -> None:
    with pytest.raises(
        TenterError, match=r"1 of drawer 2 \(navy\) picked on 2026-11-29, and it held 0\. Count the drawer"
    ):
        stock_after(stock(), picked(["2"], DAY))
    with pytest.raises(UnknownName, match="no drawer is called '9'"):
        stock_after(stock(), picked(["9"], DAY))


def test_a_count_moves_a_drawer_to_what_was_counted() -> None:
    [one] = to_count(stock(), "1", 7, DAY, "inventory")
    assert (one.change, one.why, one.note) == (4, MovementReason.COUNTED, "inventory")
    assert stock_after(stock(), [one])["1"].count == 7
    assert to_count(stock(), "1", 3, DAY) == ()
    with pytest.raises(TenterError, match="from 0 to"):
        to_count(stock(), "1", -2, DAY)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (0, MovementReason.COUNTED),
        (-1, MovementReason.BOUGHT),
        (1, MovementReason.PICKED),
        (-1, MovementReason.PUT_BACK),
        (1.5, MovementReason.BOUGHT),
        (10**7, MovementReason.BOUGHT),
    ],
)
def test_a_movement_goes_the_way_of_its_reason(change: object, why: MovementReason) -> None:
    with pytest.raises(TenterError):
        Movement("1", change, why, DAY)  # type: ignore[arg-type]


@pytest.mark.parametrize("at", ["", "yesterday", "29.11.2026", 7])
def test_a_movement_has_a_date(at: object) -> None:
    with pytest.raises(TenterError, match="2026-11-29"):
        Movement("1", 1, MovementReason.BOUGHT, at)  # type: ignore[arg-type]
