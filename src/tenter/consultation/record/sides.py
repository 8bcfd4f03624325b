"""A side of a comparison: one cloth, or several worn together."""

from typing import TypeAlias

from tenter.errors import TenterError
from tenter.given import given_text, shown
from tenter.language import _

Side: TypeAlias = str | tuple[str, ...]  # by id


def cloths_of(side: Side) -> tuple[str, ...]:
    """Return the cloths of a side, by id."""
    return (side,) if isinstance(side, str) else tuple(side)


def checked_side(side: object) -> Side:
    """Return a side as it is kept, one cloth as its id; raises `TenterError` for what is no side."""
    if isinstance(side, str) and side:
        return given_text(side, _("a cloth's id"))
    if isinstance(side, tuple | list) and side and all(isinstance(s, str) and s for s in side):
        if len(set(side)) < len(side):
            raise TenterError(_("a combination names a cloth twice: {names}", names="+".join(side)))
        for part in side:
            given_text(part, _("a cloth's id"))
        return side[0] if len(side) == 1 else tuple(side)
    raise TenterError(f"a side is a cloth's id or a tuple of ids, got {shown(side)}")
