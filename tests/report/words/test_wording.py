"""Numbers, dates and kind words."""

import numpy as np
import pytest

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.words.odds_words import OddsWord, degree, odds_word
from tenter.language import long_date
from tenter.numerals import listed
from tenter.report.reading.trait_lines import AXIS_REACH, axis_share
from tenter.report.words.swatches import plain_words
from tenter.report.words.wording import card_fit, degree_borders, odds_key, printed_percent, times
from tests.support.unkind_words import NEVER_SAID, NEVER_SAID_OF_A_PERSON, unkind_words


@pytest.mark.parametrize(
    ("probability", "text"),
    [
        (0.0, "< 1 %"),
        (0.0099, "< 1 %"),
        (0.01, "1 %"),
        (0.016, "2 %"),
        (0.5, "50 %"),
        (0.754, "75 %"),
        (0.99, "99 %"),
        (0.9901, "> 99 %"),
        (0.997, "> 99 %"),
        (1.0, "> 99 %"),
    ],
)
def test_a_percent_is_whole_and_never_certain(probability, text):
    assert printed_percent(probability) == text


def test_a_percent_is_never_0_or_100():
    assert not {printed_percent(p / 1000) for p in range(1001)} & {"0 %", "100 %"}


def test_worth_is_said_by_the_factor_on_the_odds():
    assert [times(f) for f in (1.8, 0.5, 42.2)] == ["× 1.8", "÷ 2.0", "× 42"]


def test_a_date_is_written_out():
    assert long_date("2026-03-04") == "4 March 2026"


def test_lists_read_as_a_sentence():
    assert [listed(("a", "b", "c")[:n]) for n in range(4)] == ["", "a", "a and b", "a, b and c"]


def test_the_key_of_odds_words_says_where_each_begins():
    key = odds_key()
    assert key == "open below 60 %, leaning from 60 %, likely from 75 %, firm from 90 %, settled above 98 %"
    assert all(word in key for word in OddsWord)
    assert odds_word(0.981) is OddsWord.SETTLED


def test_the_borders_drawn_are_those_of_the_degrees():
    borders = degree_borders(AXIS_REACH)
    assert [degree(b) for b in borders] == ["slight", "marked", "strong"]
    assert [degree(b - 0.005) for b in borders] == ["middle", "slight", "marked"]


def test_an_axis_is_drawn_from_end_to_end():
    assert [axis_share(v) for v in (-9, -AXIS_REACH, 0, AXIS_REACH, 9)] == [0, 0, 0.5, 1, 1]


@pytest.mark.parametrize("text", ["You look tired.", "Your skin is dull here", "it makes an OLD face", "must-buy"])
def test_an_unkind_word_is_found(text):
    assert unkind_words(text)


@pytest.mark.parametrize(
    "text", ["This cloth takes light from your face.", "A mid grey cloth.", "They told it, and held it; bold."]
)
def test_a_kind_sentence_passes(text):
    assert unkind_words(text) == ()


def test_the_lists_hold_the_words_that_must_never_be_said():
    assert {"old", "sick"} <= set(NEVER_SAID)
    assert "grey" in NEVER_SAID_OF_A_PERSON


@pytest.mark.parametrize(
    ("lab", "family", "words"),
    [
        ((62, -26, 43), HueFamily.GREEN, "medium vivid green"),
        ((80, 17, 7), HueFamily.PINK, "light muted pink"),
        ((90, 1, 12), HueFamily.WHITE, "warm white"),
        ((94, 0, 0), HueFamily.WHITE, "white"),
        ((66, -1, -9), HueFamily.GREY, "medium cool grey"),
        ((16, 0, 0), HueFamily.DARK, "near-black"),
        ((22, 17, -12), HueFamily.PURPLE, "very dark muted purple"),
    ],
)
def test_a_colour_is_told_in_words(lab, family, words):
    assert plain_words(np.array(lab, dtype=float), family) == words


def test_how_well_a_card_is_read_is_said_in_one_sentence():
    assert card_fit(0.71) == "The card’s colours are predicted to within ΔE00 0.7 on average."
