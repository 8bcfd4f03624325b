"""The catalogues of each language: in step with the templates, whole, and compiled as they are written."""

import re

import pytest
from babel.messages.pofile import read_po

from studies.written.write_catalogues import brought_in_line, compiled, is_translated, translations, written
from studies.written.write_template import Domain
from tenter.translations import known_languages

FILES = [(domain, path) for domain in Domain for path in translations(domain)]
# Names in braces or of Django's, marks of a page, and what a page writes by its number.
KEPT = re.compile(r"\{\w*\}|%\(\w+\)[sdr]|%%|</?[a-z][^>]*>|&\w+;")
each = pytest.mark.parametrize(("domain", "path"), FILES, ids=lambda one: getattr(one, "parent", one))


def messages(path):
    with path.open("rb") as file:
        return [message for message in read_po(file) if message.id]


def test_there_is_a_whole_second_language():
    assert known_languages()[:2] == ("en", "de")
    assert len(FILES) == 2 * (len(known_languages()) - 1)


@each
def test_a_language_is_in_step_with_the_template_and_compiled(domain, path):
    in_step = brought_in_line(path, domain)
    assert path.read_bytes() == written(in_step)
    assert path.with_suffix(".mo").read_bytes() == compiled(in_step)


@each
def test_every_sentence_has_its_translation(domain, path):
    assert [message.id for message in messages(path) if not is_translated(message)] == []


@each
def test_a_translation_keeps_the_names_and_marks_of_its_sentence(domain, path):
    wrong = []
    for message in messages(path):
        ids = message.id if isinstance(message.id, tuple) else (message.id,)
        said = message.string if isinstance(message.string, tuple) else (message.string,)
        asked = [sorted(KEPT.findall(one)) for one in ids]
        wrong += [one for one in said if sorted(KEPT.findall(one)) not in asked]
    assert wrong == []


@each
def test_a_translation_begins_and_ends_as_its_sentence_where_something_follows(domain, path):
    ends = [(m.id, m.string) for m in messages(path) if isinstance(m.id, str) and m.id.strip() != m.id]
    assert [said for sentence, said in ends if sentence[0].isspace() and not said[0].isspace()] == []
    assert [said for sentence, said in ends if sentence[-1].isspace() and not said[-1].isspace()] == []
