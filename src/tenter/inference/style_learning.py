"""What earlier sets of answers by one person say of how that person will answer next: a hierarchical normal model.

A person has a style of their own, and each set of answers (one sitting) a style about it. Both are logarithms of a
noise scale and of a scale of the cut points. The person's style is summed over a grid, as is that of each set.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from math import fsum

import numpy as np
from scipy.special import logsumexp

from tenter.arrays import FloatArray
from tenter.errors import TenterError
from tenter.given import given_array
from tenter.inference.lattice import Styles

# Standard deviations of the logarithms of noise and of cut points: between persons, and between sittings of one. Each
# pair of squares adds up to about the variance of `Styles()`, so that somebody new is as uncertain as ever. The shares
# are ours, tried in simulation.
_BETWEEN, _WITHIN = (0.30, 0.15), (0.19, 0.11)
_NOISE = np.geomspace(0.45, 2.0, 9)
_CUTS = np.geomspace(0.6, 1.5, 7)


def _fine_styles() -> Styles:
    pairs = list(product(_NOISE, _CUTS))
    return Styles(tuple(float(n) for n, _ in pairs), tuple(float(c) for _, c in pairs), (1.0,) * len(pairs))


FINE_STYLES = _fine_styles()  # equally likely, so that what one sitting makes of them is what its answers say


@dataclass(frozen=True, slots=True)
class StyleEvidence:
    """How likely one sitting's answers are under each of `FINE_STYLES`: `log_likelihoods`, in nats, up to a constant.

    Raises `TenterError` unless it is one finite number for each of the styles.
    """

    log_likelihoods: tuple[float, ...]

    def __post_init__(self) -> None:
        values = given_array(self.log_likelihoods, "the evidence about the style of answering")
        if values.shape != (len(FINE_STYLES.weights),):
            raise TenterError(
                f"evidence about the style of answering is {len(FINE_STYLES.weights)} log likelihoods; "
                f"got an array of shape {values.shape}"
            )
        if not np.all(np.isfinite(values)):
            raise TenterError("evidence about the style of answering is finite numbers")


@dataclass(frozen=True, slots=True)
class LearnedStyle:
    """What a number of sittings taught about one person's answers.

    `styles` is the prior for the next sitting. `noise` and `cuts` are the expected scales beside those of somebody new
    (1 is the same; cuts below 1: differences are called sooner), as geometric means.
    """

    sittings: int
    styles: Styles
    noise: float
    cuts: float


def learned_style(evidence: Mapping[str, StyleEvidence]) -> LearnedStyle:
    """Return what sittings taught, by the name of each: one counts once, and their order says nothing.

    Nothing is learned from none: the styles are then those of somebody new.
    """
    if not evidence:
        return LearnedStyle(0, Styles(), 1.0, 1.0)
    within, prior = _within(), _between()
    log_weights = np.log(prior) + _log_evidence(within, evidence)
    person = np.exp(log_weights - logsumexp(log_weights))
    (mean, spread), (usual_mean, usual_spread) = _moments(person @ within), _moments(prior @ within)
    step, ratio = mean - usual_mean, spread / usual_spread
    return LearnedStyle(
        len(evidence), _moved(Styles(), step, ratio), noise=float(np.exp(step[0])), cuts=float(np.exp(step[1]))
    )


def _log_evidence(within: FloatArray, evidence: Mapping[str, StyleEvidence]) -> FloatArray:
    """Return the log likelihood (p,) of all sittings under each style of the person; exact sums know no order."""
    rows = [logsumexp(np.array(one.log_likelihoods)[None, :], axis=1, b=within) for one in evidence.values()]
    return np.array([fsum(column) for column in zip(*rows, strict=True)])


def _places() -> FloatArray:
    """Return the logarithms of noise and cut scale of the fine styles, shape (s, 2)."""
    places: FloatArray = np.log(np.array([FINE_STYLES.sigmas, FINE_STYLES.cut_scales]).T)
    return places


@lru_cache(maxsize=1)
def _between() -> FloatArray:
    """Return the prior of a person's style, shape (s,): people lie about the usual one."""
    density = np.exp(-0.5 * np.sum((_places() / _BETWEEN) ** 2, axis=1))
    prior: FloatArray = density / density.sum()
    return prior


@lru_cache(maxsize=1)
def _within() -> FloatArray:
    """Return the probability of each style in a sitting (columns) of a person of each style (rows), shape (s, s)."""
    apart = (_places()[:, None, :] - _places()[None, :, :]) / _WITHIN
    density = np.exp(-0.5 * np.sum(apart**2, axis=2))
    chances: FloatArray = density / density.sum(axis=1, keepdims=True)
    return chances


def _moments(weights: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return mean and standard deviation (2,) of the logarithms of noise and cut scale."""
    mean = weights @ _places()
    return mean, np.sqrt(weights @ (_places() - mean) ** 2)


def _moved(styles: Styles, step: FloatArray, ratio: FloatArray) -> Styles:
    """Return styles moved by a step and drawn together about their mean by a ratio, both in logarithms (2,)."""
    places = np.log(np.array([styles.sigmas, styles.cut_scales]).T)
    mean = np.array(styles.weights) @ places / sum(styles.weights)
    sigmas, cut_scales = np.exp(mean + step + ratio * (places - mean)).T
    return Styles(tuple(float(v) for v in sigmas), tuple(float(v) for v in cut_scales), styles.weights)
