"""A studio whose pages are in a language that has no letter of English, and what is left in English on one of them."""

import re
from pathlib import Path
from typing import Any

from tenter.web.models import StudioName
from tests.support.pseudo import english, write_catalogue

TAG = "ru"  # its months have no letter of English either, and its numbers have a comma
_KNOWN = {"Tenter", "Maren", "Tolliver"}
_HEAD, _MARKS, _SAID, _NUMBER = (
    re.compile(r"<head>.*?</head>|<header class=.bar.*?</header>|<kbd>.*?</kbd>", re.DOTALL),
    re.compile(r"<[^>]*>|&#?\w+;"),
    re.compile(r'(?:aria-label|title|placeholder|data-said-\w+)="([^"]*)"'),
    re.compile(r' (?:x|y|width|height|value|max)="([\d.,]+)"'),
)


def speak_another_language(owner: Any, folder: Path, settings: Any) -> None:
    """Write an owner's studio in the language; `folder`: an empty one for its catalogue."""
    settings.LOCALE_PATHS = [write_catalogue(folder, TAG)]
    settings.LANGUAGES = [("en", "en"), (TAG, TAG)]
    StudioName.objects.create(owner=owner, name="North", language=TAG)


def left_in_english(page: str, *names: str) -> list[str]:
    """Return the words of two letters or more that are left in English on a page, but for those of names."""
    body = _HEAD.sub("", page)
    told = [*_SAID.findall(body), _MARKS.sub(" ", body)]
    known = _KNOWN | {word for name in names for word in english([name])}
    return sorted(word for word in set(english(told)) - known if len(word) > 1)


def numbers_of_text(page: str) -> set[str]:
    """Return the numbers in attributes of a page that have a comma, by which a browser draws nothing."""
    return {number for number in _NUMBER.findall(page) if "," in number}
