"""Cloths as a hand types them or a label says them: a number, an id, a name or a part of it, a label's code."""

import re
import unicodedata
from collections.abc import Sequence
from urllib.parse import unquote

from tenter.consultation.cloths.kit import Drape, Kit
from tenter.errors import TenterError, UnknownName
from tenter.language import _, as_typed, in_a_row

_MOST_HITS = 6  # that are named where a word fits several cloths, so that the sentence can be read at a glance
_PLUS = "+"


class SeveralCloths(TenterError):
    """What was said fits several cloths."""

    def __init__(self, said: str, hits: Sequence[Drape]) -> None:
        named = [f"{drape.id} {drape.name}" for drape in hits[:_MOST_HITS]]
        names, more = in_a_row(named), len(hits) - _MOST_HITS
        if more > 0:
            names = _("{names}, and {more} more", names=names, more=more)
        super().__init__(_("{said} fits {names}; type more of the name, or the id", said=as_typed(said), names=names))


def cloths_said(kit: Kit, text: str) -> tuple[str, ...]:
    """Return the sides that a text names, each an id or the ids of cloths worn together, joined by a plus.

    A cloth is named by its id in any letters (d038), by its number (38), by its name or a part of it that fits one
    cloth, or by what the code on its label says. Spaces, commas and semicolons part the sides; a name may hold spaces.
    Raises `SeveralCloths` where a word fits several cloths, and `UnknownName` where it fits none.
    """
    sides: list[str] = []
    for part in re.split(r"[,;\n]", text):
        words = re.sub(r"\s*\+\s*", f" {_PLUS} ", _out_of_codes(part)).split()
        joins = False
        while words:
            if words[0] == _PLUS:
                joins, words = bool(sides), words[1:]
                continue
            drape, taken = _first(kit, words)
            sides.append(f"{sides.pop()}{_PLUS}{drape.id}" if joins else drape.id)
            joins, words = False, words[taken:]
    return tuple(sides)


def _out_of_codes(text: str) -> str:
    """Return a text with each address of a cloth's page, which a label may hold, replaced by the id that it ends in."""
    return " ".join(re.split(r"[/=#]", unquote(word))[-1] if "://" in word else word for word in text.split())


def _first(kit: Kit, words: Sequence[str]) -> tuple[Drape, int]:
    """Return the cloth that the first words name, as many of them as fit, and how many those are."""
    upto = words.index(_PLUS) if _PLUS in words else len(words)
    if by_id := _by_id(kit, words[0]):
        return _only(words[0], by_id), 1
    hits: Sequence[Drape] = ()
    for count in range(upto, 0, -1):
        phrase = " ".join(words[:count])
        hits = _by_name(kit, phrase)
        if hits:
            return _only(phrase, hits), count
    raise UnknownName(_("cloth in this kit"), words[0], [*kit.ids, *(drape.name for drape in kit.drapes)])


def _only(said: str, hits: Sequence[Drape]) -> Drape:
    if len(hits) > 1:
        raise SeveralCloths(said, hits)
    return hits[0]


def _by_id(kit: Kit, word: str) -> list[Drape]:
    """Return the cloth of an id, or those whose id is a word in other letters, or else those of a number."""
    if word in kit:
        return [kit[word]]
    same = [drape for drape in kit.drapes if _plain(drape.id) == _plain(word)]
    if same or not (word.isascii() and word.isdigit()):
        return same
    return [drape for drape in kit.drapes if _number(drape.id) == int(word)]


def _number(drape_id: str) -> int | None:
    """Return the number that an id ends in: 38 of D038."""
    found = re.search(r"[0-9]+$", drape_id)
    return int(found[0]) if found else None


def _by_name(kit: Kit, phrase: str) -> list[Drape]:
    """Return the cloths of a name, or else those whose name holds it, best where a word of the name begins with it."""
    asked = _plain(phrase)
    names = [(_plain(drape.name), drape) for drape in kit.drapes]
    whole = [drape for name, drape in names if name == asked]
    begins = [drape for name, drape in names if f" {asked}" in f" {name}"]
    return whole or begins or [drape for name, drape in names if asked in name]


def _plain(text: str) -> str:
    """Return a text without accents and capitals."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in apart if not unicodedata.combining(sign))
