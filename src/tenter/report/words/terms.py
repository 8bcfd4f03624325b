"""Words that come to a paper as data, in the language that is written: seasons, traits, colours, places on the face.

The layers below hand over English words and short sentences of their own making. Here each is looked up at the moment
of printing. A word that no catalogue has, such as a season of a studio's own method, is printed as it is.
"""

import re
from collections.abc import Callable, Iterable
from functools import reduce

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.names import STEP_WORDS, known_names
from tenter.consultation.findings.verdict import Verdict
from tenter.consultation.wishes.honouring import A_SCARF, HONOURED_WORDS, NONE
from tenter.consultation.wishes.said_wishes import USUAL_WISHES
from tenter.consultation.words.face_places import Place
from tenter.language import all_of, in_a_row, one_of, pgettext

_NUMBERED = re.compile(r"(?P<name>.+?)(?P<number> \d+| \(\d+\))")


def season(name: str) -> str:
    """Return a season or a sub-season in the language that is written."""
    return pgettext("season", name)


def likeliest_two(verdict: Verdict) -> dict[str, str]:
    """Return the likeliest category and the other that comes second, by the names they have in sentences."""
    return {"category": season(verdict.category), "other": season(verdict.runner_up)}


def colour_trait(word: str) -> str:
    """Return an end of an axis as it goes before colours: warm, as in 'warm colours did more'."""
    return pgettext("of colours", word)


def colours_are(word: str) -> str:
    """Return an end of an axis as it is said of colours: warm, as in 'your best colours are warm'."""
    return pgettext("colours are", word)


def hue(family: str) -> str:
    """Return a hue family in the language that is written."""
    return pgettext("hue", family)


def at_the_head(level: str) -> str:
    """Return how light or how strong cloths are, at the head of a column of a table."""
    return pgettext("at the head of a column", level)


def also_differs_in(thing: str) -> str:
    """Return what two cloths differ in, inside a list."""
    return pgettext("differ in", thing)


def skin_light(ita_class: str) -> str:
    """Return how light a skin is, as in 'light skin'."""
    return pgettext("skin", ita_class)


def piece_kind(kind: str) -> str:
    """Return what a piece of a wardrobe is, such as a top."""
    return pgettext("piece of a wardrobe", kind)


def why_moved(reason: str) -> str:
    """Return why pieces came into a drawer or went out of it."""
    return pgettext("pieces of a drawer", reason)


def place(name: str) -> str:
    """Return a place on the face as it follows "your"."""
    return pgettext("your …", name)


def feature(name: str) -> str:
    """Return a measured region of the face, such as 'left cheek'."""
    return pgettext("region of the face", name)


def question(text: str) -> str:
    """Return the question of a phase, as the client reads it, in the language that is written."""
    return pgettext("question", text)


def part(section: str) -> str:
    """Return a part of a palette as a wardrobe is looked through, such as dark neutrals."""
    return pgettext("part of a palette", section)


def skin(name: str) -> str:
    """Return a class of skin, such as light."""
    return pgettext("skin", name)


def light_hue(name: str) -> str:
    """Return a hue that a light changes, such as blue-green."""
    return pgettext("hue of a light", name)


def contrast_words(level: str) -> str:
    """Return how large the step from light to dark in a face is."""
    return pgettext("contrast", level)


def method_title(title: str) -> str:
    """Return the title of a bundled method in the language that is written; another's as it is."""
    return pgettext("method", title)


def holding_advice(text: str) -> str:
    """Return whether to hold more cloths, as the bench says it."""
    return pgettext("whether to hold more", text)


def shown_because(reason: str) -> str:
    """Return why a cloth is shown after the verdict."""
    return pgettext("why a cloth is shown", reason)


def phase(title: str) -> str:
    """Return the title of a method's phase in the language that is written."""
    return pgettext("phase", title)


def hue_version(name: str) -> str:
    """Return what a method calls the client's version of a hue."""
    return pgettext("version of a hue", name)


def instead_of_hue(words: str) -> str:
    """Return what a method names to be worn instead of a hue."""
    return pgettext("worn instead", words)


def instead(words: str) -> str:
    """Return which of the client's own colours are worn instead of another, such as 'watermelon or ruby'."""
    return one_of([colour(name) for name in _JOINTS.split(words)])


def title(use: str) -> str:
    """Return what a colour is for or called, such as 'your red'."""
    return pgettext("what a colour is for", use)


def colour(name: str) -> str:
    """Return a plain name of a colour or a metal, with what it says of how light or strong it is."""
    said = pgettext("colour", name)
    if said != name:
        return said
    first, _space, rest = name.partition(" ")
    if first in STEP_WORDS and rest in _plain_names():
        return pgettext("colour", f"{first} {{colour}}", colour=colour(rest))
    numbered = _NUMBERED.fullmatch(name)
    return colour(numbered["name"]) + numbered["number"] if numbered else name


def in_line(name: str) -> str:
    """Return a colour's name inside a sentence: small in English, and as the catalogue has it in another language."""
    said = colour(name)
    return said if said != name else name.lower()


def of_hue_or_colour(name: str) -> str:
    """Return what a wish is about: a hue family, or else a colour."""
    return hue(name) if name in [*HueFamily] else colour(name)


def what_was_seen(answer: str) -> str:
    """Return what was seen of a cloth, with the places on the face where it was seen."""
    said, seen, places = answer.partition(", seen ")
    told = pgettext("seen of a colour", said)
    if not seen:
        return told
    where = reduce(lambda some, one: all_of([some, one]), (str(Place(phrase)) for phrase in places.split(" and ")))
    return pgettext("seen of a colour", "{answer}, seen {where}", answer=told, where=where)


def colour_meant(said: str, own: Iterable[str] = ()) -> str:
    """Return the hue family or colour that a word of the language names; what names none, as it came.

    own: names of a palette's colours, which may be said too.
    """
    names = {of_hue_or_colour(name).casefold(): str(name) for name in (*own, *known_names(), *HueFamily)}
    return names.get(" ".join(said.split()).casefold(), said)


def of_a_wish(told: str) -> str:
    """Return a wish, or what became of it, recognised by the sentence that it is; the client's own words stay."""
    found = ((said, sentence.fullmatch(told)) for said, sentence in _OF_WISHES)
    said, named = next(((said, match) for said, match in found if match), (told, None))
    if named is None:
        return told
    return pgettext("of a wish", said, **{key: _AS_LISTED[key](value) for key, value in named.groupdict().items()})


def _each_colour(names: str) -> list[str]:
    return [pgettext("of a wish", name) if name in (A_SCARF, NONE) else colour(name) for name in _JOINTS.split(names)]


_JOINTS = re.compile(r", | and | or ")
_OF_WISHES = [
    (said, re.compile(re.sub(r"\\{(\w+)\\}", r"(?P<\1>.+)", re.escape(said))))
    for said in (*USUAL_WISHES, *HONOURED_WORDS)
]
_AS_LISTED: dict[str, Callable[[str], str]] = {
    "wish": of_hue_or_colour,
    "colour": lambda names: all_of(_each_colour(names)),
    "colours": lambda names: all_of(_each_colour(names)),
    "either": lambda names: one_of(_each_colour(names)),
    "pieces": str,
    "order": lambda names: in_a_row(_each_colour(names)),
}


def _plain_names() -> frozenset[str]:
    return frozenset(known_names())
