"""Wishes as they are said one by one, and what they come to."""

import pytest

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.wishes.said_wishes import MOST_WISHES, SaidWish, WishKind, wishes_of
from tenter.consultation.wishes.wishes import NO_WISHES, Limit, Rule, Wish, wished
from tenter.errors import TenterError


def test_each_kind_becomes_a_wish_or_a_limit():
    found = wishes_of(
        [
            SaidWish(WishKind.LOVED, " purple "),
            SaidWish(WishKind.HATED, "coral", "reminds me of school"),
            SaidWish(WishKind.NEVER, "red", "mourning"),
            SaidWish(WishKind.MUST, "navy", "uniform"),
            SaidWish(WishKind.BUDGET, "5"),
            SaidWish(WishKind.NOTE, why="wool itches"),
        ]
    )
    assert found.loved == (Wish(HueFamily.PURPLE, "You love purple"),)
    assert found.hated == (Wish(wished("coral"), "reminds me of school"),)
    assert found.limits == (
        Limit(Rule.NEVER, "mourning", HueFamily.RED),
        Limit(Rule.MUST, "uniform", wished("navy")),
        Limit(Rule.BUDGET, "Your budget: 5 new pieces", pieces=5),
        Limit(Rule.NOTE, "wool itches"),
    )
    assert wishes_of([]) is NO_WISHES


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        (("wanted", "red"), "no kind of a wish is called 'wanted'"),
        ((WishKind.LOVED, "bleen"), "no hue family or colour is called 'bleen'"),
        ((WishKind.LOVED,), "a hue family or a colour is a text"),
        ((WishKind.NEVER, "red"), "does not say why"),
        ((WishKind.BUDGET, "little"), "a budget is a number of new pieces, from 1 to 24; got 'little'"),
        ((WishKind.BUDGET, "0"), "whole number from 1 to 24"),
        ((WishKind.NOTE,), "why a limit holds"),
        ((WishKind.NOTE, "", "x" * 201), "this has 201 letters, and at most 200 are kept"),
    ],
)
def test_what_is_no_wish_says_why(said, problem):
    with pytest.raises(TenterError, match=problem):
        SaidWish(*said)


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        ([(WishKind.LOVED, "red"), (WishKind.HATED, "red")], "both loved and hated"),
        ([(WishKind.BUDGET, "3"), (WishKind.BUDGET, "4")], "one budget, and two came"),
        ([(WishKind.NOTE, "", "x")] * (MOST_WISHES + 1), "these are 31 wishes, and at most 30 are kept"),
    ],
)
def test_wishes_that_do_not_go_together_are_refused(said, problem):
    with pytest.raises(TenterError, match=problem):
        wishes_of(SaidWish(*one) for one in said)
