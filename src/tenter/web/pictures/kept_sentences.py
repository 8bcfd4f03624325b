"""What was measured, kept with its sentences, so that another language says them too; numbers are as they were.

Beside what was kept stands under `SENTENCES` where in it a text is, and what the text was made of. What was kept
without that, or cannot be said any more, is read in the words of its day.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from tenter.kept_words import taken_apart, without_marks
from tenter.language import Sentence, language
from tenter.photo.advice import then
from tenter.report.pictures.cloth_picture import before_comma, before_stop
from tenter.report.words.wording import sentence

SENTENCES = "sentences"
_CHANGES: Mapping[str, Callable[[str], str]] = {
    change.__name__: change for change in (then, sentence, before_comma, before_stop)
}
_CANNOT_BE_SAID = (LookupError, ValueError, TypeError, AttributeError)
Path = tuple[str | int, ...]


def kept_with_sentences(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return plain values whose texts are marked as a row keeps them: the texts as they are read, and their sentences.

    Of a text that is none of the catalogue's there is no sentence.
    """
    said = [[list(path), taken_apart(text)] for path, text in _texts(document) if without_marks(text) != text]
    found: dict[str, Any] = _each_text(document, without_marks)
    return found | {SENTENCES: {"language": language().code, "texts": said}}


def said_again(kept: dict[str, Any]) -> dict[str, Any]:
    """Return what a row keeps in the language that is written, changed in place."""
    said = kept.pop(SENTENCES, None)
    if said is not None and said["language"] != language().code:
        for path, made_of in said["texts"]:
            _say_at(kept, path, made_of)
    return kept


def _say_at(kept: Any, path: Sequence[str | int], made_of: Sequence[Any]) -> None:
    try:
        for step in path[:-1]:
            kept = kept[step]
        kept[path[-1]] = _text_of(made_of)
    except _CANNOT_BE_SAID:  # a sentence that has other values now: the words of its day stand
        return


def _text_of(made_of: Sequence[Any]) -> str:
    return "".join(one if isinstance(one, str) else _said(one) for one in made_of)


def _said(one: Mapping[str, Any]) -> str:
    values = {name: _text_of(value) if isinstance(value, list) else value for name, value in one["with"].items()}
    if "by" in one:
        return _CHANGES[one["by"]](values["text"])
    count = one.get("count", 0)
    values.pop("count", None)
    return str(Sentence(one["of"], tuple(values.items()), one.get("context", ""), one.get("many", ""), count))


def _texts(plain: Any, at: Path = ()) -> Iterator[tuple[Path, str]]:
    if isinstance(plain, str):
        yield at, plain
    elif isinstance(plain, Mapping):
        for name, value in plain.items():
            yield from _texts(value, (*at, name))
    elif isinstance(plain, (list, tuple)):
        for number, value in enumerate(plain):
            yield from _texts(value, (*at, number))


def _each_text(plain: Any, change: Callable[[str], str]) -> Any:
    if isinstance(plain, str):
        return change(plain)
    if isinstance(plain, Mapping):
        return {name: _each_text(value, change) for name, value in plain.items()}
    return [_each_text(value, change) for value in plain] if isinstance(plain, (list, tuple)) else plain
