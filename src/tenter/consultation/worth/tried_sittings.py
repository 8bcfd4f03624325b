"""A kit tried on invented clients: sittings in which the most telling pair of one hue is held each time.

Every client and the luck of every answer are the same whatever is asked of a kit (common random numbers), so that what
one cloth adds is not drowned by which clients came. How it is done is ours; what a pair tells is the mutual information
of its answer and the category, as in `inference/planning.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tenter.arrays import BoolArray, Float32Array, FloatArray, IntArray
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.laid_out.coverage import countable
from tenter.consultation.laid_out.pair_quality import FEW_PAIRS
from tenter.consultation.worth.invented_clients import InventedClients, answers_of
from tenter.inference.planning import entropy

# How many clients sit, how many hypotheses stand for what may be known of each, and where their numbers start: ours.
# With 4,000 the information of a pair differs by 0.004 nats at the median from what 64,000 say.
CLIENTS, _HYPOTHESES, _SEED = 144, 4000, 20
LOOKED_AFTER = (0, 3, 6, 9)  # comparisons after which a sitting is looked at: the first ten are what a plan has most of
_MOST_PAIRS = 1200  # the most telling at the start, of a larger kit; as many as the planner looks at
_SIEVED_BY = 10  # every tenth hypothesis chooses them
_BLOCK = 2**23  # values worked out at once
_DECIMALS = 5  # of a nat: finer than 4,000 hypotheses know it, and coarser than processors differ
_LEAST = np.float32(1e-30)  # probability, so that a logarithm stays finite


@dataclass(frozen=True, eq=False)
class TriedSittings:
    """Sittings with a kit, looked at s times in all: s = clients · looks.

    `rows` (n,) are the rows of the cloths held, in the order of their ids, and `pairs` (p, 2) what may be held, as rows
    of the kit. For each look: `weights` (s, m) the probability of each of the hypotheses, `told` (s, p) nats that each
    pair would tell, 0 for one that has been held, `spent` (s, n) whether a cloth was held as often as the method
    allows, `seen` (s, p) whether a pair was.
    """

    bench: Bench
    hypotheses: InventedClients
    rows: IntArray
    pairs: IntArray
    weights: Float32Array
    told: FloatArray
    spent: BoolArray
    seen: BoolArray

    @property
    def best(self) -> FloatArray:
        """What the best pair tells at each look, in nats, shape (s,)."""
        best: FloatArray = self.told.max(axis=1, initial=0.0)
        return best

    @property
    def learned(self) -> FloatArray:
        """What each sitting has taught of the category by its last look, in nats a comparison, shape (clients,)."""
        last = self.weights.reshape(len(LOOKED_AFTER), -1, self.weights.shape[1])[[0, -1]]
        masses = np.stack([last[..., block].sum(axis=2) for block in self.hypotheses.blocks()], axis=2)
        before, after = entropy(masses.astype(float))
        taught: FloatArray = (before - after) / LOOKED_AFTER[-1]
        return taught

    def by_client(self, values: FloatArray) -> FloatArray:
        """Return the mean over each client's looks of values (s, ...), shape (clients, ...)."""
        clients = len(values) // len(LOOKED_AFTER)
        mean: FloatArray = values.reshape(len(LOOKED_AFTER), clients, *values.shape[1:]).mean(axis=0)
        return mean

    def of_clients(self, start: int, end: int) -> "TriedSittings":
        """Return the sittings of some of the clients alone."""
        looks = np.arange(len(self.weights)).reshape(len(LOOKED_AFTER), -1)[:, start:end].ravel()
        kept = (self.weights[looks], self.told[looks], self.spent[looks], self.seen[looks])
        return TriedSittings(self.bench, self.hypotheses, self.rows, self.pairs, *kept)


@lru_cache(maxsize=2)
def tried_sittings(bench: Bench) -> TriedSittings:
    """Return the sittings of invented clients with the measured cloths of a kit, metals left out."""
    return sittings_with(bench, rows_by_id(bench))


def sittings_with(bench: Bench, rows: IntArray, count: int = CLIENTS) -> TriedSittings:
    """Return sittings with some of the cloths alone, by their rows (n,); of the same clients for the same count."""
    hypotheses = InventedClients.drawn(bench.method, _HYPOTHESES, _SEED)
    pairs = _held(bench, hypotheses, pairs_among(bench, rows))
    return _sat(bench, hypotheses, rows, pairs, count)


def rows_by_id(bench: Bench) -> IntArray:
    """Return the rows of the measured cloths, metals left out, in the order of their ids, shape (n,)."""
    rows = np.flatnonzero(countable(bench))
    return np.array(sorted(rows, key=lambda row: bench.kit.ids[row]), dtype=np.intp)


def pairs_among(bench: Bench, rows: IntArray) -> IntArray:
    """Return the pairs (p, 2) of rows (n,) of one hue family; where those are few, all pairs, as a plan has them."""
    one, other = np.triu_indices(rows.size, 1)
    every: IntArray = np.stack([rows[one], rows[other]], axis=1)
    alike = every[bench.families[every[:, 0]] == bench.families[every[:, 1]]]
    return alike if len(alike) >= FEW_PAIRS else every


def _held(bench: Bench, hypotheses: InventedClients, pairs: IntArray) -> IntArray:
    if len(pairs) <= _MOST_PAIRS:
        return pairs
    few = hypotheses.every(_SIEVED_BY)
    even = np.full((1, len(few.ideals)), 1 / len(few.ideals), dtype=np.float32)
    told = information(few, bench, few.utilities(bench.coordinates), even, pairs)[0]
    return pairs[np.sort(np.argsort(-told, kind="stable")[:_MOST_PAIRS])]


def _sat(bench: Bench, hypotheses: InventedClients, rows: IntArray, pairs: IntArray, count: int) -> TriedSittings:
    sitters = InventedClients.drawn(bench.method, count, _SEED + 1).shuffled(_SEED + 2)
    luck = np.random.default_rng(_SEED + 3).random((count, LOOKED_AFTER[-1]))
    table = answers_of(hypotheses, bench, hypotheses.utilities(bench.coordinates), pairs)
    chances = answers_of(sitters, bench, sitters.utilities(bench.coordinates), pairs)
    ends = places_of(rows, pairs)
    weights = np.full((count, _HYPOTHESES), 1 / _HYPOTHESES, dtype=np.float32)
    uses, seen = np.zeros((count, rows.size), dtype=np.intp), np.zeros((count, len(pairs)), dtype=bool)
    looks, every = [], np.arange(count)
    for step in range(LOOKED_AFTER[-1] + 1):
        spent = uses >= bench.method.planning.most_uses
        free = ~(seen | spent[:, ends[:, 0]] | spent[:, ends[:, 1]])
        told = np.where(free, _information(weights, table, hypotheses.blocks()), 0.0)
        if step in LOOKED_AFTER:
            looks.append((weights.copy(), told, spent, seen.copy()))
        if step < LOOKED_AFTER[-1] and len(pairs):
            chosen, open_still = told.argmax(axis=1), free.any(axis=1)
            graded = (chances[every, chosen].cumsum(axis=1) < luck[:, step, None]).sum(axis=1).clip(max=4)
            weights[open_still] *= table[:, chosen, graded].T[open_still]
            weights /= weights.sum(axis=1, keepdims=True)
            seen[every, chosen] = True
            np.add.at(uses, (every[:, None], ends[chosen]), 1)
    return TriedSittings(bench, hypotheses, rows, pairs, *(np.concatenate(part) for part in zip(*looks, strict=True)))


def places_of(rows: IntArray, wanted: IntArray) -> IntArray:
    """Return where rows of a kit (...) are among rows (n,), shape (...)."""
    order = np.argsort(rows)
    places: IntArray = order[np.searchsorted(rows, wanted, sorter=order)]
    return places


def information(
    hypotheses: InventedClients, bench: Bench, utilities: FloatArray, weights: Float32Array, pairs: IntArray
) -> FloatArray:
    """Return nats that the answer to each of pairs (p, 2) tells of the category, shape (s, p).

    Utilities are (n, m), of the cloths of the bench to the hypotheses; weights (s, m) are probabilities of those.
    """
    size = max(1, _BLOCK // (5 * max(len(hypotheses.ideals), len(weights) * len(hypotheses.blocks()))))
    found = [
        _information(weights, answers_of(hypotheses, bench, utilities, pairs[i : i + size]), hypotheses.blocks())
        for i in range(0, len(pairs), size)
    ]
    return np.concatenate([np.zeros((len(weights), 0)), *found], axis=1)


def _information(weights: Float32Array, table: Float32Array, blocks: Sequence[slice]) -> FloatArray:
    """Return the mutual information (s, p), in nats, by weights (s, m) and the table of answers (m, p, 5)."""
    shape = (len(weights), *table.shape[1:])
    flat = table.reshape(len(table), shape[1] * shape[2])
    joint = np.stack([weights[:, b] @ flat[b] for b in blocks]).reshape(len(blocks), *shape)
    told = _x_log_x(joint).sum(axis=(0, 3)) - _x_log_x(joint.sum(axis=0)).sum(axis=2)
    told -= _x_log_x(joint.sum(axis=3)).sum(axis=0)
    rounded: FloatArray = np.round(np.maximum(told, 0).astype(float), _DECIMALS)
    return rounded


def _x_log_x(values: Float32Array) -> Float32Array:
    product: Float32Array = values * np.log(np.maximum(values, _LEAST))
    return product
