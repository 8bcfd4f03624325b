"""Shop nothing for thirty days: outfits of what is owned, day by day, each piece in its turn."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from tenter.consultation.client.contrast import ContrastLevel
from tenter.consultation.garments.outfits import Outfit, outfits
from tenter.consultation.garments.wardrobe import Piece
from tenter.given import given_whole
from tenter.language import _

DAYS = 30  # days without buying anything: a month
_MOST_DAYS = 366  # days: a year


@dataclass(frozen=True, eq=False)
class RestPlan:
    """An outfit a day; different: how many of them differ; unworn: pieces that no outfit has."""

    days: tuple[Outfit, ...]
    different: int
    unworn: tuple[Piece, ...]


def rest_plan(owned: Sequence[Piece], days: int = DAYS, contrast: ContrastLevel | None = None) -> RestPlan:
    """Return outfits for so many days: next comes what was worn least, a loved piece before others.

    Raises `TenterError` unless the days are a whole number from 1 to 366. contrast: as for `outfits`.
    """
    count = given_whole(days, _("the number of days"), 1, _MOST_DAYS)
    every = outfits(owned, contrast)
    worn: Counter[int] = Counter()
    had: Counter[int] = Counter()
    plan: list[Outfit] = []
    for _day in range(count if every else 0):
        at = min(range(len(every)), key=lambda k: (had[k], *_weariness(every[k], worn), k))
        plan.append(every[at])
        had[at] += 1
        worn.update(id(piece) for piece in every[at].pieces)
    used = {id(piece) for outfit in every for piece in outfit.pieces}
    return RestPlan(tuple(plan), len(had), tuple(piece for piece in owned if id(piece) not in used))


def _weariness(outfit: Outfit, worn: Counter[int]) -> tuple[float, int]:
    """Return how often an outfit's pieces were worn on average, and how few of them are loved."""
    times = [worn[id(piece)] for piece in outfit.pieces]
    return sum(times) / len(times), -sum(piece.loved for piece in outfit.pieces)
