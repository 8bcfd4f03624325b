"""The posterior on a lattice: masses of classes, moments, intervals, and how surprising each piece of evidence is."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.special import logsumexp

from tenter.arrays import AnyArray, FloatArray
from tenter.inference.lattice import Lattice


@dataclass(frozen=True)
class Posterior:
    """A normalised posterior over a lattice; `log_weights` has the lattice's shape (h, s, n)."""

    lattice: Lattice
    log_weights: FloatArray

    @classmethod
    def of(cls, lattice: Lattice, log_likelihood: AnyArray | float = 0.0) -> "Posterior":
        """Return the posterior after evidence of the given log likelihood, shape (h, s, n)."""
        log_weights = lattice.log_prior + log_likelihood
        return cls(lattice, log_weights - logsumexp(log_weights))

    @cached_property
    def weights(self) -> FloatArray:
        """The probability of each hypothesis, shape (h, s, n)."""
        return np.exp(self.log_weights)

    @cached_property
    def of_ideal(self) -> FloatArray:
        """The probability of each ideal point, shape (n,)."""
        marginal: FloatArray = self.weights.sum(axis=(0, 1))
        return marginal

    @cached_property
    def of_sigma(self) -> FloatArray:
        """The probability of each noise scale, shape (s,)."""
        marginal: FloatArray = self.weights.sum(axis=(0, 2))
        return marginal

    def masses(self, membership: FloatArray) -> FloatArray:
        """Return the probability of classes given membership (k, n) of each ideal point, shape (k,)."""
        mass: FloatArray = membership @ self.of_ideal
        return mass / mass.sum()

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
        """Return the nodes of one axis and the probability of each."""
        box = self.lattice.box
        cube = self.of_ideal.reshape((box.nodes,) * len(box.low))
        others = tuple(a for a in range(cube.ndim) if a != axis)
        return box.axes[axis], cube.sum(axis=others)

    def interval(self, axis: int, coverage: float = 0.9) -> tuple[float, float]:
        """Return the central interval of one axis with the given probability."""
        nodes, mass = self.marginal(axis)
        step = nodes[1] - nodes[0]
        edges = np.concatenate([[nodes[0] - step / 2], nodes + step / 2])  # a node stands for the bin around it
        cumulative = np.concatenate([[0.0], np.cumsum(mass)])
        low, high = np.interp([(1 - coverage) / 2, (1 + coverage) / 2], cumulative, edges)
        return float(low), float(high)

    def expectation(self, values: FloatArray) -> FloatArray:
        """Return the expectation of values (..., h, n) that depend on shape and ideal point, shape (...)."""
        result: FloatArray = np.tensordot(values, self.weights.sum(axis=1), axes=([-2, -1], [0, 1]))
        return result


def predictive(posterior_without: Posterior, log_likelihood: AnyArray) -> float:
    """Return the probability of an answer given everything else: its likelihood averaged over the rest's posterior."""
    return float(np.exp(logsumexp(posterior_without.log_weights + log_likelihood)))


def log_odds(mass: float) -> float:
    """Return the natural log odds of a probability."""
    clipped = min(max(mass, 1e-15), 1 - 1e-15)
    return float(np.log(clipped) - np.log1p(-clipped))
