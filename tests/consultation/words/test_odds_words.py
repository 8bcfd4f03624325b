"""Words for odds and places at their bounds, and percentages as they are said: near to the odds and never certain."""

import pytest

from tenter.consultation.words.odds_words import (
    ENOUGH,
    Degree,
    OddsWord,
    degree,
    is_edge,
    odds_word,
    one_lower,
    percent,
)

JUST_BELOW = -1e-9
EVERY = [n / 2000 for n in range(2001)]
# Where a word begins, or a sitting may end; the last word begins above its limit, the others at theirs.
LIMITS = (0.60, 0.75, 0.90, ENOUGH, 0.98)


def said(probability):
    """Return what a percentage reads as, and how many decimals it was given."""
    words = percent(probability)
    figure = words.removeprefix("> ").removeprefix("< ").removesuffix(" %")
    return float(figure) / 100, len(figure.partition(".")[2])


def test_a_percentage_is_the_nearest_whole_one_but_beside_a_limit():
    for probability in EVERY[10:-10]:  # from 0.5 to 99.5 %
        figure, decimals = said(probability)
        beside = [limit for limit in LIMITS if 0 < abs(probability - limit) < 0.0051]
        if not beside:
            assert decimals == 0
        assert abs(figure - probability) < (0.001 if decimals else 0.0051)


def test_a_percentage_is_in_the_range_of_the_word_that_is_said_beside_it():
    for probability in EVERY:
        assert odds_word(said(probability)[0]) is odds_word(probability)


def test_odds_that_are_not_enough_are_never_said_to_be():
    for probability in EVERY:
        assert (said(probability)[0] >= ENOUGH) == (probability >= ENOUGH)


def test_nothing_is_said_to_be_impossible_or_certain():
    assert not {percent(probability) for probability in EVERY} & {"0 %", "100 %"}


def test_percentages_never_fall_where_odds_rise():
    figures = [said(probability)[0] for probability in EVERY]
    assert figures == sorted(figures)


@pytest.mark.parametrize(("limit", "sides"), [(0.75, ("74.9 %", "75 %", "75 %")), (0.98, ("98 %", "98 %", "98.1 %"))])
def test_a_decimal_is_given_only_on_the_side_that_would_be_rounded_across(limit, sides):
    assert tuple(percent(p) for p in (limit - 0.0005, limit, limit + 0.0005)) == sides


def test_a_word_that_is_lowered_is_the_one_below_it():
    words = list(OddsWord)
    assert [one_lower(word) for word in words[1:]] == words[:-1]


@pytest.mark.parametrize("other", [0.05, 0.2, 0.31, 0.45])
def test_an_edge_begins_where_the_likeliest_is_twice_as_likely_however_likely_both_are(other):
    for times in (1.0, 1.5, 1.999, 2.0, 2.001, 4.0):
        assert is_edge(times * other, other) is (times < 2)


@pytest.mark.parametrize(
    ("probability", "word"),
    [
        (0.0, OddsWord.OPEN),
        (0.60 + JUST_BELOW, OddsWord.OPEN),
        (0.60, OddsWord.LEANING),
        (0.75 + JUST_BELOW, OddsWord.LEANING),
        (0.75, OddsWord.LIKELY),
        (0.90 + JUST_BELOW, OddsWord.LIKELY),
        (0.90, OddsWord.FIRM),
        (0.98, OddsWord.FIRM),
        (0.98 - JUST_BELOW, OddsWord.SETTLED),
        (1.0, OddsWord.SETTLED),
    ],
)
def test_odds_words_at_their_bounds(probability, word):
    assert odds_word(probability) is word


@pytest.mark.parametrize(
    ("likeliest", "other", "edge"), [(0.5, 0.26, True), (0.5, 0.25, False), (0.5, 0.24, False), (0.4, 0.4, True)]
)
def test_an_edge_is_where_the_likeliest_is_less_than_twice_as_likely(likeliest, other, edge):
    assert is_edge(likeliest, other) is edge


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(
    ("size", "word"),
    [
        (0.0, Degree.MIDDLE),
        (0.25 + JUST_BELOW, Degree.MIDDLE),
        (0.25, Degree.SLIGHT),
        (0.7 + JUST_BELOW, Degree.SLIGHT),
        (0.7, Degree.MARKED),
        (1.3 + JUST_BELOW, Degree.MARKED),
        (1.3, Degree.STRONG),
    ],
)
def test_degrees_at_their_bounds(size, word, sign):
    assert degree(sign * size) is word


@pytest.mark.parametrize(
    ("probability", "words"),
    [(1.0, "> 99 %"), (0.996, "> 99 %"), (0.99, "99 %"), (0.5, "50 %"), (0.006, "1 %"), (0.004, "< 1 %"), (0, "< 1 %")],
)
def test_nothing_is_said_to_be_certain_or_impossible(probability, words):
    assert percent(probability) == words
