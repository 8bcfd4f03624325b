"""The language that is written: a catalogue of translations, chosen for a while and for one task alone.

English is the source: every sentence is its own key. Nothing outside decides which language is written, neither a
setting of the machine nor what another task has chosen.
"""

import gettext
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field, fields, replace
from datetime import date
from typing import TYPE_CHECKING, TypeVar

from tenter import numerals
from tenter.kept_words import keeps, marked

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    Texts = TypeVar("Texts", bound=DataclassInstance)

SOURCE = "en"
# Languages written from right to left, by their tags: those of the Arabic, Hebrew, Syriac, Thaana and N'Ko scripts.
_FROM_THE_RIGHT = frozenset(("ar", "arc", "ckb", "dv", "fa", "he", "ku", "nqo", "ps", "sd", "syr", "ug", "ur", "yi"))
_LEFT_TO_RIGHT = "\N{LEFT-TO-RIGHT MARK}"


@dataclass(frozen=True, slots=True, eq=False)
class Catalogue:
    """The translations of a language. code: its tag, as in BCP 47."""

    code: str
    words: gettext.NullTranslations = field(default_factory=gettext.NullTranslations)

    @property
    def primary(self) -> str:
        """The language without script and region: 'pt' of 'pt-BR'."""
        return self.code.split("-")[0].lower()

    @property
    def direction(self) -> str:
        """How its lines are read: 'ltr' or 'rtl', as a page of HTML says it."""
        return "rtl" if self.primary in _FROM_THE_RIGHT else "ltr"


ENGLISH = Catalogue(SOURCE)
_chosen: ContextVar[Catalogue] = ContextVar("the language that is written", default=ENGLISH)


@contextmanager
def written_in(language: Catalogue) -> Iterator[None]:
    """Write everything inside the `with` in a language; `translations.catalogue` finds one by its tag."""
    token = _chosen.set(language)
    try:
        yield
    finally:
        _chosen.reset(token)


def language() -> Catalogue:
    """Return the language that is written just now."""
    return _chosen.get()


# -- a sentence in it ----------------------------------------------------------------------------------------------


def N_(message: str) -> str:  # noqa: N802  # the name that extractors of messages know
    """Return a sentence as it is, marked so that it is in the template; it is translated where it is written."""
    return message


def _(message: str, /, **values: object) -> str:
    """Return a sentence in the language, its placeholders filled with values."""
    return _filled(_chosen.get().words.gettext(message), values, of=message) if message else ""


def ngettext(one: str, many: str, count: int, /, **values: object) -> str:
    """Return the sentence that goes with a count; both may use {count}."""
    said = _chosen.get().words.ngettext(one, many, count)
    return _filled(said, {"count": count, **values}, of=one, many=many, count=count)


def pgettext(context: str, message: str, /, **values: object) -> str:
    """Return a word or sentence that means what it does in one place, which `context` names."""
    if not message:
        return ""
    return _filled(_chosen.get().words.pgettext(context, message), values, of=message, context=context)


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence or word in no language yet: made once, and as text in the language of the moment.

    values: what its placeholders are filled with; sentences among them are in the same language. count: of a sentence
    that goes with a number, which `many` is then for.
    """

    message: str
    values: tuple[tuple[str, object], ...] = ()
    context: str = ""
    many: str = ""
    count: int = 0

    def has(self, name: str) -> bool:
        """Whether it has a placeholder."""
        return name in dict(self.values)

    def value(self, name: str) -> object:
        """Return what a placeholder is filled with; raises `KeyError` where there is none of that name."""
        return dict(self.values)[name]

    def __str__(self) -> str:
        values = dict(self.values)
        if self.many:
            return ngettext(self.message, self.many, self.count, **values)
        return pgettext(self.context, self.message, **values) if self.context else _(self.message, **values)


@dataclass(frozen=True, slots=True)
class Several:
    """Sentences or names as one list, in the language of the moment; `pattern` ends it, where it is one with an end."""

    parts: tuple[object, ...]
    pattern: str = ""

    def __str__(self) -> str:
        parts = [str(part) for part in self.parts]
        return _joined(parts, self.pattern) if self.pattern else in_a_row(parts)


def gettext_lazy(message: str, /, **values: object) -> Sentence:
    """Return a sentence that is translated when it becomes text."""
    return Sentence(message, tuple(values.items()))


def ngettext_lazy(one: str, many: str, count: int, /, **values: object) -> Sentence:
    """Return the sentence that goes with a count, translated when it becomes text; both may use {count}."""
    return Sentence(one, tuple(values.items()), many=many, count=count)


def pgettext_lazy(context: str, message: str, /, **values: object) -> Sentence:
    """Return a word or sentence that means what it does in one place, translated when it becomes text."""
    return Sentence(message, tuple(values.items()), context)


def translated(texts: "Texts") -> "Texts":
    """Return a dataclass of marked sentences with every one of them in the language."""
    return replace(texts, **{f.name: _each(getattr(texts, f.name)) for f in fields(texts)})


def _each(text: str | Sequence[str]) -> object:
    return _(text) if isinstance(text, str) else tuple(_(one) for one in text)


_MONTHS = (
    *(N_("January"), N_("February"), N_("March"), N_("April"), N_("May"), N_("June")),
    *(N_("July"), N_("August"), N_("September"), N_("October"), N_("November"), N_("December")),
)
_AND, _OR = N_("{parts} and {last}"), N_("{parts} or {last}")


def all_of(parts: Sequence[str]) -> str:
    """Return 'a', 'a and b' or 'a, b and c', as the language has it."""
    return _joined(parts, _AND)


def one_of(parts: Sequence[str]) -> str:
    """Return 'a', 'a or b' or 'a, b or c', as the language has it."""
    return _joined(parts, _OR)


def all_of_lazy(parts: Iterable[object]) -> Several:
    """Return what `all_of` does, translated when it becomes text."""
    return Several(tuple(parts), _AND)


def in_a_row_lazy(parts: Iterable[object]) -> Several:
    """Return what `in_a_row` does, translated when it becomes text."""
    return Several(tuple(parts))


def in_a_row(parts: Sequence[str]) -> str:
    """Return 'a, b, c', as the language has it."""
    return pgettext("between the parts of a list", ", ").join(parts)


def local_number(value: float, decimals: int) -> str:
    """Return `value`, of any unit, with a true minus sign and the decimal sign of the language."""
    return as_written(numerals.number(value, decimals))


def local_signed(value: float, decimals: int = 1) -> str:
    """Return `value`, of any unit, with its sign, as '+1.6', '−0.3' or '0.0', with the decimal sign of the language."""
    return as_written(numerals.signed(value, decimals))


def local_whole(value: int) -> str:
    """Return a whole number, as '1,250,000', with the language's sign between thousands."""
    return f"{value:,}".replace(",", pgettext("between thousands", ","))


def as_written(figures: str) -> str:
    """Return a number in figures with the decimal sign of the language for its point.

    Where lines are read from the right, a mark of Unicode (UAX #9, 2.6) keeps its sign before it.
    """
    signed = figures[:1] in ("+", "−") and _chosen.get().direction == "rtl"
    return f"{_LEFT_TO_RIGHT if signed else ''}{figures.replace('.', pgettext('decimal sign', '.'))}"


def as_typed(value: object) -> str:
    """Return what came, as somebody typed it, between the quotes of the language; what is no text, as Python shows it.

    What cannot be seen in a text, as the end of a line, is escaped as in Python.
    """
    shown = repr(value)
    if not isinstance(value, str):
        return shown
    return pgettext("around what somebody typed", "'{text}'", text=shown[1:-1].replace("\\'", "'"))


def long_date(iso: str) -> str:
    """Return '2026-03-14' as '14 March 2026', as the language has it; raises `ValueError` for what is no date."""
    day = date.fromisoformat(iso)
    return pgettext("date", "{day} {month} {year}", day=day.day, month=_(_MONTHS[day.month - 1]), year=day.year)


def _joined(parts: Sequence[str], pattern: str) -> str:
    if len(parts) < 2:
        return "".join(parts)
    return _(pattern, parts=in_a_row(parts[:-1]), last=parts[-1])


def _filled(pattern: str, values: dict[str, object], **of: object) -> str:
    if not keeps():
        return pattern.format(**values) if values else pattern
    return marked(lambda found: pattern.format(**found) if found else pattern, values, **of)
