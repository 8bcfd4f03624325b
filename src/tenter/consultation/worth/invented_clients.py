"""Clients drawn from the model's own prior, and how they would answer: what a kit is tried on without anyone sitting.

They bound what to hope for. That real clients answer so is not shown.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from tenter.arrays import Float32Array, FloatArray, IntArray, steady
from tenter.consultation.conventions.method import Method
from tenter.consultation.laid_out.bench import Bench
from tenter.consultation.reading.evidence import RESPONSES
from tenter.inference.lattice import Lattice, Styles
from tenter.inference.utility import DEFAULT_SHAPES


@dataclass(frozen=True, eq=False)
class InventedClients:
    """m clients; as drawn, in the order of their categories.

    `ideals` (m, 3) are ideal points in bench units, `shapes` (m,) numbers of `DEFAULT_SHAPES`, `sigmas` (m,) and
    `cut_scales` (m,) how their analyst answers, `categories` (m,) numbers of the method's categories.
    """

    ideals: FloatArray
    shapes: IntArray
    sigmas: FloatArray
    cut_scales: FloatArray
    categories: IntArray

    @classmethod
    def drawn(cls, method: Method, count: int, seed: int) -> "InventedClients":
        """Return `count` clients of the prior that a sitting starts from; the same ones for the same seed."""
        rng = np.random.default_rng(seed)
        centres = method.prototypes[rng.integers(len(method.prototypes), size=count)]
        ideals = centres + Lattice.spread * rng.standard_normal(centres.shape)
        styles = Styles()
        style = _picked(styles.weights, rng.random(count))
        shape = _picked([s.share for s in DEFAULT_SHAPES], rng.random(count))
        squares = np.sum((ideals[:, None] - method.prototypes[None]) ** 2, axis=2)
        categories = np.argmin(steady(squares), axis=1)
        order = np.argsort(categories, kind="stable")
        return cls(
            ideals[order],
            shape[order],
            np.array(styles.sigmas)[style][order],
            np.array(styles.cut_scales)[style][order],
            categories[order],
        )

    def every(self, step: int) -> "InventedClients":
        """Return every so many of the clients: fewer that stand for all."""
        return self._at(np.arange(0, len(self.ideals), step))

    def shuffled(self, seed: int) -> "InventedClients":
        """Return the clients in an order that says nothing of their categories."""
        return self._at(np.random.default_rng(seed).permutation(len(self.ideals)))

    def _at(self, places: IntArray) -> "InventedClients":
        return InventedClients(
            self.ideals[places],
            self.shapes[places],
            self.sigmas[places],
            self.cut_scales[places],
            self.categories[places],
        )

    def utilities(self, coordinates: FloatArray) -> FloatArray:
        """Return how well cloths at coordinates (n, 3) suit each client, shape (n, m)."""
        found = np.empty((len(coordinates), len(self.ideals)))
        for number, shape in enumerate(DEFAULT_SHAPES):
            own = self.shapes == number
            found[:, own] = shape.utility(coordinates, self.ideals[own])
        return found

    def blocks(self) -> list[slice]:
        """Return where each category's clients are, of those that have any; for clients as drawn."""
        starts = np.flatnonzero(np.diff(self.categories, prepend=-1))
        return [slice(int(a), int(b)) for a, b in zip(starts, [*starts[1:], len(self.categories)], strict=True)]


def _picked(weights: object, uniform: FloatArray) -> IntArray:
    cumulative = np.cumsum(np.asarray(weights, dtype=float))
    return np.searchsorted(cumulative / cumulative[-1], uniform, side="right").clip(max=cumulative.size - 1)


def answers_of(clients: InventedClients, bench: Bench, utilities: FloatArray, pairs: IntArray) -> Float32Array:
    """Return the probability of each grade of pairs (p, 2) by each client, shape (m, p, 5).

    Grades run from the first cloth much worse to much better. Utilities are (n, m), of the cloths of the bench. What a
    pair cannot show at all comes as the middle grade.
    """
    first, second = pairs.T
    noise, hidden = bench.pair_noise(first, second)
    sigma = noise * clients.sigmas[:, None]  # (m, p)
    away = (utilities[first] - utilities[second]).T / sigma
    edges = np.ones((*away.shape, 6), dtype=np.float32)
    edges[..., 0] = 0.0
    for place, cut in enumerate(RESPONSES.cuts):
        edges[..., place + 1] = ndtr(cut * clients.cut_scales[:, None] / sigma - away)
    grades = np.diff(edges, axis=-1)
    seen = (1 - hidden[:, None]) * (1 - RESPONSES.lapse)
    grades *= seen.astype(np.float32)
    grades += ((1 - hidden[:, None]) * RESPONSES.lapse / grades.shape[-1]).astype(np.float32)
    grades[..., grades.shape[-1] // 2] += hidden.astype(np.float32)
    return grades
