"""A kit on a day with all that is known of it: audit, readings, what has faded, and what would add to it."""

from dataclasses import dataclass, field

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.fading.drift import ClothDrift
from tenter.consultation.fading.kit_drift import KitDrift, kit_drift
from tenter.consultation.laid_out.audit import KitAudit, audit, cloth_named
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.readings.cloth_reading import day_from
from tenter.consultation.readings.kit_on_day import kit_on_day
from tenter.consultation.readings.summary import ClothSummary
from tenter.consultation.worth.shopping import KitWorth, kit_worth


@dataclass(frozen=True, eq=False)
class CheckedKit:
    """A kit on a day with all that is known of it. kit: with the colours of that day.

    readings: of each cloth the day that its colour comes from. drift: None where there is no book of readings. worth:
    what would add to it, None where nobody asked. book: the readings and washes up to that day.
    """

    kit: Kit
    method: Method
    day: str
    audit: KitAudit
    readings: tuple[ClothSummary, ...]
    drift: KitDrift | None
    worth: KitWorth | None = None
    book: ReadingBook = field(default_factory=ReadingBook)

    @property
    def drifted(self) -> tuple[ClothDrift, ...]:
        """The cloths that have changed so far that they leave the tests."""
        return tuple(one for one in (self.drift.drifts if self.drift else ()) if one.has_drifted)

    @property
    def wide(self) -> tuple[ClothSummary, ...]:
        """The readings that spread so far that a cloth is to be read again."""
        return tuple(one for one in self.readings if one.is_wide)

    def named(self, cloth: str) -> str:
        """Return a cloth's name with its number; the number alone where the kit does not have it."""
        return cloth_named(self.kit[cloth]) if cloth in self.kit else cloth


def checked_kit(
    kit: Kit, method: Method, day: str, book: ReadingBook | None = None, to_buy: bool = False
) -> CheckedKit:
    """Return what is known of a kit at the end of a day (ISO date); readings of later days do not count.

    to_buy: also work out what would add to it, which takes seconds.

    Raises
    ------
    TenterError
        If the day is none, or a colour cannot be carried to the kit's light.
    """
    last = day_from(day)
    if book is None:
        worth = kit_worth(bench_of(kit, method)) if to_buy else None
        return CheckedKit(kit, method, last, audit(kit, method), (), None, worth)
    until = ReadingBook(
        tuple(one for one in book.readings if one.day <= last), tuple(one for one in book.washes if one.day <= last)
    )
    now = kit_on_day(kit, until.readings, last)
    drift = kit_drift(until, kit, method)
    worth = kit_worth(bench_of(now.kit, method)) if to_buy else None
    return CheckedKit(now.kit, method, last, audit(now.kit, method), tuple(now.taken.values()), drift, worth, until)
