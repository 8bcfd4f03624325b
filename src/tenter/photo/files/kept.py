"""What was measured once and is kept on this machine by a number or a name, each in a file of its own."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from platformdirs import user_data_path

from tenter.errors import UnreadableInput

Key = TypeVar("Key", int, str)
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Kept(Generic[Key, Value]):
    """A thing by its number or name: what its file holds, or what is wrong with the file."""

    key: Key
    path: Path
    value: Value | None
    problem: str = ""


def folder_of(things: str) -> Path:
    """Return where things of a kind are kept; it need not be there."""
    return user_data_path("tenter", appauthor=False) / things


def looked_into(key: Key, path: Path, read: Callable[[Key], Value | None]) -> Kept[Key, Value]:
    """Return a thing with what is read of it, or with why that cannot be used."""
    try:
        return Kept(key, path, read(key))
    except UnreadableInput as error:
        return Kept(key, path, None, f"{error.problem}. {error.remedy}")
