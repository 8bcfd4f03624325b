"""A language that nobody speaks, made from the templates: English with every letter changed, so that none is left."""

import re
from collections.abc import Iterable, Iterator, Set
from functools import cache
from pathlib import Path

import polib

from studies.written.write_template import Domain

TAG = "qps"
_LETTERS = str.maketrans("abcdefghijklmnopqrstuvwxyz", "àƀçđéƒğĥîĵķļɱñöþɋŕšŧûṽŵẋýž") | str.maketrans(
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "ÀɃÇĐÉƑĞĤÎĴĶĻⱮÑÖÞɊŔŠŦÛṼŴẊÝŽ"
)
_BRACES = re.compile(r"(\{\w+\}|%\(\w+\)s|%%|<[^>]+>|&\w+;)")  # what stays as it is: placeholders and marks of pages
_WORD = re.compile(r"[^\W\d_]+")
LETTERS = re.compile(r"[A-Za-z]+")  # letters of English, which no sentence of this language has


def pseudo(text: str, longer: float = 0.0) -> str:
    """Return a sentence in the language; `longer`: by which share each of its words grows."""

    def grown(word: re.Match[str]) -> str:
        return word[0] + "ø" * round(longer * len(word[0]))

    parts = _BRACES.split(text)
    return "".join(part if _BRACES.fullmatch(part) else _WORD.sub(grown, part).translate(_LETTERS) for part in parts)


def write_catalogue(folder: Path, tag: str = TAG, longer: float = 0.0, without: str = "") -> Path:
    """Write the language as a catalogue into a folder of catalogues, and return the folder.

    without: a sentence that is left in English.
    """
    place = folder / tag.replace("-", "_") / "LC_MESSAGES"
    place.mkdir(parents=True)
    for domain in Domain:
        (place / f"{domain}.mo").write_bytes(_written(domain, tag, longer, without))
    return folder


@cache
def _written(domain: Domain, tag: str, longer: float, without: str) -> bytes:
    catalogue = polib.pofile(str(domain.template))
    catalogue.metadata |= {"Language": tag, "Plural-Forms": "nplurals=2; plural=(n != 1);"}
    for entry in catalogue:
        if entry.msgid_plural:
            entry.msgstr_plural = {0: pseudo(entry.msgid, longer), 1: pseudo(entry.msgid_plural, longer)}
        elif entry.msgid != without:
            entry.msgstr = pseudo(entry.msgid, longer)
    return catalogue.to_binary()


# What is no word: codes that programs read, and what the people are called.
CODES = {"hex", "sign", "family", "language", "script", "region", "key", "edge", "client", "mark"}
NAMES = {"Maren", "Tolliver", "The", "North", "Room", "Eddermouth", "Wenna", "Castrall", "Pia", "Rosendal"}


def texts(value: object, key: str = "", codes: Set[str] = CODES) -> Iterator[str]:
    """Yield every text of a content object that a reader reads."""
    if key in codes:
        return
    if isinstance(value, dict):
        for name, one in value.items():
            yield from texts(one, name, codes)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from texts(one, key, codes)
    elif isinstance(value, str):
        yield value


def english(told: Iterable[str]) -> list[str]:
    """Return the words of texts that are left in English."""
    found = (word for text in told for word in LETTERS.findall(text))
    return sorted({word for word in found if word not in NAMES})
