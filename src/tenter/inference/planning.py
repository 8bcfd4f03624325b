"""Which comparison next: expected information about a class, not about the ideal point itself.

It is the mutual information of answer and class, in nats: D. V. Lindley (1956), Ann. Math. Stat. 27(4), 986-1005 (not
read). How it is approximated here is ours.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr, xlogy

from tenter.arrays import FloatArray, IntArray, steady
from tenter.inference.likelihood import Responses
from tenter.inference.posterior import Posterior

_NEGLIGIBLE = 1e-5  # a class less likely than this is not asked about
_LEAST_SHARE = 1e-6  # the same where nothing is taken as normal


@dataclass(frozen=True)
class Representatives:
    """A few hypotheses that stand for a posterior.

    `shapes` (m,) and `ideals` (m,) are places on the lattice, `sigmas` (m,) and `cut_scales` (m,) the style of
    answering of each, `counts` (m,) how often each was picked, and `classes` (k, m) the probability that each carries
    for its class. They come in the order of their shapes within a class.
    """

    shapes: IntArray
    ideals: IntArray
    sigmas: FloatArray
    cut_scales: FloatArray
    counts: IntArray
    classes: FloatArray

    @property
    def mean_sigma(self) -> float:
        """The mean noise scale of all picks, in units of utility."""
        return float(np.average(self.sigmas, weights=self.counts))


def representatives(posterior: Posterior, membership: FloatArray, count: int) -> Representatives:
    """Return hypotheses that stand for a posterior, about `count` picks, so chosen that nothing is random.

    Each class is given half of its share in proportion to its probability and half evenly, so that an unlikely class,
    whose answers decide what a question tells once the rest is clear, is not left with a handful. Within a class they
    lie at fixed quantiles of the lattice (systematic resampling). What is picked more than once for a class, as soon
    happens when the posterior is narrow, comes once, with all its weight.

    `membership` is (k, n); it need not cover every ideal point: what lies outside every class is left out.
    """
    masses = membership @ posterior.of_ideal
    kept = np.flatnonzero(masses > _NEGLIGIBLE * masses.sum())
    shares = 0.5 / kept.size + 0.5 * masses[kept] / masses[kept].sum()
    picks, counts, classes = [], [], []
    for row, share in zip(kept, shares, strict=True):
        number = max(1, round(count * share))
        places, times = np.unique(_at_quantiles(posterior, membership[row], number), return_counts=True)
        of_class = np.zeros((len(membership), places.size))
        of_class[row] = times * (masses[row] / number)
        picks.append(places)
        counts.append(times)
        classes.append(of_class)
    shapes, styles, ideals = np.unravel_index(np.concatenate(picks), posterior.weights.shape)
    return Representatives(
        shapes=shapes,
        ideals=ideals,
        sigmas=posterior.lattice.sigmas[styles],
        cut_scales=posterior.lattice.cut_scales[styles],
        counts=np.concatenate(counts),
        classes=np.concatenate(classes, axis=1),
    )


def _at_quantiles(posterior: Posterior, belonging: FloatArray, number: int) -> IntArray:
    """Return the places on the flat lattice (number,) of evenly spaced quantiles of a class that points belong to."""
    members = np.flatnonzero(belonging)  # what adds nothing is never picked, and need not be summed
    cumulative = np.cumsum((posterior.weights[:, :, members] * belonging[members]).ravel())
    quantiles = (np.arange(number) + 0.5) / number
    found = np.searchsorted(steady(cumulative / cumulative[-1]), steady(quantiles))
    above, within = np.divmod(np.minimum(found, cumulative.size - 1), members.size)
    places: IntArray = above * belonging.size + members[within]
    return places


def entropy(probabilities: FloatArray, axis: int = -1) -> FloatArray:
    """Return the entropy in nats of probabilities (..., k) along an axis, here the last: shape (...)."""
    result: FloatArray = -xlogy(probabilities, probabilities).sum(axis=axis)
    return result


@dataclass(frozen=True)
class ClassMoments:
    """Means and covariances of the utilities of d stimuli within each of k classes that are not negligible.

    `shares` (k,) sum to 1, `means` are (k, d), `covariances` (k, d, d).
    """

    shares: FloatArray
    means: FloatArray
    covariances: FloatArray

    @classmethod
    def of(cls, utilities: FloatArray, classes: FloatArray) -> "ClassMoments":
        """Return the moments of utilities (d, m) to representatives of classes (k, m)."""
        mass = classes.sum(axis=1)
        kept = np.flatnonzero(mass > _NEGLIGIBLE * mass.sum())
        means = np.empty((kept.size, len(utilities)))
        covariances = np.empty((kept.size, len(utilities), len(utilities)))
        for i, row in enumerate(kept):
            members = np.flatnonzero(classes[row])
            weights = classes[row, members] / mass[row]
            own = utilities[:, members]
            means[i] = own @ weights
            spread = (own - means[i][:, None]) * np.sqrt(weights)
            np.matmul(spread, spread.T, out=covariances[i])
        return cls(mass[kept] / mass[kept].sum(), means, covariances)

    def of_differences(self, pairs: IntArray) -> tuple[FloatArray, FloatArray]:
        """Return the mean and the variance within each class, (p, k) each, of the difference of pairs (p, 2)."""
        first, second = pairs.T
        mean = (self.means[:, first] - self.means[:, second]).T
        return mean, np.stack([_of_difference(covariance, pairs) for covariance in self.covariances], axis=1)


def _of_difference(covariance: FloatArray, pairs: IntArray) -> FloatArray:
    """Return the variance of the difference of pairs (p, 2) by a covariance (d, d)."""
    first, second = pairs.T
    own = np.diagonal(covariance)
    variance: FloatArray = own[first] + own[second] - 2 * covariance[first, second]
    return np.maximum(variance, 0)


def pair_signal(moments: ClassMoments, noise: FloatArray, pairs: IntArray) -> FloatArray:
    """Return what each pair would tell, in nats (p,), were its answer the noisy utility difference itself and normal.

    Too rough to choose by, but a few sums for every pair there is: a sieve for `pair_information`, whose parameters it
    shares, noise (p,) and pairs (p, 2). With between-class variance B and within-class variance W of the difference it
    is ½ ln(1 + B / (W + noise²)).
    """
    centred = (moments.means - moments.shares @ moments.means) * np.sqrt(moments.shares)[:, None]
    between = centred.T @ centred
    within = np.tensordot(moments.shares, moments.covariances, axes=1)
    signal: FloatArray = 0.5 * np.log1p(_of_difference(between, pairs) / (_of_difference(within, pairs) + noise**2))
    return signal


def pair_information(moments: ClassMoments, noise: FloatArray, pairs: IntArray, responses: Responses) -> FloatArray:
    """Return the expected information about the class, in nats, of each pair.

    Within a class the utility difference is taken as normal, so that its moments serve every pair.

    Parameters
    ----------
    moments
        Of the utilities of all stimuli.
    noise : ndarray, shape (p,)
        Noise of each pair, a standard deviation in units of utility.
    pairs : ndarray, shape (p, 2)
        Rows of the utilities.

    Returns
    -------
    ndarray, shape (p,)
        The mutual information of answer and class.
    """
    mean, variance = moments.of_differences(pairs)
    answers = _answers(mean, variance + (noise**2)[:, None], responses)  # (p, k, 5)
    prior = moments.shares
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
    """Return the expected information (p,) of pairs as `pair_information` does, without taking anything as normal.

    Utilities are (d, m), one column a representative; pairs (p, 2) are rows of them. `noise` (p,) multiplies each
    representative's own noise scale. Dearer by the number of representatives: for a few good candidates.
    """
    mass = stand_ins.classes.sum(axis=1)
    kept = stand_ins.classes[mass > _LEAST_SHARE * mass.sum()]
    return _information(_joint(utilities, stand_ins, kept / kept.sum(), noise, pairs, responses))


def expected_shift(
    utilities: FloatArray, stand_ins: Representatives, noise: FloatArray, pairs: IntArray, responses: Responses
) -> FloatArray:
    """Return by how much the answer to each pair is expected to move the probability of the first class, shape (p,).

    Up or down: Σ over answers of |P(class, answer) - P(class) P(answer)|. Parameters as of `exact_pair_information`:
    utilities (d, m), noise (p,), pairs (p, 2).
    """
    classes = stand_ins.classes / stand_ins.classes.sum()
    joint = _joint(utilities, stand_ins, classes, noise, pairs, responses)  # (p, k, 5)
    own, answers = joint[:, 0], joint.sum(axis=1)
    shift: FloatArray = np.abs(own - own.sum(axis=1, keepdims=True) * answers).sum(axis=1)
    return shift


def _joint(
    utilities: FloatArray,
    stand_ins: Representatives,
    kept: FloatArray,
    noise: FloatArray,
    pairs: IntArray,
    responses: Responses,
) -> FloatArray:
    """Return the probability of class and answer together (p, k, 5), for classes kept (k, m) that sum to 1."""
    first, second = pairs.T
    away = (utilities[first] - utilities[second]) / (noise[:, None] * stand_ins.sigmas)
    scale = stand_ins.cut_scales / stand_ins.sigmas / noise[:, None]
    # The chance of each answer is a difference of two normal integrals: the classes are summed before it is taken.
    below = [np.zeros((len(pairs), len(kept))), *(ndtr(cut * scale - away) @ kept.T for cut in responses.cuts)]
    edges = np.stack([*below, np.broadcast_to(kept.sum(axis=1), below[0].shape)], axis=-1)  # (p, k, 6)
    joint: FloatArray = (1 - responses.lapse) * np.diff(edges, axis=-1) + responses.lapse / 5 * edges[..., -1:]
    return joint


def answer_information(likelihoods: FloatArray, classes: FloatArray) -> FloatArray:
    """Return the exact expected information about the class, in nats, of questions.

    Parameters
    ----------
    likelihoods : ndarray, shape (q, a, m)
        Probability of each of `a` answers to each of `q` questions, for each representative.
    classes : ndarray, shape (k, m)
        Membership of the representatives.

    Returns
    -------
    ndarray, shape (q,)
        The mutual information of answer and class.
    """
    mass = classes.sum(axis=1)
    keep = mass > _LEAST_SHARE * mass.sum()
    return _information(np.swapaxes(likelihoods @ classes[keep].T, 1, 2) / classes[keep].sum())


def _information(joint: FloatArray) -> FloatArray:
    """Return what answers tell of classes, in nats (q,), by their joint probability (q, k, a)."""
    per_class = joint / joint.sum(axis=2, keepdims=True)
    information: FloatArray = entropy(joint.sum(axis=1)) - (joint.sum(axis=2) * entropy(per_class)).sum(axis=1)
    return information
