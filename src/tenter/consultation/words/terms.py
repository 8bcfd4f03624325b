"""Words of the trade that come as data: each translated when it becomes text, in the language of that moment.

A word that no catalogue has, such as a season of a studio's own method, stays as it is. `report/term_list.py` lists
them for the template.
"""

from collections.abc import Iterable, Sequence
from functools import reduce
from typing import cast

from tenter.consultation.axes import Axis
from tenter.consultation.words.flags import Flag, Sign
from tenter.consultation.words.odds_words import Degree, OddsWord
from tenter.consultation.words.traits import LeadingTrait
from tenter.language import Sentence, all_of_lazy, gettext_lazy, ngettext_lazy, pgettext_lazy


def season_sentence(name: str) -> Sentence:
    """Return a season or a sub-season as it is said."""
    return pgettext_lazy("season", name)


def hue_sentence(family: str) -> Sentence:
    """Return a hue family as it is said."""
    return pgettext_lazy("hue", family)


def axis(one: Axis) -> Sentence:
    """Return an axis as it is said."""
    return pgettext_lazy("axis", one)


def trait_sentence(end: LeadingTrait) -> Sentence:
    """Return an end of an axis, as it is said of a client or a trait."""
    return pgettext_lazy("trait", end)


def reads_as(how_far: Degree, end: LeadingTrait) -> Sentence:
    """Return where a client lies on an axis, such as 'strong warm' or 'middle undertone'."""
    return pgettext_lazy("reads as", reads_as_words(how_far, end))


def reads_as_words(how_far: Degree, end: LeadingTrait) -> str:
    """Return what `reads_as` says, as it is looked up for translation."""
    return f"{how_far} {end.axis}" if how_far is Degree.MIDDLE else f"{how_far} {end}"


def degree_sentence(how_far: Degree) -> Sentence:
    """Return how far from the middle of an axis, as it is said."""
    return pgettext_lazy("reads as", how_far)


def odds(word: OddsWord) -> Sentence:
    """Return how sure a verdict is, as it is said."""
    return pgettext_lazy("odds", word)


def compared(word: str) -> Sentence:
    """Return how one cloth differs from another, such as 'warmer'."""
    return pgettext_lazy("than another", word)


def flag(one: Flag) -> Sentence:
    """Return what was said of a cloth, such as 'too warm'."""
    return pgettext_lazy("said of a cloth", remark_word(one))


def seen_sign(one: Sign) -> Sentence:
    """Return what was seen in the face over a cloth, such as 'blotchy'."""
    return pgettext_lazy("seen in the face", remark_word(one))


def remark_word(one: Flag | Sign) -> str:
    """Return a flag or a sign as it is looked up for translation."""
    return one.replace("-", " ")


def more_of(end: LeadingTrait) -> str:
    """Return what a cloth is that lies nearer to an end than another, as it is looked up: 'warmer' of warm."""
    return f"{end}er"


def one_and_another(parts: Iterable[object]) -> object:
    """Return 'a', 'a and b' or 'a and b and c'."""
    return reduce(lambda some, one: all_of_lazy([some, one]), parts)


def cloths_worn_together(names: Sequence[str]) -> object:
    """Return cloths that are worn together: 'a', or 'a with b'."""
    return reduce(_with, names[1:], cast("object", names[0]))


def _with(some: object, one: object) -> object:
    return gettext_lazy("{cloth} with {other}", cloth=some, other=one)


def entries(numbers: Sequence[int], listed: object) -> Sentence:
    """Return entries by their numbers, which are `listed` as a text lists them."""
    return ngettext_lazy("entry {numbers}", "entries {numbers}", len(numbers), numbers=listed)
