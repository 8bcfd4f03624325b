"""What to buy within a budget: the wishes that make the most new outfits of what is owned already.

Outfits gained by a set of purchases are not the sum of what each gains alone, as two purchases may make outfits with
one another. Every outfit is counted by the purchases that it needs, at most three, so that a set's gain is a sum over
its members, pairs and threes. Up to `MOST_EXACT` wishes every set within the budget is tried, and the best is the best
there is. Beyond that the purchase with the most gain for its price is taken again and again, and a bound says how much
better any set could be: each count shared out among the purchases it needs, by price (G. B. Dantzig 1957, "Discrete-
variable extremum problems", Operations Research 5(2), 266-288, from memory).
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import steady
from tenter.consultation.client.contrast import ContrastLevel
from tenter.consultation.garments.outfits import outfits
from tenter.consultation.garments.wardrobe import Piece
from tenter.errors import TenterError
from tenter.given import given_number, given_whole
from tenter.language import _, in_a_row

MOST_EXACT = 15  # wishes: so many that 2^15 sets are tried
_MOST_BUDGET = 1e6  # in the money of the prices: more is a slip of the key
Needed = frozenset[int]


@dataclass(frozen=True, eq=False)
class Purchase:
    """One wish and how many outfits it alone makes with what is owned."""

    piece: Piece
    gained: int


@dataclass(frozen=True, eq=False)
class BuyList:
    """What to buy. every: all wishes, most outfits gained first. chosen: in the order of what they add.

    gained: new outfits that they make together; had: outfits without them. spent, budget: in units of the prices'
    money. bound: no set within the budget gains more.
    """

    every: tuple[Purchase, ...]
    chosen: tuple[Purchase, ...]
    had: int
    gained: int
    spent: float
    budget: float
    bound: int

    @property
    def is_exact(self) -> bool:
        """Whether no set within the budget gains more."""
        return self.gained >= self.bound


def buy_list(
    owned: Sequence[Piece],
    wishes: Sequence[Piece],
    budget: float,
    contrast: ContrastLevel | None = None,
    pieces: int | None = None,
) -> BuyList:
    """Return which wishes to buy within a budget.

    budget: in units of the prices' money, 0 to a million. pieces: how many new ones at the most; None for any number.
    Up to `MOST_EXACT` wishes every set is tried; of more, the one with the most new outfits for its price is taken
    again and again.

    Raises
    ------
    TenterError
        If a wish has no price, the budget is no such amount, or `pieces` is no whole number from 1.
    """
    money = given_number(budget, _("a budget"), 0.0, _MOST_BUDGET)
    unpriced = [wish.name for wish in wishes if wish.price is None]
    if unpriced:
        raise TenterError(
            _(
                "each wish needs a price to be compared with a budget; none was given for {names}",
                names=in_a_row(unpriced),
            )
        )
    prices = [float(wish.price or 0.0) for wish in wishes]
    gains, had = _gains(owned, wishes, contrast)
    most = len(wishes) if pieces is None else given_whole(pieces, _("the largest number of new pieces"), 1)
    exact = len(wishes) <= MOST_EXACT
    chosen = (_best_set if exact else _greedy)(gains, prices, money, most)
    gained = _gain(gains, chosen)
    every = [Purchase(wish, _gain(gains, frozenset({k}))) for k, wish in enumerate(wishes)]
    return BuyList(
        every=tuple(sorted(every, key=lambda p: (-p.gained, p.piece.price or 0.0, p.piece.name))),
        chosen=tuple(every[k] for k in _in_order(gains, chosen)),
        had=had,
        gained=gained,
        spent=sum(prices[k] for k in chosen),
        budget=money,
        bound=gained if exact else max(gained, _bound(gains, prices, money)),
    )


def _gains(
    owned: Sequence[Piece], wishes: Sequence[Piece], contrast: ContrastLevel | None
) -> tuple[dict[Needed, int], int]:
    """Return how many outfits need just which wishes, and how many need none."""
    number = {id(wish): k for k, wish in enumerate(wishes)}
    needed = Counter(
        frozenset(number[id(piece)] for piece in outfit.pieces if id(piece) in number)
        for outfit in outfits(owned, contrast, wishes)
    )
    had = needed.pop(frozenset(), 0)
    return dict(needed), had


def _gain(gains: dict[Needed, int], chosen: Needed) -> int:
    return sum(count for needed, count in gains.items() if needed <= chosen)


def _best_set(gains: dict[Needed, int], prices: Sequence[float], budget: float, most: int) -> Needed:
    """Return the set of so many at most that gains most within the budget; of equals the cheapest, the smallest."""
    count = len(prices)
    worth, cost = np.zeros(1 << count, dtype=np.intp), np.zeros(1 << count)
    for needed, gained in gains.items():
        worth[sum(1 << k for k in needed)] = gained
    for k, price in enumerate(prices):  # each set is one without k, or such a one and k
        gained_by, costs = worth.reshape(-1, 2, 1 << k), cost.reshape(-1, 2, 1 << k)
        gained_by[:, 1] += gained_by[:, 0]
        costs[:, 1] = costs[:, 0] + price
    few = np.bitwise_count(np.arange(1 << count)) <= most
    within = np.flatnonzero((steady(cost) <= budget) & few)
    order = np.lexsort((within, np.bitwise_count(within), steady(cost[within]), -worth[within]))
    best = int(within[order[0]])
    return frozenset(k for k in range(count) if best >> k & 1)


def _greedy(gains: dict[Needed, int], prices: Sequence[float], budget: float, most: int) -> Needed:
    """Return a good set: the purchase with the most gain for its price, again and again."""
    chosen: Needed = frozenset()
    left = budget
    while True:
        open_ = [k for k in range(len(prices)) if k not in chosen and steady(prices[k]) <= steady(left)]
        more = {k: _gain(gains, chosen | {k}) - _gain(gains, chosen) for k in open_}
        worth = [k for k in open_ if more[k] > 0]
        if not worth or len(chosen) == most:
            return chosen
        best = max(worth, key=lambda k: (steady(more[k] / max(prices[k], 1e-9)), more[k], -k))
        chosen, left = chosen | {best}, left - prices[best]


def _bound(gains: dict[Needed, int], prices: Sequence[float], budget: float) -> int:
    """Return what no set within the budget gains more than."""
    share = [0.0] * len(prices)
    for needed, count in gains.items():
        for k in needed:
            share[k] += count / len(needed)
    total, left = 0.0, budget
    for k in sorted(range(len(prices)), key=lambda k: -share[k] / max(prices[k], 1e-9)):
        part = 1.0 if prices[k] <= left else left / prices[k]
        total, left = total + part * share[k], left - part * prices[k]
    return int(steady(total))


def _in_order(gains: dict[Needed, int], chosen: Needed) -> list[int]:
    """Return the chosen in the order in which each adds most to those before it."""
    order: list[int] = []
    while len(order) < len(chosen):
        had = frozenset(order)
        order.append(max(sorted(chosen - had), key=lambda k: _gain(gains, had | {k})))
    return order
