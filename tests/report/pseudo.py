"""A language that nobody speaks, made from the template: English with every letter changed, so that none is left."""

import re
from pathlib import Path

import polib

from write_template import TEMPLATE

TAG = "qps"
_LETTERS = str.maketrans("abcdefghijklmnopqrstuvwxyz", "àƀçđéƒğĥîĵķļɱñöþɋŕšŧûṽŵẋýž") | str.maketrans(
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "ÀɃÇĐÉƑĞĤÎĴĶĻⱮÑÖÞɊŔŠŦÛṼŴẊÝŽ"
)
_BRACES = re.compile(r"(\{\w+\})")
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
    catalogue = polib.pofile(str(TEMPLATE))
    catalogue.metadata |= {"Language": tag, "Plural-Forms": "nplurals=2; plural=(n != 1);"}
    for entry in catalogue:
        if entry.msgid_plural:
            entry.msgstr_plural = {0: pseudo(entry.msgid, longer), 1: pseudo(entry.msgid_plural, longer)}
        elif entry.msgid != without:
            entry.msgstr = pseudo(entry.msgid, longer)
    place = folder / tag.replace("-", "_") / "LC_MESSAGES"
    place.mkdir(parents=True)
    catalogue.save_as_mofile(str(place / "tenter.mo"))
    return folder
