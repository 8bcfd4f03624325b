"""What can go wrong, said so that the reader can mend it: what came, what would do, what to try.

Every way in ends with the exit code of what went wrong; 0 is done.
"""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import ClassVar, Final

from tenter.numerals import listed

_MOST_LISTED: Final = 16  # names in one message; of more, only the nearest
_MOST_NEAR: Final = 3
_LEAST_ALIKE: Final = 0.5  # share of letters in common from which a name is near, as `difflib` counts it

STOPPED = 130  # the exit code of what Ctrl-C ended, as shells have it


class TenterError(Exception):
    """Base of every error that a user can cause and can mend. The message is meant to be shown as it stands."""

    exit_code: ClassVar[int] = 2  # as of a usage that is not understood


class UnreadableInput(TenterError):
    """A file, row or field that cannot be read. Nothing of it has been kept."""

    def __init__(self, source: str, problem: str, remedy: str) -> None:
        self.source, self.problem, self.remedy = source, problem, remedy
        super().__init__(f"{source}: {problem}. {remedy}")


class UnknownName(TenterError):
    """A name outside a closed vocabulary. none_yet: what to try where there is no name at all."""

    def __init__(self, kind: str, name: object, known: Iterable[object], none_yet: str = "there is none yet") -> None:
        self.kind, self.name, self.known = kind, name, tuple(known)
        names = [str(one) for one in self.known]
        came = f"is called {str(name)!r}" if str(name).strip() else "was given"
        super().__init__(f"no {kind} {came}; {what_would_do(str(name), names) or none_yet}")


def what_would_do(name: str, known: Iterable[str]) -> str:
    """Return which names to use in place of one that is not known: all, or the nearest of many; "" where none is."""
    names = list(dict.fromkeys(known))
    if len(names) <= _MOST_LISTED:
        return f"use {listed(names, 'or')}" if names else ""
    by_small = {one.lower(): one for one in reversed(names)}
    near = [by_small[one] for one in get_close_matches(name.lower(), by_small, _MOST_NEAR, _LEAST_ALIKE)]
    if not near:
        return f"there are {len(names)}, such as {listed(names[:_MOST_NEAR])}"
    return f"the nearest of {len(names)} {'is' if len(near) == 1 else 'are'} {listed(near)}"


class Refused(TenterError):
    """Something that is understood and cannot be given as things are, such as a verdict of too few answers."""

    exit_code = 3


class MissingPart(TenterError):
    """An optional part of the program that is not installed."""
