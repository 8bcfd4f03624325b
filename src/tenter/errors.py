"""What can go wrong, said so that the reader can mend it: what came, what would do, what to try.

Every way in ends with the exit code of what went wrong; 0 is done.
"""

from collections.abc import Iterable
from typing import ClassVar

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
    """A name outside a closed vocabulary."""

    def __init__(self, kind: str, name: object, known: Iterable[object]) -> None:
        self.kind, self.name, self.known = kind, name, tuple(known)
        super().__init__(f"no {kind} {str(name)!r}; known: {', '.join(str(k) for k in self.known)}")


class Refused(TenterError):
    """Something that is understood and cannot be given as things are, such as a verdict of too few answers."""

    exit_code = 3


class MissingPart(TenterError):
    """An optional part of the program that is not installed."""
