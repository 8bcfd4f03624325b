"""Sentences that are kept with what they were made of: put together as usual, taken apart, and said again."""

import pytest

from tenter.kept_words import keeping_words, keeps_words, taken_apart, without_marks
from tenter.language import _, all_of, local_number, ngettext, pgettext


def test_nothing_is_marked_unless_words_are_kept():
    assert _("{parts} and {last}", parts="a", last="b") == "a and b"
    with keeping_words():
        assert _("Measured") != "Measured"
    assert _("Measured") == "Measured"


def test_a_text_put_together_is_read_as_usual_and_knows_its_sentences():
    with keeping_words():
        text = f"Row 3: {_('to {end}', end=_('here'))}. {pgettext('axis', 'depth')} {ngettext('one', '{count}', 2)}"
    assert without_marks(text) == "Row 3: to here. depth 2"
    assert taken_apart(text) == [
        "Row 3: ",
        {"of": "to {end}", "with": {"end": [{"of": "here", "with": {}}]}},
        ". ",
        {"of": "depth", "context": "axis", "with": {}},
        " ",
        {"of": "one", "many": "{count}", "count": 2, "with": {"count": 2}},
    ]


def test_lists_and_numbers_are_made_of_sentences_too():
    with keeping_words():
        texts = all_of(["a", "b", "c"]), local_number(-8.25, 2)
    assert [without_marks(text) for text in texts] == ["a, b and c", "−8.25"]
    row, number = map(taken_apart, texts)
    assert row[0]["with"]["last"] == ["c"]
    assert [one["context"] for one in (row[0]["with"]["parts"][1], number[1])] == [
        "between the parts of a list",
        "decimal sign",
    ]


@keeps_words
def shouted(text):
    return text.upper()


def test_what_changes_a_text_as_a_whole_is_kept_by_its_name():
    with keeping_words():
        text = shouted(_("here"))
    assert (without_marks(text), taken_apart(text)) == (
        "HERE",
        [{"by": "shouted", "with": {"text": [{"of": "here", "with": {}}]}}],
    )
    assert shouted("here") == "HERE"


@pytest.mark.parametrize("cut", [lambda text: text[:-3], lambda text: text[3:], lambda text: text.split(" ")[0]])
def test_of_a_text_that_was_cut_through_the_words_are_left(cut):
    with keeping_words():
        text = _("here and there")
    [words] = taken_apart(cut(text))
    assert set(words) <= set("here and there")
