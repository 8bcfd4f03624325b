"""The verdict's pages in a language that has no letter of English: only names and what was typed are left in it."""

import re

import pytest

from tenter.web.languages.studios_language import in_language
from tenter.web.models import AuditEntry, Client, StudioName
from tenter.web.papers import handed
from tenter.web.rules.audit import Action
from tenter.web.store import store
from tests.support.pseudo import english, pseudo, write_catalogue
from tests.web.conftest import browser_of

TAG = "ru"  # its months have no letter of English either, and its numbers have a comma
LEFT = {"Tenter", "Maren", "Tolliver"}
_HEAD, _MARKS, _SAID, _NUMBER = (
    re.compile(r"<head>.*?</head>|<header class=.bar.*?</header>|<kbd>.*?</kbd>", re.DOTALL),
    re.compile(r"<[^>]*>|&#?\w+;"),
    re.compile(r'(?:aria-label|title|placeholder|data-said-\w+)="([^"]*)"'),
    re.compile(r' (?:x|y|width|height|value|max)="([\d.,]+)"'),
)


@pytest.fixture
def row(owner, tmp_path, settings):
    settings.LOCALE_PATHS = [write_catalogue(tmp_path, TAG)]
    settings.LANGUAGES = [("en", "en"), (TAG, TAG)]
    StudioName.objects.create(owner=owner, name="North", language=TAG)
    return Client.objects.get(name="Maren Tolliver").sittings.get()


def left_in_english(page, *names):
    body = _HEAD.sub("", page)
    told = [*_SAID.findall(body), _MARKS.sub(" ", body)]
    known = LEFT | {word for name in names for word in name.split()}
    return sorted(word for word in set(english(told)) - known if len(word) > 1)


def test_the_verdicts_pages_have_no_english_left(owner, row):
    browser, cloths = browser_of(owner), [f"{drape.name} {drape.place}" for drape in store.kit_of(row.kit).drapes]
    colour = next(c.cloth for c in handed.palette_of_sitting(row).colours if c.cloth)
    addresses = ("evidence", "verdict", f"palette?colour={colour}", "palette?add=red", "papers", "brought")
    pages = {address: browser.get(f"/sittings/{row.pk}/{address}").text for address in addresses}
    begun = store.start_sitting(row.client, owner, row.kit, seed=3)
    pages |= {"owed": browser.get(f"/sittings/{begun.pk}/verdict").text}
    left = {address: left_in_english(page, *cloths) for address, page in pages.items()}
    assert {address: words for address, words in left.items() if words} == {}
    assert {number for page in pages.values() for number in _NUMBER.findall(page) if "," in number} == set()


@pytest.mark.parametrize(
    ("subject", "said"),
    [
        ("sitting 5", pseudo("sitting %(number)s") % {"number": 5}),
        ("too many tries", pseudo("too many tries")),
        ("wishes of client 3", "wishes of client 3"),  # written down as words, and left as it was
    ],
)
def test_a_line_of_the_log_is_kept_in_english_and_read_in_the_language(row, subject, said):
    line = AuditEntry(action=Action.PAPERS_WRITTEN, subject=subject)
    assert (line.action_words, line.subject_words) == (Action.PAPERS_WRITTEN, subject)
    with in_language(TAG):
        assert (line.action_words, line.subject_words) == (pseudo("client's papers written"), said)
