"""A studio's own words: what may be written, what is refused, and that nothing is printed of what is not written."""

import dataclasses

import pytest

from tenter.errors import TenterError, UnknownName
from tenter.report.own_words.studio_words import (
    MOST_LETTERS,
    NO_WORDS,
    Language,
    StudioWords,
    TextOf,
    Topic,
    language_from,
    paragraphs,
    require_known,
)

SEASON = TextOf("autumn", "Warm and muted.\n\nThink of a wood in October.")
SUB_SEASON = TextOf("soft autumn", "Softest of the three.")


def test_nothing_is_printed_of_what_is_not_written() -> None:
    assert NO_WORDS.is_empty
    assert (NO_WORDS.text_for("soft autumn", "autumn"), NO_WORDS.make_up("soft autumn", "autumn")) == ((), ())
    assert NO_WORDS.letter_paragraphs == ()
    assert NO_WORDS.version == ""
    assert StudioWords(texts=(TextOf("autumn", " \n"),), letterhead=(" ",), letter="\n").is_empty


@pytest.mark.parametrize(
    "written",
    [
        {"letterhead": ("Studio Linde",)},
        {"signature": "Anna"},
        {"letter": "Dear Mia"},
        {"texts": (SEASON,)},
        {"make_up_texts": (TextOf("", "A little is plenty."),)},
    ],
)
def test_words_are_not_empty_once_one_of_them_is_written(written: dict[str, object]) -> None:
    assert not dataclasses.replace(NO_WORDS, **written).is_empty


def test_a_client_reads_of_their_season_and_then_of_their_sub_season() -> None:
    words = StudioWords(texts=(SUB_SEASON, SEASON))
    assert words.text_for("soft autumn", "autumn") == (
        "Warm and muted.",
        "Think of a wood in October.",
        "Softest of the three.",
    )
    assert words.text_for("light spring", "spring") == ()


def test_a_category_that_is_its_own_season_is_printed_once() -> None:
    assert StudioWords(texts=(TextOf("autumn", "Warm."),)).text_for("autumn", "autumn") == ("Warm.",)


def test_make_up_advice_begins_with_what_is_for_everybody() -> None:
    words = StudioWords(make_up_texts=(TextOf("soft autumn", "Rose brown."), TextOf("", "A little is plenty.")))
    assert words.make_up("soft autumn", "autumn") == ("A little is plenty.", "Rose brown.")
    assert words.make_up("light spring", "spring") == ("A little is plenty.",)


def test_a_paragraph_keeps_its_line_breaks_and_lines_end_alike() -> None:
    words = StudioWords(letter="Dear Mia,\r\nit was a joy.\r\n \r\n\r\n\r\nWarmly\rAnna\n")
    assert words.letter_paragraphs == ("Dear Mia,\nit was a joy.", "Warmly\nAnna")
    assert paragraphs("") == ()


@pytest.mark.parametrize(
    "text",
    [
        "Ευχαριστώ πολύ",
        "شكرًا جزيلًا، \u200fميا",
        "とても似合います",
        "धन्यवाद \u200dक्ष",
        "#let x = 1 *bold* <b>&amp;</b> $x$",
        "👗🏽 ok",
    ],
)
def test_any_script_is_kept_as_it_is_and_signs_of_markup_are_letters(text: str) -> None:
    assert StudioWords(letter=text).letter_paragraphs == (text,)


@pytest.mark.parametrize("letter", ["\x00", "\x07", "\x1b", "\u202e", "\u202a", "\ufffe", "\ufdd1"])
def test_letters_that_control_or_turn_what_follows_are_refused_by_their_number(letter: str) -> None:
    with pytest.raises(TenterError, match=f"U\\+{ord(letter):04X}"):
        StudioWords(letter=f"a{letter}b")


def test_half_a_letter_is_refused() -> None:
    with pytest.raises(TenterError, match="half a letter"):
        StudioWords(letter="a\ud800")


@pytest.mark.parametrize(
    ("topic", "made"),
    [
        (Topic.LETTER, lambda text: StudioWords(letter=text)),
        (Topic.SIGNATURE, lambda text: StudioWords(signature=text)),
        (Topic.TEXT, lambda text: StudioWords(texts=(TextOf("autumn", text),))),
        (Topic.MAKE_UP, lambda text: StudioWords(make_up_texts=(TextOf("", text),))),
    ],
)
def test_a_text_may_be_as_long_as_its_limit_and_no_longer(topic: Topic, made: object) -> None:
    most = MOST_LETTERS[topic]
    assert not made("x" * most).is_empty  # type: ignore[operator]
    with pytest.raises(TenterError, match=f"has {most + 1} letters, and {most} at most"):
        made("x" * (most + 1))  # type: ignore[operator]


def test_a_letterhead_has_six_short_lines_at_most() -> None:
    assert StudioWords(letterhead=("Studio Linde", "", " Hauptstraße 1 ")).letterhead == (
        "Studio Linde",
        "Hauptstraße 1",
    )
    with pytest.raises(TenterError, match="6 lines at most; got 7"):
        StudioWords(letterhead=tuple("abcdefg"))
    with pytest.raises(TenterError, match="60 letters at most; got 61"):
        StudioWords(letterhead=("x" * 61,))


@pytest.mark.parametrize(
    ("tag", "written", "parts"),
    [
        ("de", "de", Language("de")),
        ("PT-br", "pt-BR", Language("pt", region="BR")),
        ("zh-hant", "zh-Hant", Language("zh", "Hant")),
        ("sr-latn-rs", "sr-Latn-RS", Language("sr", "Latn", "RS")),
        ("es-419", "es-419", Language("es", region="419")),
    ],
)
def test_a_language_tag_is_kept_in_its_usual_spelling(tag: str, written: str, parts: Language) -> None:
    assert (str(language_from(tag)), language_from(tag)) == (written, parts)
    assert StudioWords(language=tag).language == written


@pytest.mark.parametrize("tag", ["", "german", "d", "de_DE", "de-", 'en"; x', None, 7])
def test_what_is_no_language_tag_is_refused_with_what_would_do(tag: object) -> None:
    with pytest.raises(TenterError, match="pt-BR"):
        language_from(tag)


def test_two_texts_of_one_season_are_refused() -> None:
    with pytest.raises(TenterError, match="two texts are of autumn"):
        StudioWords(texts=(SEASON, SEASON))


def test_a_text_of_a_season_that_the_method_does_not_have_is_named() -> None:
    words = StudioWords(texts=(SEASON,), make_up_texts=(TextOf("", "for all"), TextOf("indigo", "x")))
    with pytest.raises(UnknownName, match="indigo"):
        require_known(words, ("autumn", "soft autumn"))
    require_known(words, ("autumn", "indigo"))
