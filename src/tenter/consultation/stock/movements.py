"""What came into the drawers and went out of them: movements that are only ever added, and what they add up to."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from tenter.consultation.stock.snippets import LARGEST_DRAWER, Stock, drawer_from
from tenter.errors import TenterError, UnknownName
from tenter.given import given_text, given_whole, shown
from tenter.language import N_, _

_LONGEST_NOTE = 120  # letters: a line of the list


class MovementReason(StrEnum):
    """Why the number of pieces in a drawer changed."""

    BOUGHT = "bought"
    PICKED = "picked"  # for a client
    PUT_BACK = "put back"  # picked and not given away
    COUNTED = "counted"  # what is in the drawer is not what was thought


_SIGN = {MovementReason.BOUGHT: 1, MovementReason.PICKED: -1, MovementReason.PUT_BACK: 1}
_WAY = {  # by the sign that a reason asks for
    1: N_("what is {why} goes in; got {change} pieces of drawer {drawer}"),
    -1: N_("what is {why} goes out; got {change} pieces of drawer {drawer}"),
    None: N_("what is {why} goes in or out; got {change} pieces of drawer {drawer}"),
}


@dataclass(frozen=True, slots=True)
class Movement:
    """One change of a drawer.

    change: pieces, below 0 where they went out. at: ISO date, or date and time. Raises `TenterError` for no change or
    one that goes the other way than its reason, and for what is no such moment or drawer.
    """

    drawer: str
    change: int
    why: MovementReason
    at: str
    note: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "drawer", drawer_from(self.drawer))
        given_whole(self.change, _("a change of drawer {drawer}", drawer=self.drawer), -LARGEST_DRAWER, LARGEST_DRAWER)
        object.__setattr__(self, "why", why_from(self.why))
        sign = _SIGN.get(self.why)
        if self.change == 0 or (sign is not None and self.change * sign < 0):
            raise TenterError(_(_WAY[sign], why=self.why, change=shown(self.change), drawer=self.drawer))
        if not _is_moment(self.at):
            raise TenterError(_("a movement has a date such as 2026-11-29; got {at}", at=shown(self.at)))
        note = " ".join(given_text(self.note, _("a movement's note"), needed=False).split())
        object.__setattr__(self, "note", note[:_LONGEST_NOTE])


def why_from(value: object) -> MovementReason:
    """Return why a drawer changed, or raise `UnknownName`."""
    try:
        return MovementReason(str(value).strip().lower())
    except ValueError:
        raise UnknownName(_("reason of a movement"), value, MovementReason) from None


def stock_after(stock: Stock, movements: Iterable[Movement]) -> Stock:
    """Return a stock as it is after movements.

    Raises
    ------
    TenterError
        If a movement is of a drawer that is not there, or takes out more than there is.
    """
    left = {one.drawer.casefold(): one.count for one in stock}
    for movement in movements:
        held = stock[movement.drawer]
        before = left[held.drawer.casefold()]
        if before + movement.change < 0:
            raise TenterError(
                _(
                    "{count} of drawer {drawer} ({name}) {why} on {at}, and it held {before}. Count the drawer",
                    count=-movement.change,
                    drawer=held.drawer,
                    name=held.name,
                    why=movement.why,
                    at=movement.at,
                    before=before,
                )
            )
        left[held.drawer.casefold()] = before + movement.change
    return Stock(tuple(replace(one, count=left[one.drawer.casefold()]) for one in stock))


def to_count(stock: Stock, drawer: str, pieces: int, at: str, note: str = "") -> tuple[Movement, ...]:
    """Return the movement by which a drawer holds as many pieces as were counted; none where it does already.

    Raises `TenterError` for no whole number of pieces, and `UnknownName` for a drawer that is not there.
    """
    held = stock[drawer]
    given_whole(pieces, _("a number of pieces"), 0, LARGEST_DRAWER)
    change = pieces - held.count
    return (Movement(held.drawer, change, MovementReason.COUNTED, at, note),) if change else ()


def picked(drawers: Sequence[str], at: str, note: str = "") -> tuple[Movement, ...]:
    """Return the movements by which one piece of each drawer goes out."""
    return tuple(Movement(drawer, -1, MovementReason.PICKED, at, note) for drawer in drawers)


def _is_moment(text: object) -> bool:
    try:
        datetime.fromisoformat(str(text))
    except ValueError:
        return False
    return isinstance(text, str)
