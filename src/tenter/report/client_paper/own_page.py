"""The studio's own page of the client's paper: letterhead, letter, what it writes of the result, signature."""

import base64
from collections.abc import Sequence
from dataclasses import dataclass

from tenter.language import _
from tenter.report.own_words.studio_words import Language, Logo, StudioWords, language_from
from tenter.report.words import terms
from tenter.report.words.wording import sentence


@dataclass(frozen=True, slots=True)
class PrintedPicture:
    """A picture to print: as a data address, with its size in pixels and the words for who hears the page."""

    address: str
    width: int
    height: int
    words: str


@dataclass(frozen=True, slots=True)
class Passage:
    """A heading and the studio's paragraphs below it, each a row of lines."""

    title: str
    paragraphs: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class OwnPage:
    """Everything that the studio's own page says. version: the line that names the words it was printed with."""

    letterhead: tuple[str, ...]
    logo: PrintedPicture | None
    letter: tuple[tuple[str, ...], ...]
    passages: tuple[Passage, ...]
    signature: str
    signed: PrintedPicture | None
    language: Language
    version: str


def own_page(words: StudioWords, categories: Sequence[tuple[str, str]]) -> OwnPage | None:
    """Return a studio's own page for a client, or None where nothing of it is written.

    categories: the client's sub-season with its season; of one between two results, both.
    """
    texts = [
        Passage(sentence(terms.season(category)), _lines(words.text_for(category, season)))
        for category, season in categories
    ]
    advice = list(dict.fromkeys(line for one, of in categories for line in words.make_up(one, of)))
    passages = tuple(one for one in (*texts, Passage(_("Make-up"), _lines(advice))) if one.paragraphs)
    if not (words.letterhead or words.logo or words.letter or passages or words.signature or words.signed):
        return None
    return OwnPage(
        letterhead=words.letterhead,
        logo=_printed(words.logo, words.letterhead[0] if words.letterhead else _("Logo")),
        letter=_lines(words.letter_paragraphs),
        passages=passages,
        signature=words.signature,
        signed=_printed(words.signed, words.signature or _("Signature")),
        language=language_from(words.language),
        version=_("Words of the studio: version {version}", version=words.version) if words.version else "",
    )


def _lines(paragraphs: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(one.split("\n")) for one in paragraphs)


def _printed(picture: Logo | None, words: str) -> PrintedPicture | None:
    if picture is None:
        return None
    content = base64.b64encode(picture.content).decode()
    return PrintedPicture(f"data:{picture.media_type};base64,{content}", *picture.size, words)
