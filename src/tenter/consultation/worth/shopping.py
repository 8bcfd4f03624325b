"""What to buy for a kit: colours that surfaces can have, where what they add is surely more than nothing.

A third of the invented clients choose the cloths, one after the other, each with those before it already bought. What
they are worth is said by the other clients, who chose none of them, so that a lucky choice is not praised for its luck.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray, IntArray, steady
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.conventions.method import Method
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.coverage import Gap, cloth_words, gaps, plain_surfaces, traits_of
from tenter.consultation.worth.gain import CHOOSERS, Gain, WiderKit, gain_of
from tenter.consultation.worth.tried_sittings import CLIENTS, TriedSittings, tried_sittings

_MOST_BOUGHT = 5  # a shopping trip's worth: ours
_CELL = 0.8  # bench units: of the surfaces in one such cube, the one nearest its middle stands for all


@dataclass(frozen=True, slots=True)
class ToBuy:
    """A colour to look for, in words, with what it adds once those before it are there.

    `traits` mark it out among cloths of its hue. `lab` is L*, a*, b* under D65/10°; `share` is the gain as a share of
    what a comparison tells with the kit as it is. `shown_truly`: whether a screen can show the colour (sRGB).
    """

    lab: tuple[float, float, float]
    hue_family: HueFamily
    traits: tuple[str, ...]
    gain: Gain
    share: float
    shown_truly: bool

    @property
    def words(self) -> str:
        """The colour in words, in the language that is written: "soft dark green"."""
        return cloth_words(self.traits, self.hue_family)


@dataclass(frozen=True, slots=True)
class GapGain:
    """A gap of the kit, and what a cloth in it adds to the verdict."""

    gap: Gap
    gain: Gain


@dataclass(frozen=True, slots=True)
class KitWorth:
    """What a kit tells, in nats a comparison over the first ten, and what would add to it."""

    nats: float
    gaps: tuple[GapGain, ...]
    to_buy: tuple[ToBuy, ...]


def kit_worth(bench: Bench) -> KitWorth:
    """Return what a kit tells, which of its gaps matter to the verdict, and what to buy."""
    tried = tried_sittings(bench)
    told = float(tried.by_client(tried.best)[CHOOSERS:].mean())
    return KitWorth(told, gap_gains(bench), _to_buy(tried, told))


def gap_gains(bench: Bench) -> tuple[GapGain, ...]:
    """Return what a cloth in each of the kit's widest gaps adds; every client counts, for none chose the gaps."""
    tried, found = tried_sittings(bench), gaps(bench)
    wider = WiderKit.of(tried, np.array([gap.lab for gap in found]), [gap.hue_family for gap in found])
    by_client = tried.by_client(wider.gains())
    return tuple(GapGain(gap, gain_of(own)) for gap, own in zip(found, by_client.T, strict=True))


def _to_buy(tried: TriedSittings, told: float) -> tuple[ToBuy, ...]:
    lab, families, coordinates = _on_offer(tried.bench.method)
    wider = WiderKit.of(tried, lab, families)
    choosers, others = _Shoppers.of(wider.of_clients(0, CHOOSERS)), _Bought(wider.of_clients(CHOOSERS, CLIENTS))
    found: list[ToBuy] = []
    while len(found) < _MOST_BOUGHT and len(found) < len(lab):
        pick = choosers.pick()
        gain = others.buy(pick)
        if not gain.is_sure:
            break
        found.append(_bought(lab[pick], families[pick], coordinates[pick], gain, told))
        choosers.buy(pick)
    return tuple(found)


@dataclass(eq=False)
class _Shoppers:
    """The clients by whom cloths are chosen: what is told at each look now (s,), and with each cloth besides (s, c)."""

    wider: WiderKit
    now: FloatArray
    with_it: FloatArray

    @classmethod
    def of(cls, wider: WiderKit) -> "_Shoppers":
        return cls(wider, wider.tried.best, wider.best_beside(wider.tried.rows))

    def pick(self) -> int:
        """Return the cloth that adds most."""
        return int(np.argmax(steady(np.maximum(self.with_it - self.now[:, None], 0).mean(axis=0))))

    def buy(self, pick: int) -> None:
        """Take a cloth into the kit: the others can be held against it from now on."""
        self.now = np.maximum(self.now, self.with_it[:, pick])
        self.with_it = np.maximum(self.with_it, self.wider.best_beside(self.wider.rows[pick : pick + 1]))


class _Bought:
    """The clients who say what bought cloths are worth."""

    def __init__(self, wider: WiderKit) -> None:
        self.wider, self.now, self.kit = wider, wider.tried.best, wider.tried.rows

    def buy(self, pick: int) -> Gain:
        """Take a cloth into the kit, and return what it adds."""
        with_it = np.maximum(self.now, self.wider.of_cloth(pick).best_beside(self.kit)[:, 0])
        gain = gain_of(self.wider.tried.by_client(with_it - self.now))
        self.now, self.kit = with_it, np.append(self.kit, self.wider.rows[pick])
        return gain


def _bought(lab: FloatArray, family: HueFamily, place: FloatArray, gain: Gain, told: float) -> ToBuy:
    L, a, b = (round(float(v), 1) for v in lab)
    shown_truly = Colours(lab, D65_10).on_screen()[1][0]
    return ToBuy((L, a, b), family, traits_of(place), gain, gain.nats / max(told, 1e-9), shown_truly)


def _on_offer(method: Method) -> tuple[FloatArray, Sequence[HueFamily], FloatArray]:
    """Return Lab (c, 3), hue families (c) and coordinates (c, 3) of surfaces that stand for all there are."""
    surfaces = plain_surfaces(method)
    cells = np.round(surfaces.coordinates / _CELL)
    away = steady(np.sum((surfaces.coordinates / _CELL - cells) ** 2, axis=1))
    best: dict[tuple[str, bytes], int] = {}
    for row in np.argsort(away, kind="stable"):
        best.setdefault((str(surfaces.families[row]), (cells[row] + 0.0).tobytes()), int(row))
    rows: IntArray = np.array(sorted(best.values()), dtype=np.intp)
    return surfaces.lab[rows], [HueFamily(str(f)) for f in surfaces.families[rows]], surfaces.coordinates[rows]
