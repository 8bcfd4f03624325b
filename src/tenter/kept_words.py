"""Sentences that are kept: while they are, each text carries what it was made of, so that it can be said again.

A text is kept for longer than its language is read. Inside `keeping_words` what the catalogue gives is marked: between
characters that Unicode keeps for no text at all stand the sentence with its values, and what it came to. Texts may be
put together or cut as usual, and `taken_apart` takes them apart again. Outside of it nothing is marked.
"""

import json
import re
from base64 import b64decode, b64encode
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import Any

_BEGIN, _TEXT, _END = "\ufdd0", "\ufdd1", "\ufdd2"  # noncharacters (Unicode 16, 23.7)
_MARKED = re.compile(f"{_BEGIN}([^{_BEGIN}{_TEXT}{_END}]*){_TEXT}([^{_BEGIN}{_TEXT}{_END}]*){_END}")
_LEFT_OVER = re.compile(f"{_BEGIN}?[A-Za-z0-9+/=]*{_TEXT}|[{_BEGIN}{_END}]")  # of a text that was cut
_keeping: ContextVar[bool] = ContextVar("whether texts carry what they were made of", default=False)


keeps = _keeping.get  # whether words are kept just now


@contextmanager
def keeping_words() -> Iterator[None]:
    """Mark every sentence that is said inside the `with`."""
    token = _keeping.set(True)
    try:
        yield
    finally:
        _keeping.reset(token)


def marked(say: Callable[[Mapping[str, Any]], str], values: Mapping[str, Any], **of: Any) -> str:
    """Return a sentence filled with values, marked, whether or not words are kept just now.

    say: fills it. of: which sentence it is, in plain values for JSON.
    """
    text = say({name: _unmarked(value) for name, value in values.items()})
    made_of = of | {"with": {name: _plain(value) for name, value in values.items()}}
    return f"{_BEGIN}{b64encode(json.dumps(made_of).encode()).decode()}{_TEXT}{text}{_END}"


def keeps_words(change: Callable[[str], str]) -> Callable[[str], str]:
    """Make a function that changes a text as a whole, its first letter for example, mark what it did, by its name."""

    @wraps(change)
    def changed(text: str) -> str:
        if not keeps():
            return change(text)
        return marked(lambda values: change(values["text"]), {"text": text}, by=change.__name__)

    return changed


def without_marks(text: str) -> str:
    """Return a text as it is read."""
    return _LEFT_OVER.sub("", _MARKED.sub(r"\2", text))


def taken_apart(text: str) -> list[Any]:
    """Return what a text is made of: words as they are, and sentences as plain values; words alone if it was cut."""
    found = _MARKED.split(text)
    if any(_LEFT_OVER.search(word) for word in found[::3]):
        return [without_marks(text)]
    made_of = [json.loads(b64decode(said)) for said in found[1::3]]
    both = [one for pair in zip(found[::3], [*made_of, ""], strict=True) for one in pair]
    return [one for one in both if one]


def _unmarked(value: Any) -> Any:
    return value if isinstance(value, (int, float)) else without_marks(str(value))


def _plain(value: Any) -> Any:
    return value if isinstance(value, (int, float)) else taken_apart(str(value))
