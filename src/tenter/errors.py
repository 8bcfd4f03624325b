"""What can go wrong, said so that the reader can mend it: what came, what would do, what to try.

It is said in the language of the moment at which it is raised; whoever raises hands over words in that language.

Every way in ends with the exit code of what went wrong; 0 is done.
"""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import ClassVar, Final

from tenter.language import _, all_of, as_typed, ngettext, one_of

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
        super().__init__(_("{source}: {problem}. {remedy}", source=source, problem=problem, remedy=remedy))


class UnknownName(TenterError):
    """A name outside a closed vocabulary. none_yet: what to try where there is no name at all."""

    def __init__(self, kind: str, name: object, known: Iterable[object], none_yet: str = "") -> None:
        self.kind, self.name, self.known = kind, name, tuple(known)
        names = [str(one) for one in self.known]
        advice = what_would_do(str(name), names) or none_yet or _("there is none yet")
        if str(name).strip():
            said = _("no {kind} is called {name}; {advice}", kind=kind, name=as_typed(str(name)), advice=advice)
        else:
            said = _("no {kind} was given; {advice}", kind=kind, advice=advice)
        super().__init__(said)


def what_would_do(name: str, known: Iterable[str]) -> str:
    """Return which names to use in place of one that is not known: all, or the nearest of many; "" where none is."""
    names = list(dict.fromkeys(known))
    if len(names) <= _MOST_LISTED:
        return _("use {names}", names=one_of(names)) if names else ""
    by_small = {one.lower(): one for one in reversed(names)}
    near = [by_small[one] for one in get_close_matches(name.lower(), by_small, _MOST_NEAR, _LEAST_ALIKE)]
    if not near:
        return _("there are {total}, such as {names}", total=len(names), names=all_of(names[:_MOST_NEAR]))
    values = {"total": len(names), "names": all_of(near)}
    return ngettext("the nearest of {total} is {names}", "the nearest of {total} are {names}", len(near), **values)


class Refused(TenterError):
    """Something that is understood and cannot be given as things are, such as a verdict of too few answers."""

    exit_code = 3


class MissingPart(TenterError):
    """An optional part of the program that is not installed."""
