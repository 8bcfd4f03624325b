"""What one more cloth adds to a kit: nats of expected information per comparison, with an interval.

The sittings are those of the kit alone, client by client and answer by answer (common random numbers). At each look the
gain is by how much the best pair that the cloth makes possible tells more than the best pair there is. Ours.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import stdtrit

from tenter.arrays import BoolArray, FloatArray, IntArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.measurement import D65_10, Colours
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape, Kit
from tenter.consultation.laid_out.audit import ONE_CLOTH
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.pair_quality import FEW_PAIRS
from tenter.consultation.worth.tried_sittings import CLIENTS, TriedSittings, information, places_of

_COVERAGE = 0.95  # of the interval
CHOOSERS = CLIENTS // 3  # clients by whom cloths are chosen; the others, who chose none, say what they are worth
_LEAST_SHOWN = 1e-4  # nats: below this the reckoning itself is too coarse
_AT_ONCE = 40  # cloths whose pairs are worked out together


@dataclass(frozen=True, slots=True)
class Gain:
    """A gain in nats of expected information per comparison, with its 95 % interval from `low` to `high`."""

    nats: float
    low: float
    high: float

    @property
    def is_sure(self) -> bool:
        """Whether the interval excludes 0, and so far that four decimals show it."""
        return self.low >= _LEAST_SHOWN


@dataclass(frozen=True, eq=False)
class WiderKit:
    """A kit as it was tried, and c cloths that it might have besides: `rows` (c,) are theirs on the wider `bench`.

    `utilities` (n, m) are of its cloths to the hypotheses of the sittings.
    """

    tried: TriedSittings
    bench: Bench
    rows: IntArray
    utilities: FloatArray

    @classmethod
    def of(cls, tried: TriedSittings, lab: FloatArray, families: Sequence[HueFamily]) -> "WiderKit":
        """Return a kit that was tried beside cloths of the given colours, D65/10° (c, 3), and hue families (c)."""
        own = tried.bench.kit
        taken = max((len(drape_id) for drape_id in own.ids), default=0)
        new = [Drape(f"{'n' * taken}{i}", f"{i}", family) for i, family in enumerate(families)]
        colours = Colours(np.concatenate([own.bench_colours.lab, np.reshape(lab, (-1, 3))]), D65_10)
        bench = Bench.of(Kit((*own.drapes, *new), colours), tried.bench.method)
        utilities = tried.hypotheses.utilities(bench.coordinates)
        return cls(tried, bench, np.arange(len(own), len(own) + len(new)), utilities)

    def gains(self) -> FloatArray:
        """Return what each cloth adds at each look, in nats, shape (s, c): 0 or more."""
        gained: FloatArray = np.maximum(self.best_beside(self.tried.rows) - self.tried.best[:, None], 0)
        return gained

    def best_beside(self, partners: IntArray) -> FloatArray:
        """Return what the best pair of each of the c cloths with any of the partners tells at each look, shape (s, c).

        Partners (n,) are rows of the wider bench.
        """
        some = [self.rows[i : i + _AT_ONCE] for i in range(0, self.rows.size, _AT_ONCE)]
        best = [self._best_of(rows, partners) for rows in some]
        return np.concatenate([np.zeros((len(self.tried.weights), 0)), *best], axis=1)

    def of_clients(self, start: int, end: int) -> "WiderKit":
        """Return the same kit and cloths, tried on some of the clients alone."""
        return replace(self, tried=self.tried.of_clients(start, end))

    def of_cloth(self, place: int) -> "WiderKit":
        """Return the kit beside one of the c cloths alone."""
        return replace(self, rows=self.rows[place : place + 1])

    def _best_of(self, rows: IntArray, partners: IntArray) -> FloatArray:
        pairs = np.stack([np.repeat(rows, partners.size), np.tile(partners, rows.size)], axis=1)
        alike = self.bench.families[pairs[:, 0]] == self.bench.families[pairs[:, 1]]
        meant = (alike if self._keeps_to_hues else np.ones_like(alike)) & (pairs[:, 0] != pairs[:, 1])
        best = np.zeros((len(self.tried.weights), rows.size))
        told = information(self.tried.hypotheses, self.bench, self.utilities, self.tried.weights, pairs[meant])
        told[self._used_up(pairs[meant])] = 0.0
        np.maximum.at(best.T, np.flatnonzero(meant) // max(1, partners.size), told.T)
        return best

    @property
    def _keeps_to_hues(self) -> bool:
        families = self.tried.bench.families[self.tried.rows]
        alike = np.unique(families, return_counts=True)[1]
        return int((alike * (alike - 1) // 2).sum()) >= FEW_PAIRS

    def _used_up(self, pairs: IntArray) -> BoolArray:
        """Return at which looks which pairs (p, 2) have been held in effect, by a cloth that is one to the eye: (s, p).

        So a double of a cloth does not bring back what has been held.
        """
        tried, own = self.tried, pairs[:, 1] < len(self.tried.bench.kit)
        used = np.zeros((len(tried.weights), len(pairs)), dtype=bool)
        used[:, own] = tried.spent[:, places_of(tried.rows, pairs[own, 1])]
        known = {(int(a), int(b)): place for place, (a, b) in enumerate(tried.pairs)}
        for place, twin in self._twins(pairs[:, 0]):
            partner = int(pairs[place, 1])
            used[:, place] |= tried.spent[:, places_of(tried.rows, np.array(twin))]
            held = known.get((twin, partner), known.get((partner, twin)))
            if held is not None:
                used[:, place] |= tried.seen[:, held]
        return used

    def _twins(self, rows: IntArray) -> Iterator[tuple[int, int]]:
        """Yield the places in rows (p,) of the wider bench with each row of the kit that is one cloth with it."""
        lab, (new, back) = self.bench.kit.bench_colours.lab, np.unique(rows, return_inverse=True)
        alike = delta_e_2000(lab[new][:, None], lab[self.tried.rows]) < ONE_CLOTH
        for place, twin in np.argwhere(alike[back]):
            yield int(place), int(self.tried.rows[twin])


def gain_of(by_client: FloatArray) -> Gain:
    """Return the gain of a cloth, by its mean for each client (clients,); the interval is Student's."""
    mean, error = float(by_client.mean()), float(by_client.std(ddof=1) / np.sqrt(by_client.size))
    reach = float(stdtrit(by_client.size - 1, (1 + _COVERAGE) / 2)) * error
    return Gain(mean, mean - reach, mean + reach)
