"""Lists that are looked through: by words, whatever their accents and capitals, and a page at a time."""

import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpRequest

ROWS_A_PAGE = 50  # a page
_LONGEST_ASKED = 100
Row = TypeVar("Row")


@dataclass(frozen=True, slots=True)
class LookedUp:
    """A page of a list, with what was asked for and how many there are of it. `page` is Django's."""

    asked: str
    page: Page[Any]
    whole: int  # rows before anything was asked for

    @property
    def found(self) -> int:
        """How many rows answer what was asked."""
        return int(self.page.paginator.count)


def plain(text: str) -> str:
    """Return a text without accents and capitals, by which it is compared and sorted."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def look_up(
    request: HttpRequest,
    rows: Sequence[Row],
    words_of: Callable[[Row], Iterable[str]],
    fetch: Callable[[Sequence[Row]], Sequence[Any] | QuerySet[Any]] = lambda rows: rows,
    per_page: int = ROWS_A_PAGE,
) -> LookedUp:
    """Return the page that a request asks for, of the rows that hold each of its words somewhere.

    rows: what all of them are known by. fetch: makes what is shown of those of one page.
    """
    asked = " ".join(request.GET.get("q", "").split())[:_LONGEST_ASKED]
    words = plain(asked).split()
    found = [row for row in rows if _holds(words, words_of(row))] if words else rows
    page = Paginator(found, per_page).get_page(request.GET.get("page"))
    page.object_list = fetch(list(page.object_list))
    return LookedUp(asked, page, len(rows))


def _holds(words: Sequence[str], texts: Iterable[str]) -> bool:
    whole = plain(" ".join(texts))
    return all(word in whole for word in words)
