"""A studio's own words for its papers: letterhead, logo, signature, a letter, what it writes of seasons and make-up.

Plain text in paragraphs, in any script: nothing in it is markup, on a page or on paper. Nothing is printed of what is
not written. How long each may be is our choice, so that a paper keeps its pages.
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from tenter.errors import TenterError, UnknownName
from tenter.given import given_list, given_text, of_kind, shown
from tenter.language import N_, _, in_a_row

EVERY_SEASON = ""  # in make-up advice: the part that is for everybody
DEFAULT_LANGUAGE = "en"


class Topic(StrEnum):
    """What a studio may write, each with its own versions."""

    LANGUAGE = "language"  # the one that papers are printed in, unless another is asked for
    LETTERHEAD = "letterhead"
    LOGO = "logo"
    SIGNATURE = "signature"  # typed
    SIGNED = "signed"  # a picture of a signature
    TEXT = "text"  # of a season or a sub-season
    MAKE_UP = "make_up"  # for everybody, for a season, or for a sub-season
    LETTER = "letter"  # to one client


MOST_LINES = 6  # of a letterhead
MOST_LETTERS = {  # of one text
    Topic.LANGUAGE: 20,
    Topic.LETTERHEAD: 360,
    Topic.SIGNATURE: 80,
    Topic.TEXT: 1200,
    Topic.MAKE_UP: 1200,
    Topic.LETTER: 3000,
}
_LONGEST_LINE = 60  # letters, of a letterhead
# What a text is called in a refusal.
_CALLED = {
    Topic.LANGUAGE: N_("the language"),
    Topic.LETTERHEAD: N_("the letterhead"),
    Topic.SIGNATURE: N_("the signature"),
    Topic.TEXT: N_("the text"),
    Topic.MAKE_UP: N_("the make-up"),
    Topic.LETTER: N_("the letter"),
}
# Tags of language, script and region as in BCP 47 (RFC 5646), without its rarer parts.
_TAG = re.compile(r"(?P<language>[A-Za-z]{2,3})(-(?P<script>[A-Za-z]{4}))?(-(?P<region>[A-Za-z]{2}|[0-9]{3}))?")
# Letters that would turn what stands after the text round as well. Marks of direction and isolates may stand.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e")
_KEPT_SPACE = frozenset("\n\t")


@dataclass(frozen=True, slots=True)
class Language:
    """A language tag in its parts, as a PDF wants them; `str` gives the tag."""

    language: str
    script: str = ""
    region: str = ""

    def __str__(self) -> str:
        return "-".join(part for part in (self.language, self.script, self.region) if part)


def language_from(tag: object) -> Language:
    """Return a language tag in its usual spelling ('pt-br' as pt-BR); raises `TenterError` where it is none."""
    found = _TAG.fullmatch(tag.strip()) if isinstance(tag, str) else None
    if found is None:
        raise TenterError(
            _(
                "{typed} is not a language tag; write two or three letters, and after a hyphen the script or the "
                "region where it matters: en, de, pt-BR, zh-Hant",
                typed=shown(tag),
            )
        )
    parts = {name: part or "" for name, part in found.groupdict().items()}
    return Language(parts["language"].lower(), parts["script"].title(), parts["region"].upper())


def plain_text(value: object, topic: Topic) -> str:
    """Return a text as it is kept: its ends trimmed, lines ended alike, and no letter that cannot be printed.

    Raises
    ------
    TenterError
        If it is no text, too long for its topic, or holds letters that control a machine or turn what follows round.
    """
    what = _(_CALLED[topic])
    text = "\n".join(given_text(value, what, needed=False).splitlines()).strip()
    text = unicodedata.normalize("NFC", re.sub(r"\n{3,}", "\n\n", text))
    for letter in text:
        if letter in _TURNING or _controls(letter):
            raise TenterError(_unprintable(what, letter))
    most = MOST_LETTERS[topic]
    if len(text) > most:
        long = _(
            "{what} has {letters} letters, and {most} at most are printed; shorten it",
            what=what,
            letters=len(text),
            most=most,
        )
        raise TenterError(long)
    return text


def _unprintable(what: str, letter: str) -> str:
    said = N_(
        "{what} holds the letter {code}, which cannot be printed as text; take it out. It may have come along with a "
        "copied passage"
    )
    return _(said, what=what, code=f"U+{ord(letter):04X}")


def _controls(letter: str) -> bool:
    """Whether a letter controls a machine, or is one of those that Unicode keeps for no text at all."""
    if letter in _KEPT_SPACE:
        return False
    return unicodedata.category(letter) == "Cc" or ord(letter) & 0xFFFE == 0xFFFE or "\ufdd0" <= letter <= "\ufdef"


def paragraphs(text: str) -> tuple[str, ...]:
    """Return the paragraphs of a text, which an empty line parts; a line break inside one stays a line break."""
    return tuple(part.strip("\n") for part in re.split(r"\n[ \t]*\n", text) if part.strip())


def letterhead_lines(text: str) -> tuple[str, ...]:
    """Return the lines of a letterhead; raises `TenterError` for more than six, or one of more than 60 letters."""
    lines = tuple(line.strip() for line in text.splitlines() if line.strip())
    if len(lines) > MOST_LINES:
        many = _(
            "a letterhead has {most} lines at most; got {lines}. Join some of them", most=MOST_LINES, lines=len(lines)
        )
        raise TenterError(many)
    for line in lines:
        if len(line) > _LONGEST_LINE:
            raise TenterError(
                _(
                    "a line of a letterhead has {most} letters at most; got {letters} in {line}. Break it in two",
                    most=_LONGEST_LINE,
                    letters=len(line),
                    line=shown(line),
                )
            )
    return lines


@dataclass(frozen=True, slots=True)
class Logo:
    """A picture to print, as `studio_picture` makes it: PNG or JPEG bytes, no larger than `size` (width, height)."""

    content: bytes = field(repr=False)
    size: tuple[int, int]

    @property
    def media_type(self) -> str:
        """What a browser is told that it is."""
        return "image/jpeg" if self.content.startswith(b"\xff\xd8") else "image/png"


@dataclass(frozen=True, slots=True)
class TextOf:
    """What a studio writes of one season or sub-season, by its name in the method; `EVERY_SEASON` is everybody."""

    of: str
    text: str


@dataclass(frozen=True, slots=True)
class StudioWords:
    """A studio's words as one paper prints them. All of it may be empty, and then nothing of it is printed.

    letterhead: lines, the studio's name first. signature: typed. signed: a picture of one. letter: to the client of
    this paper. texts: of seasons and sub-seasons. make_up_texts: advice of the studio's own. language: a tag such as
    'de' or 'pt-BR', of all of them. version: what a paper names, so that it can be made again with the same words;
    empty where nothing is written. Raises `TenterError` for a text that cannot be printed and for what is no language
    tag.
    """

    letterhead: tuple[str, ...] = ()
    logo: Logo | None = None
    signature: str = ""
    signed: Logo | None = None
    letter: str = ""
    texts: tuple[TextOf, ...] = ()
    make_up_texts: tuple[TextOf, ...] = ()
    language: str = DEFAULT_LANGUAGE
    version: str = ""

    def __post_init__(self) -> None:
        lines = "\n".join(given_list(self.letterhead, _("the letterhead")))
        kept = letterhead_lines(plain_text(lines, Topic.LETTERHEAD))
        object.__setattr__(self, "letterhead", kept)
        for name, topic in (("signature", Topic.SIGNATURE), ("letter", Topic.LETTER)):
            object.__setattr__(self, name, plain_text(getattr(self, name), topic))
        for name, topic in (("texts", Topic.TEXT), ("make_up_texts", Topic.MAKE_UP)):
            object.__setattr__(self, name, _checked(getattr(self, name), topic))
        object.__setattr__(self, "language", str(language_from(self.language)))

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to print."""
        words = (self.letterhead, self.logo, self.signature, self.signed, self.letter, self.texts, self.make_up_texts)
        return not any(words)

    @property
    def letter_paragraphs(self) -> tuple[str, ...]:
        """The letter's paragraphs."""
        return paragraphs(self.letter)

    def text_for(self, category: str, season: str = "") -> tuple[str, ...]:
        """Return the paragraphs of a client's season and then of their sub-season; none where none are written."""
        return tuple(_of(self.texts, (season, category)))

    def make_up(self, category: str, season: str = "") -> tuple[str, ...]:
        """Return the paragraphs of make-up advice: for everybody, for the season, for the sub-season."""
        return tuple(_of(self.make_up_texts, (EVERY_SEASON, season, category)))


def _checked(texts: object, topic: Topic) -> tuple[TextOf, ...]:
    found = [of_kind(TextOf, one, f"the {topic}", "TextOf(of, text)") for one in given_list(texts, f"the {topic}s")]
    names = [given_text(one.of, _("the name of a season"), needed=topic is Topic.TEXT) for one in found]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise TenterError(_("two texts are of {names}; keep one of each", names=listed_names(twice)))
    kept = (TextOf(one.of, plain_text(one.text, topic)) for one in found)
    return tuple(one for one in kept if one.text)


def listed_names(names: Sequence[str]) -> str:
    """Return the names of seasons as an error shows them."""
    return in_a_row([name or _("everybody") for name in names])


def _of(texts: Sequence[TextOf], names: Sequence[str]) -> Iterator[str]:
    """Yield the paragraphs of some names in their order, each name once."""
    by_name = {one.of: one.text for one in texts}
    for name in dict.fromkeys(names):
        yield from paragraphs(by_name.get(name, ""))


def require_known(words: StudioWords, names: Sequence[str]) -> None:
    """Raise `UnknownName` where a text is of a season that a method does not have, for it would never be printed."""
    for one in (*words.texts, *words.make_up_texts):
        if one.of != EVERY_SEASON and one.of not in names:
            raise UnknownName(_("season or sub-season"), one.of, names)


NO_WORDS = StudioWords()
