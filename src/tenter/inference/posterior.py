"""The posterior on a lattice: masses of classes, moments, intervals, and how surprising each piece of evidence is."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tenter.arrays import AnyArray, FloatArray, IntArray
from tenter.inference.lattice import Lattice


@dataclass(frozen=True)
class Posterior:
    """A normalised posterior over a lattice; `log_weights` has the lattice's shape (h, s, n)."""

    lattice: Lattice
    log_weights: FloatArray

    @classmethod
    def of(cls, lattice: Lattice, log_likelihood: AnyArray | float = 0.0) -> "Posterior":
        """Return the posterior after evidence.

        `log_likelihood` is in nats, up to a constant: 0.0 for none, or an array that broadcasts to the lattice's
        (h, s, n).
        """
        return cls.of_log_weights(lattice, lattice.log_prior + log_likelihood)

    @classmethod
    def of_log_weights(cls, lattice: Lattice, log_weights: FloatArray) -> "Posterior":
        """Return the posterior of log weights (h, s, n) known up to a constant."""
        top = log_weights.max()
        return cls(lattice, log_weights - (top + np.log(np.exp(log_weights - top).sum())))

    @cached_property
    def weights(self) -> FloatArray:
        """The probability of each hypothesis, shape (h, s, n)."""
        weights: FloatArray = np.exp(self.log_weights)
        return weights

    @cached_property
    def of_ideal(self) -> FloatArray:
        """The probability of each ideal point, shape (n,)."""
        marginal: FloatArray = self.weights.sum(axis=(0, 1))
        return marginal

    @cached_property
    def of_style(self) -> FloatArray:
        """The probability of each style of answering, shape (s,)."""
        marginal: FloatArray = self.weights.sum(axis=(0, 2))
        return marginal

    def masses(self, membership: FloatArray) -> FloatArray:
        """Return the probability of classes given membership (k, n) of each ideal point, shape (k,)."""
        mass: FloatArray = membership @ self.of_ideal
        mass /= mass.sum()
        return mass

    @cached_property
    def mean(self) -> FloatArray:
        """The mean ideal point, shape (d,)."""
        mean: FloatArray = self.of_ideal @ self.lattice.ideals
        return mean

    @cached_property
    def covariance(self) -> FloatArray:
        """The covariance of the ideal point, shape (d, d)."""
        centred = self.lattice.ideals - self.mean
        covariance: FloatArray = (centred * self.of_ideal[:, None]).T @ centred
        return covariance

    def marginal(self, axis: int) -> tuple[FloatArray, FloatArray]:
        """Return the nodes of one axis, shape (n,), and the probability of each, shape (n,)."""
        box = self.lattice.box
        cube = self.of_ideal.reshape((box.nodes,) * len(box.low))
        others = tuple(a for a in range(cube.ndim) if a != axis)
        return box.axes[axis], cube.sum(axis=others)

    def interval(self, axis: int, coverage: float = 0.9) -> tuple[float, float]:
        """Return the central interval of one axis, in its units, that holds the probability `coverage`."""
        nodes, mass = self.marginal(axis)
        between = (nodes[1:] + nodes[:-1]) / 2  # a node stands for the bin around it
        edges = np.concatenate([[1.5 * nodes[0] - 0.5 * nodes[1]], between, [1.5 * nodes[-1] - 0.5 * nodes[-2]]])
        cumulative = np.concatenate([[0.0], np.cumsum(mass)])
        low, high = np.interp([(1 - coverage) / 2, (1 + coverage) / 2], cumulative, edges)
        return float(low), float(high)

    def expectation(self, values: FloatArray) -> FloatArray:
        """Return the expectation of values (..., h, n) that depend on shape and ideal point, shape (...)."""
        result: FloatArray = np.tensordot(values, self.weights.sum(axis=1), axes=([-2, -1], [0, 1]))
        return result


@dataclass(frozen=True)
class Active:
    """The hypotheses of a posterior that carry weight, as flat arrays of length m: what leave-one-out works on.

    `places` (m,) are their places on the flattened lattice.
    """

    lattice: Lattice
    places: IntArray

    @classmethod
    def of(cls, posterior: Posterior, evidence: Sequence[AnyArray], depth: float) -> "Active":
        """Return the hypotheses that carry weight with all the evidence, or with any one piece of it left out.

        Carrying weight is being within `depth` of the heaviest, in nats; each piece of evidence holds log likelihoods
        of the flattened lattice, shape (n,).
        """
        flat = posterior.log_weights.ravel().astype(np.float32)
        keep = flat > flat.max() - depth
        for piece in evidence:
            without = flat - piece
            keep |= without > without.max() - depth
        return cls(posterior.lattice, np.flatnonzero(keep))

    @cached_property
    def _indices(self) -> tuple[IntArray, IntArray, IntArray]:
        shapes, styles, ideals = np.unravel_index(self.places, self.lattice.shape)
        return shapes, styles, ideals

    @property
    def ideals(self) -> IntArray:
        """The place of each hypothesis's ideal point, shape (m,)."""
        return self._indices[2]

    @cached_property
    def sigma(self) -> FloatArray:
        """The noise scale of each hypothesis, shape (m,)."""
        return self.lattice.sigmas[self._indices[1]]

    @cached_property
    def cut_scale(self) -> FloatArray:
        """The scale of the cut points of each hypothesis, shape (m,)."""
        return self.lattice.cut_scales[self._indices[1]]

    @cached_property
    def log_prior(self) -> FloatArray:
        """The log prior of each hypothesis, shape (m,)."""
        return self.gather(self.lattice.log_prior)

    def gather(self, values: AnyArray) -> FloatArray:
        """Return values that broadcast to the lattice's (h, s, n), one a hypothesis, shape (m,)."""
        flat: FloatArray = np.broadcast_to(values, self.lattice.shape).ravel()[self.places]
        return flat

    def spread(self, values: FloatArray) -> FloatArray:
        """Return values (h, n), one a hypothesis, shape (m,)."""
        shapes, _, ideals = self._indices
        chosen: FloatArray = values[shapes, ideals]
        return chosen


def log_odds(mass: float) -> float:
    """Return the natural log odds of the probability `mass`, which is first kept within 1e-15 of 0 and 1."""
    clipped = min(max(mass, 1e-15), 1 - 1e-15)
    return float(np.log(clipped) - np.log1p(-clipped))
