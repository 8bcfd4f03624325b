"""What has become of a kit: each cloth's change, the pairs that no longer match, the sittings that used it since."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.fading.cloth_uses import SittingUse, UsedSince, used_since
from tenter.consultation.fading.drift import DRIFTED_FROM, ClothDrift, cloth_drifts
from tenter.consultation.fading.faded_pairs import FadedPair, faded_pairs
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.readings.cloth_reading import day_from
from tenter.consultation.readings.kit_on_day import kit_on_day
from tenter.consultation.words.difference_words import SAME_BELOW

_LAST_DAY = "9999-12-31"  # after every reading, so that the readings given are the ones that count


@dataclass(frozen=True, slots=True)
class KitDrift:
    """A kit then and now. drifts: the most changed cloth first. pairs: those that no longer match by a visible change.

    uses: by cloth, the sittings that used it since its baseline. once: cloths with readings of one day alone.
    not_in_kit: cloths of the book that the kit does not have; no pair of theirs is known. limit: the ΔE00 from which a
    cloth counts as drifted.
    """

    drifts: tuple[ClothDrift, ...]
    pairs: tuple[FadedPair, ...]
    uses: Mapping[str, UsedSince]
    once: tuple[str, ...]
    not_in_kit: tuple[str, ...]
    limit: float = DRIFTED_FROM  # ΔE00 from which a cloth counts as drifted

    def pairs_of(self, cloth: str) -> tuple[FadedPair, ...]:
        """Return the pairs with one cloth that no longer match."""
        return tuple(pair for pair in self.pairs if cloth in pair.cloths)


def kit_drift(
    book: ReadingBook, kit: Kit, method: Method, uses: Iterable[SittingUse] = (), since: str = ""
) -> KitDrift:
    """Return what has become of a kit since the first readings in a book.

    since: the day from which readings count, as `cloth_drifts` has it.

    Raises
    ------
    TenterError
        If the day is none, or a colour cannot be carried to the light that is asked for.
    """
    drifts, sittings = cloth_drifts(book.readings, book.washes, since), tuple(uses)
    known = [one for one in drifts if one.cloth in kit]
    then = kit_on_day(kit, (r for one in known for r in one.baseline.readings), _LAST_DAY).kit
    now = kit_on_day(kit, (r for one in known for r in one.latest.readings), _LAST_DAY).kit
    begin = day_from(since) if since else ""
    named = dict.fromkeys(one.cloth for one in book.readings if one.day >= begin)
    changed = {one.cloth for one in drifts}
    return KitDrift(
        drifts=drifts,
        pairs=faded_pairs(then, now, method, {one.cloth for one in known if one.delta_e >= SAME_BELOW}),
        uses={one.cloth: used_since(sittings, one.cloth, one.baseline.day) for one in drifts},
        once=tuple(name for name in named if name not in changed),
        not_in_kit=tuple(name for name in named if name not in kit),
    )
