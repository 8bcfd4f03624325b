"""What a studio writes for its papers, as rows: every saved text keeps those before it, and a paper can be made again.

A version is a number: of all slots (a topic, for a season, in a language) the latest text with that number or a lower
one. Letters are numbered apart, among their client's.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils.translation import gettext as _

from tenter.consultation.conventions.bundled import BUNDLED
from tenter.consultation.conventions.method import Method
from tenter.errors import TenterError
from tenter.language import as_typed
from tenter.report.own_words.studio_words import (
    DEFAULT_LANGUAGE,
    Logo,
    StudioWords,
    TextOf,
    Topic,
    language_from,
    letterhead_lines,
    plain_text,
)
from tenter.web.models import Client, StudioText
from tenter.web.rules import access
from tenter.web.store import store

PICTURE_TOPICS = (Topic.LOGO, Topic.SIGNED)
OF_A_SEASON = (Topic.TEXT, Topic.MAKE_UP)
WITHOUT_LANGUAGE = (*PICTURE_TOPICS, Topic.SIGNATURE, Topic.LANGUAGE)

_VERSION = re.compile(r"(?P<texts>[0-9]{1,8})?(?:,? ?letter (?P<letter>[0-9]{1,8}))?")


@dataclass(frozen=True, slots=True)
class WordsSlot:
    """One thing that can be written. of: the season or sub-season. client: to whom a letter is."""

    topic: Topic
    of: str = ""
    language: str = ""
    client: Client | None = None

    @property
    def is_picture(self) -> bool:
        """Whether it is a picture and no text."""
        return self.topic in PICTURE_TOPICS


@dataclass(frozen=True, slots=True)
class Version:
    """Which texts and which letter a paper was printed with; None for the latest."""

    texts: int | None = None
    letter: int | None = None


def version_from(word: str) -> Version:
    """Return the version that a paper names, as '7' or '7, letter 2'; raises `TenterError` where it is none."""
    found = _VERSION.fullmatch(word.strip())
    if found is None:
        wrong = _("%(typed)s is not a version of the studio's words; a paper names it like 7, or 7, letter 2")
        raise TenterError(wrong % {"typed": as_typed(word)})
    if not word.strip():
        return Version()
    return Version(int(found["texts"] or 0), int(found["letter"] or 0))


def version_printed(word: str) -> Version:
    """Return the version of the words of a paper that was printed: none of them where it names none."""
    return version_from(word) if word.strip() else Version(0, 0)


# -- reading -----------------------------------------------------------------------------------------------------------


def versions(owner: User, slot: WordsSlot) -> list[StudioText]:
    """Return every version of a slot, the latest first."""
    return list(_rows(owner, slot))


def latest(owner: User, slot: WordsSlot) -> StudioText | None:
    """Return what stands in a slot now, or None."""
    found: StudioText | None = _rows(owner, slot).first()
    return found


def main_language(owner: User, version: Version | None = None) -> str:
    """Return the language in which papers are printed unless another is asked for."""
    found = _as_of(
        StudioText.objects.filter(owner=owner, client=None, topic=Topic.LANGUAGE), (version or Version()).texts
    )
    row = found.first()
    return row.text if row and row.text else DEFAULT_LANGUAGE


def languages(owner: User) -> list[str]:
    """Return the languages in which an owner has written, their papers' first."""
    main = main_language(owner)
    written = StudioText.objects.filter(owner=owner, client=None).exclude(language="").exclude(text="")
    others = sorted(set(written.values_list("language", flat=True)) - {main})
    return [main, *others]


def words_for(
    owner: User, client: Client | None = None, language: str = "", version: Version | None = None, reads: str = ""
) -> StudioWords:
    """Return an owner's words as a paper prints them.

    client: whose letter is among them. language: of the texts; without one that of the client's letter, or else the
    one in which the client `reads`, where that is another than the studio's, or else the studio's. Where the letterhead
    is not written in that language, the studio's own is taken.
    """
    asked = version or Version()
    letter = _letter(client, asked.letter)
    main = main_language(owner, asked)
    tongue = language or (letter.language if letter and letter.text else "") or reads or main
    rows = newest(owner, asked)

    def text(topic: Topic, of: str = "", in_language: str = "") -> str:
        row = rows.get((topic, of, in_language))
        return row.text if row else ""

    return StudioWords(
        letterhead=letterhead_lines(text(Topic.LETTERHEAD, "", tongue) or text(Topic.LETTERHEAD, "", main)),
        logo=picture_of(rows.get((Topic.LOGO, "", ""))),
        signature=text(Topic.SIGNATURE),
        signed=picture_of(rows.get((Topic.SIGNED, "", ""))),
        letter=letter.text if letter else "",
        texts=_of_seasons(rows.values(), Topic.TEXT, tongue),
        make_up_texts=_of_seasons(rows.values(), Topic.MAKE_UP, tongue),
        language=tongue,
        version=_named(rows.values(), letter),
    )


def newest(owner: User, version: Version | None = None) -> dict[tuple[str, str, str], StudioText]:
    """Return what stands in each slot, by topic, season and language."""
    return _newest(_as_of(StudioText.objects.filter(owner=owner, client=None), (version or Version()).texts))


def seasons_of(owner: User) -> dict[str, list[tuple[str, bool]]]:
    """Return by the title of each method its seasons and sub-seasons in order, and whether one is a season."""
    own = [store.method_in(record.toml) for record in access.methods(owner)]
    methods = [store.method_named(name) for name in BUNDLED] + own
    return {method.title: list(_named_in(method)) for method in methods}


def _named_in(method: Method) -> Iterable[tuple[str, bool]]:
    for season in dict.fromkeys(method.season_of[category] for category in method.categories):
        yield season, True
        yield from ((c, False) for c in method.categories if method.season_of[c] == season and c != season)


def _rows(owner: User, slot: WordsSlot) -> QuerySet[StudioText]:
    found = StudioText.objects.filter(owner=owner, client=slot.client, topic=slot.topic)
    return found if slot.client else found.filter(of=slot.of, language=slot.language)


def _as_of(rows: QuerySet[StudioText], number: int | None) -> QuerySet[StudioText]:
    return rows if number is None else rows.filter(number__lte=number)


def _newest(rows: QuerySet[StudioText]) -> dict[tuple[str, str, str], StudioText]:
    found: dict[tuple[str, str, str], StudioText] = {}
    for row in rows.order_by("number"):
        found[row.topic, row.of, row.language] = row
    return found


def _letter(client: Client | None, number: int | None) -> StudioText | None:
    if client is None:
        return None
    found: StudioText | None = _as_of(StudioText.objects.filter(client=client, topic=Topic.LETTER), number).first()
    return found


def picture_of(row: StudioText | None) -> Logo | None:
    """Return the picture of a version, or None where there is none."""
    return None if row is None or not row.picture else Logo(bytes(row.picture), (row.width, row.height))


def _of_seasons(rows: Iterable[StudioText], topic: Topic, language: str) -> tuple[TextOf, ...]:
    return tuple(
        TextOf(row.of, row.text) for row in rows if row.topic == topic and row.language == language and row.text
    )


def _named(rows: Iterable[StudioText], letter: StudioText | None) -> str:
    """Return the version that a paper names; empty where there is nothing that it could be made again from."""
    texts = max((row.number for row in rows), default=0)
    parts = [str(texts)] if texts else []
    return ", ".join([*parts, f"letter {letter.number}"] if letter else parts)


# -- writing -----------------------------------------------------------------------------------------------------------


def save_text(owner: User, by: User, slot: WordsSlot, text: str) -> bool:
    """Keep a text as the next version of its slot; return whether it is another than the one before.

    Raises
    ------
    TenterError
        If it cannot be printed: too long, or of letters that cannot be.
    """
    kept = str(language_from(text)) if slot.topic is Topic.LANGUAGE else plain_text(text, slot.topic)
    if slot.topic is Topic.LETTERHEAD:
        kept = "\n".join(letterhead_lines(kept))
    with transaction.atomic():
        _in_turn(owner)
        before = latest(owner, slot)
        if (before.text if before else "") == kept and (before is None or before.language == slot.language):
            return False
        _next(owner, by, slot, text=kept)
    return True


def save_picture(owner: User, by: User, slot: WordsSlot, picture: Logo | None) -> bool:
    """Keep a picture as the next version of its slot, or that there is none any more."""
    content, (width, height) = (picture.content, picture.size) if picture else (None, (0, 0))
    with transaction.atomic():
        _in_turn(owner)
        before = latest(owner, slot)
        if (bytes(before.picture) if before and before.picture else None) == content:
            return False
        _next(owner, by, slot, picture=content, width=width, height=height)
    return True


def erase_words(owner: User, slot: WordsSlot) -> int:
    """Empty every version of a slot for good, and return how many there were. Their numbers stay taken."""
    return int(_rows(owner, slot).filter(erased=False).update(text="", picture=None, width=0, height=0, erased=True))


def _in_turn(owner: User) -> None:
    """Let nobody else write for the owner until the end of the transaction."""
    get_user_model().objects.select_for_update().get(pk=owner.pk)


def _next(owner: User, by: User, slot: WordsSlot, **what: Any) -> None:
    rows = StudioText.objects.filter(owner=owner, client=slot.client)
    number = (rows.aggregate(most=Max("number"))["most"] or 0) + 1
    StudioText.objects.create(
        owner=owner,
        by=by,
        client=slot.client,
        number=number,
        topic=slot.topic,
        of=slot.of,
        language=slot.language,
        **what,
    )
