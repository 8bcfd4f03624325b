"""Every page in another language: no word of English is left, and nothing but words and numbers to read is changed."""

import re
from calendar import day_abbr, day_name, month_abbr, month_name
from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.apps import apps
from django.contrib.auth import get_user_model

from studies.web.every_page import PAGES
from tenter.web.models import StudioName
from tests.support.pseudo import LETTERS, TAG, write_catalogue
from tests.web.conftest import browser_of

pytestmark = pytest.mark.one_database  # addresses have numbers, which go on from test to test in PostgreSQL

READ = {"alt", "title", "aria-label", "aria-description", "placeholder", "label", "lang", "dir"}
# The same in every language: units, names of quantities, of files and of standards, keys of a keyboard, and what a
# language calls itself.
SAME = set(
    LETTERS.findall(
        "Tenter Lab LCh CSV PDF PNG SVG QR TOML ZIP CIE ISO CGATS CxF ITA MCDM CCT Duv Ra Rf Rg ΔE lx nm px mm cm "
        "min K UTC BH FL HP ID LED RGB V en Esc Enter Space Backspace C h L a b x s p h D E F R X Y Z csv toml zip pdf "
        "png svg json English"
    )
)


# Names that a script fills in, addresses, and Django's names of months and days, which are of its own catalogues.
OF_THE_CALENDAR = "|".join([*day_name, *day_abbr, *month_name[1:], *month_abbr[1:]])
NO_WORD = re.compile(rf"[ap]\.m\.|\b(noon|midnight)\b|\{{\w+\}}|https?://\S+|\b({OF_THE_CALENDAR})\b")
# A form of Django's own, which it translates; a search by a letter, which finds other words; a key in letters.
LEFT_OUT = {"/account/password", "/search?q=w", "/studio/recovery"}
MADE_ANEW = re.compile(r"[0-9a-f]{32}")  # keys by which a form sent twice is taken once


class Parts(HTMLParser):
    """A page taken apart: what is read, and all else."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.read: list[str] = []
        self.rest: Counter[tuple[str, str, str]] = Counter()
        self._quiet = 0
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._quiet += tag in ("script", "style", "code", "kbd", "textarea")
        named = dict(attrs)
        for name, said in attrs:
            if name in READ - {"lang", "dir"} or name.startswith("data-said"):
                self.read.append(NO_WORD.sub("", said or ""))
            elif name not in READ and not _in_the_language(name, named):
                self.rest[tag, name, MADE_ANEW.sub("", said or "")] += 1

    def handle_endtag(self, tag: str) -> None:
        self._quiet -= tag in ("script", "style", "code", "kbd", "textarea")

    def handle_data(self, data: str) -> None:
        if not self._quiet:
            self.read.append(NO_WORD.sub("", data))


def _in_the_language(name: str, tag: dict[str, str | None]) -> bool:
    """Whether an attribute follows the language: that a name is long, or a value as it is typed or was shown."""
    if name == "class":
        return tag[name] == "long"
    of_field = tag.get("inputmode") == "decimal" or tag.get("name") in ("shown", "csrfmiddlewaretoken")
    return name == "value" and of_field


def stored_words() -> set[str]:
    """Return the words that are data: whatever is written in a row."""
    rows = (row for model in apps.get_app_config("tenter").get_models() for row in model.objects.values())
    names = get_user_model().objects.values_list("username", flat=True)
    told = [str(value) for row in rows for value in row.values() if isinstance(value, str)]
    folders = [path.name for path in Path("/").iterdir()]  # which a page offers to choose from
    return {word for text in (*told, *names, *folders) for word in LETTERS.findall(text)}


@pytest.fixture
def visitor(owner):
    """Whoever opened the studio on this machine, to whom every page is open."""
    owner.is_superuser = True
    owner.save()
    return browser_of(owner)


def pages(visitor, running) -> Iterator[tuple[str, Parts]]:
    for address in (address for address in PAGES if address not in LEFT_OUT):
        found = address.format(running=f"/sittings/{running.pk}")
        yield found, Parts(visitor.get(found).content.decode())


def test_no_page_has_a_word_of_english_left(owner, visitor, going_on, tmp_path, settings):
    settings.LOCALE_PATHS, settings.LANGUAGES = [write_catalogue(tmp_path)], [(TAG, TAG)]
    StudioName.objects.update_or_create(owner=owner, defaults={"language": TAG})
    known = stored_words() | SAME
    left = {
        at: {w for text in parts.read for w in LETTERS.findall(text)} - known for at, parts in pages(visitor, going_on)
    }
    assert {at: sorted(words) for at, words in left.items() if words} == {}


def test_a_language_with_a_decimal_comma_changes_nothing_but_what_is_read(owner, visitor, going_on):
    english = dict(pages(visitor, going_on))
    StudioName.objects.update_or_create(owner=owner, defaults={"language": "de"})
    german = dict(pages(visitor, going_on))
    changed = {at: (german[at].rest - english[at].rest, english[at].rest - german[at].rest) for at in english}
    assert {at: both for at, both in changed.items() if any(both)} == {}
