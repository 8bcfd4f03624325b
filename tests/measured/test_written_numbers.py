"""What is read of a number is what was written, and what is none is refused by name."""

import math

import pytest

from tenter.errors import TenterError
from tenter.measured.written_numbers import (
    interval_ends,
    number_or_none,
    plain_list,
    plain_lists,
    text_or_none,
    triple,
    triple_within,
)

INTERVALS = [[58.0, 62.5], [9.0, 11.0], [-1.0, -1.0]]


def test_what_is_written_is_read_again():
    assert plain_list(triple([60.125, -0.5, 15], "lab")) == [60.125, -0.5, 15]
    assert plain_lists(triple_within(INTERVALS, "lab_interval_90")) == INTERVALS
    assert plain_list(interval_ends([-3, 4.5])) == [-3, 4.5]
    assert (number_or_none(0.5, "a share"), text_or_none("a reason")) == (0.5, "a reason")


def test_nothing_stays_nothing():
    assert [plain_list(None), plain_lists(None), number_or_none(None, "a share"), text_or_none(None)] == [None] * 4


@pytest.mark.parametrize("junk", [None, 3, "abc", [1, 2], [1, 2, 3, 4], [1, 2, True], [1, 2, "3"], [1, 2, math.nan]])
def test_three_numbers_are_three_finite_numbers(junk):
    with pytest.raises(TenterError, match="lab"):
        triple(junk, "lab")


@pytest.mark.parametrize("junk", [None, 3, [1], [1, 2, 3], [2, 1], [1, math.inf], {"low": 1, "high": 2}])
def test_an_interval_has_two_ends_in_order(junk):
    with pytest.raises(TenterError, match="interval"):
        interval_ends(junk)
    with pytest.raises(TenterError, match="interval"):
        triple_within([[1, 2], [1, 2], junk], "interval_90")


def test_each_of_three_has_an_interval():
    with pytest.raises(TenterError, match="interval_90 needs an interval for each"):
        triple_within(INTERVALS[:2], "interval_90")


def test_what_is_no_number_and_no_text_is_refused():
    with pytest.raises(TenterError, match="a share"):
        number_or_none("0.5", "a share")
    with pytest.raises(TenterError, match="text"):
        text_or_none(3)
