"""What was given, checked at the door: of the kind that is asked for, or a `TenterError` that says what would do."""

import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TypeVar

import numpy as np

from tenter.arrays import FloatArray
from tenter.errors import TenterError
from tenter.language import _, as_typed, as_written

T = TypeVar("T")
_LONGEST_SHOWN = 60  # letters of what came, in a message


class NumberOutside(TenterError):
    """A number that is none, or is outside its range. what: the words that name it; empty where nobody said."""

    def __init__(self, message: str, what: str = "") -> None:
        super().__init__(message)
        self.what = what


def shown(value: object) -> str:
    """Return a value as an error shows it: short, on one line, and fit to be written anywhere."""
    if isinstance(value, np.generic):
        value = value.item()
    try:
        text = " ".join(repr(value).encode("utf-8", "backslashreplace").decode().split())
    except ValueError:  # a whole number too long to be written out
        text = _("a {kind} too long to be shown", kind=type(value).__name__)
    if len(text) > _LONGEST_SHOWN:
        return text[: _LONGEST_SHOWN - 1] + "…"
    return as_typed(value) if isinstance(value, str) else text


def of_kind(kind: type[T], value: object, what: str, made_by: str) -> T:
    """Return a value of a class; `made_by` says how one is made. Raises `TenterError` for any other value."""
    if not isinstance(value, kind):
        raise TenterError(f"{what} is a {kind.__name__}, got {shown(value)}; {made_by} makes one")
    return value


def given_path(value: object) -> Path:
    """Return a file's path.

    Raises `TenterError` for what is no path, or holds a null or half a letter, which no file's name can.
    """
    path = os.fspath(value) if isinstance(value, str | os.PathLike) else None
    if not isinstance(path, str) or "\0" in path:
        raise TenterError(_("a file is named by its path, as text; got {value}", value=shown(value)))
    try:
        os.fsencode(path)
    except UnicodeEncodeError:
        raise TenterError(_("no file can be named {value}; check the path", value=shown(value))) from None
    return Path(path)


def given_text(value: object, what: str, needed: bool = True) -> str:
    """Return text that can be written down.

    Raises `TenterError` for what is no text, for blank text where it is `needed`, and for half a letter (a lone
    surrogate).
    """
    if not isinstance(value, str) or (needed and not value.strip()):
        if needed:
            raise TenterError(_("{what} is a text; got {value}", what=what, value=shown(value)))
        raise TenterError(_("{what} is a text, which may be empty; got {value}", what=what, value=shown(value)))
    if not value.isascii() and any("\ud800" <= letter <= "\udfff" for letter in value):
        raise TenterError(
            _(
                "{what} holds half a letter, which no file can keep: {value}; write it again",
                what=what,
                value=shown(value),
            )
        )
    return value


def given_number(value: object, what: str, least: float, most: float) -> float:
    """Return a finite number from `least` to `most`, all in one unit; raises `NumberOutside` for anything else."""
    plain = isinstance(value, int | float | np.integer | np.floating) and not isinstance(value, bool)
    if not plain or not least <= value <= most:  # type: ignore[operator]  # the comparison is false for NaN too
        raise NumberOutside(
            _(
                "{what} is a finite number from {least} to {most}; got {value}",
                what=what,
                least=as_written(f"{least:g}"),
                most=as_written(f"{most:g}"),
                value=shown(value),
            ),
            what,
        )
    return float(value)  # type: ignore[arg-type]


def given_whole(value: object, what: str, least: int, most: int | None = None) -> int:
    """Return a whole number from `least` to `most`, or without an upper end; raises `TenterError` for anything else."""
    plain = isinstance(value, int | np.integer) and not isinstance(value, bool)
    if not plain or value < least or (most is not None and value > most):  # type: ignore[operator]
        raise TenterError(
            _("{what} is a whole number from {least}; got {value}", what=what, least=least, value=shown(value))
            if most is None
            else _(
                "{what} is a whole number from {least} to {most}; got {value}",
                what=what,
                least=least,
                most=most,
                value=shown(value),
            )
        )
    return int(value)  # type: ignore[call-overload, no-any-return]


def given_truth(value: object, what: str) -> bool:
    """Return true or false; raises `TenterError` for anything else, also for 0 and 1."""
    if not isinstance(value, bool | np.bool_):
        raise TenterError(_("{what} is True or False; got {value}", what=what, value=shown(value)))
    return bool(value)


def given_list(value: object, what: str) -> list[Any]:
    """Return the members of a list, a tuple or another row of things.

    Raises `TenterError` for what has no members, and for a text, which is no list of its letters.
    """
    if isinstance(value, str | bytes) or not isinstance(value, Iterable):
        raise TenterError(_("{what} is a list; got {value}", what=what, value=shown(value)))
    return list(value)


def given_array(value: object, what: str) -> FloatArray:
    """Return numbers as an array of floats, in the shape of what came (...).

    Raises `TenterError` for rows of unequal length and for text, however it looks. NaN and infinity pass: whoever asks
    knows whether they will do.
    """
    try:
        array = np.asarray(value)
    except (ValueError, TypeError):  # rows of unequal length
        array = np.asarray(None)
    if array.dtype.kind not in "iuf":
        raise TenterError(_("{what} holds numbers alone; got {value}", what=what, value=shown(value)))
    return array.astype(float)
