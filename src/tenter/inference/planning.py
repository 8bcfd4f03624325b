"""Which comparison next: expected information about a class, not about the ideal point itself."""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, xlogy

from tenter.arrays import FloatArray, IntArray, steady
from tenter.inference.likelihood import Responses, grade_probabilities
from tenter.inference.posterior import Posterior

_NEGLIGIBLE = 1e-5  # a class less likely than this is not asked about


@dataclass(frozen=True)
class Representatives:
    """A few hypotheses that stand for a posterior.

    `shapes` (m,) and `ideals` (m,) are places on the lattice, `sigmas` (m,) and `cut_scales` (m,) the style of
    answering of each, and `classes` (k, m) the probability that each carries for its class.
    """

    shapes: IntArray
    ideals: IntArray
    sigmas: FloatArray
    cut_scales: FloatArray
    classes: FloatArray


def representatives(posterior: Posterior, membership: FloatArray, count: int) -> Representatives:
    """Return about `count` hypotheses that stand for a posterior, so chosen that nothing is random.

    Each class is given half of its share in proportion to its probability and half evenly, so that an unlikely class,
    whose answers decide what a question tells once the rest is clear, is not left with a handful. Within a class they
    lie at fixed quantiles of the lattice (systematic resampling).

    `membership` is (k, n); it need not cover every ideal point: what lies outside every class is left out.
    """
    masses = membership @ posterior.of_ideal
    kept = np.flatnonzero(masses > _NEGLIGIBLE * masses.sum())
    shares = 0.5 / kept.size + 0.5 * masses[kept] / masses[kept].sum()
    picks, classes = [], np.zeros((len(membership), 0))
    for row, share in zip(kept, shares, strict=True):
        number = max(1, round(count * share))
        cumulative = np.cumsum((posterior.weights * membership[row]).ravel())
        quantiles = (np.arange(number) + 0.5) / number
        places = np.searchsorted(steady(cumulative / cumulative[-1]), steady(quantiles))
        picks.append(np.minimum(places, cumulative.size - 1))
        of_class = np.zeros((len(membership), number))
        of_class[row] = masses[row] / number
        classes = np.concatenate([classes, of_class], axis=1)
    shapes, styles, ideals = np.unravel_index(np.concatenate(picks), posterior.weights.shape)
    return Representatives(
        shapes=shapes,
        ideals=ideals,
        sigmas=posterior.lattice.sigmas[styles],
        cut_scales=posterior.lattice.cut_scales[styles],
        classes=classes,
    )


def entropy(probabilities: FloatArray, axis: int = -1) -> FloatArray:
    """Return the entropy in nats along an axis."""
    result: FloatArray = -xlogy(probabilities, probabilities).sum(axis=axis)
    return result


def pair_signal(utilities: FloatArray, classes: FloatArray, noise: FloatArray, pairs: IntArray) -> FloatArray:
    """Return the information of each pair, in nats, were its answer the noisy utility difference itself and normal.

    Too rough to choose by, but a matrix product and a few sums for every pair there is: a sieve for
    `pair_information`, whose parameters it shares. With between-class variance B and within-class variance W of the
    difference it is ½ ln(1 + B / (W + noise²)).
    """
    mass = classes.sum(axis=1)
    keep = mass > _NEGLIGIBLE * mass.sum()
    share = mass[keep] / mass[keep].sum()
    means = utilities @ (classes[keep] / mass[keep, None]).T  # (d, k)
    weights = (classes[keep] / mass[keep].sum()).sum(axis=0)
    grand = means @ share
    centred = (means - grand[:, None]) * np.sqrt(share)
    between = centred @ centred.T
    spread = (utilities - grand[:, None]) * np.sqrt(weights)
    within = spread @ spread.T - between
    first, second = pairs.T

    def of_difference(covariance: FloatArray) -> FloatArray:
        own = np.diagonal(covariance)
        variance: FloatArray = own[first] + own[second] - 2 * covariance[first, second]
        return np.maximum(variance, 0)

    signal: FloatArray = 0.5 * np.log1p(of_difference(between) / (of_difference(within) + noise**2))
    return signal


def pair_information(
    utilities: FloatArray, classes: FloatArray, noise: FloatArray, pairs: IntArray, responses: Responses
) -> FloatArray:
    """Return the expected information about the class, in nats, of each pair.

    Within a class the utility difference is taken as normal, so that two matrix products serve every pair.

    Parameters
    ----------
    utilities : ndarray, shape (d, m)
        Utility of each stimulus to each representative.
    classes : ndarray, shape (k, m)
        Membership of the representatives.
    noise : ndarray, shape (p,)
        Noise of each pair.
    pairs : ndarray, shape (p, 2)
        Rows of `utilities`.
    """
    mass = classes.sum(axis=1)
    keep = mass > _NEGLIGIBLE * mass.sum()
    within = (classes[keep] / mass[keep, None]).T  # (m, k)
    prior = mass[keep] / mass[keep].sum()
    difference = utilities[pairs[:, 0]] - utilities[pairs[:, 1]]
    mean = difference @ within  # (p, k)
    variance = np.maximum((difference**2) @ within - mean**2, 0) + (noise**2)[:, None]
    answers = _answers(mean, variance, responses)  # (p, k, 5)
    information: FloatArray = entropy(np.tensordot(answers, prior, axes=(1, 0))) - entropy(answers) @ prior
    return information


def _answers(mean: FloatArray, variance: FloatArray, responses: Responses) -> FloatArray:
    """Return the probability of each grade, last axis of 5, of normal differences."""
    below = ndtr((responses.cuts - mean[..., None]) / np.sqrt(variance)[..., None])
    edges = np.concatenate([np.zeros_like(below[..., :1]), below, np.ones_like(below[..., :1])], axis=-1)
    probabilities: FloatArray = (1 - responses.lapse) * np.diff(edges, axis=-1) + responses.lapse / 5
    return probabilities


def exact_pair_information(
    utilities: FloatArray, stand_ins: Representatives, noise: FloatArray, pairs: IntArray, responses: Responses
) -> FloatArray:
    """Return the expected information of pairs as `pair_information` does, without taking anything as normal.

    `noise` (p,) multiplies each representative's own noise scale. Dearer by the number of representatives: for a few
    good candidates.
    """
    first, second = pairs.T
    difference = utilities[first] - utilities[second]
    likelihoods = grade_probabilities(difference, noise[:, None] * stand_ins.sigmas, responses, stand_ins.cut_scales)
    return answer_information(likelihoods.transpose(0, 2, 1), stand_ins.classes)


def answer_information(likelihoods: FloatArray, classes: FloatArray) -> FloatArray:
    """Return the exact expected information about the class, in nats, of questions.

    Parameters
    ----------
    likelihoods : ndarray, shape (q, a, m)
        Probability of each of `a` answers to each of `q` questions, for each representative.
    classes : ndarray, shape (k, m)
        Membership of the representatives.
    """
    mass = classes.sum(axis=1)
    keep = mass > 1e-6 * mass.sum()
    joint = np.swapaxes(likelihoods @ classes[keep].T, 1, 2) / classes[keep].sum()  # (q, k, a)
    per_class = joint / joint.sum(axis=2, keepdims=True)
    information: FloatArray = entropy(joint.sum(axis=1)) - (joint.sum(axis=2) * entropy(per_class)).sum(axis=1)
    return information
