"""How likely an answer is, given utilities: ordered probit, ranking, direction of error.

Those called log_… return natural logarithms, the others probabilities. Noise scales are standard deviations in units of
utility or of the axis. Ordered probit: R. D. McKelvey, W. Zavoina (1975), J. Math. Sociol. 4(1), 103-120 (not read).
The lapses, and what is said of levels and sides, are ours.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache
from math import comb, factorial, prod

import numpy as np
from scipy.special import ndtr, softmax

from tenter.arrays import FloatArray, IntArray

_TABLE_POINTS = 769  # nodes of the table that a log likelihood is interpolated in
_BLOCK_VALUES = 2**18  # what a processor's cache holds
_LEAST_LOG_WORTH = -600.0  # far beyond anything that the lapse rate lets matter


class Grade(IntEnum):
    """The answer to a comparison of A with B, from B much better to A much better."""

    MUCH_WORSE = 0
    WORSE = 1
    EQUAL = 2
    BETTER = 3
    MUCH_BETTER = 4


class UtilityLevel(IntEnum):
    """What an equal answer says of the level of both."""

    WRONG = -1  # both below tolerance
    UNSAID = 0
    GOOD = 1  # both above tolerance


@dataclass(frozen=True, slots=True)
class Responses:
    """How utilities become answers.

    `equal_cut` and `much_cut` bound the grades of a comparison, `good_level` and `wrong_level` are the levels about
    which both count as good or as wrong, and `level_noise` is the standard deviation about them: all in units of
    utility. `lapse` is the share, 0 to 1, of answers given at random, and `unsaid_share` that of equal answers that say
    nothing of the level.
    """

    equal_cut: float = 0.35
    much_cut: float = 1.2
    lapse: float = 0.03
    good_level: float = -1.0
    wrong_level: float = -3.0
    level_noise: float = 1.0
    unsaid_share: float = 0.6

    @property
    def cuts(self) -> FloatArray:
        """The four inner cut points of the five grades, shape (4,), rising, in units of utility."""
        return np.array([-self.much_cut, -self.equal_cut, self.equal_cut, self.much_cut])


def grade_probabilities(
    difference: FloatArray, sigma: FloatArray, responses: Responses, cut_scale: FloatArray | float = 1.0
) -> FloatArray:
    """Return the probability of each `Grade`, shape (..., 5), of utility differences A - B (...).

    The noise (a standard deviation) and `cut_scale`, a factor on the cut points, broadcast against the differences.
    Ordered probit with a share of lapses spread evenly over the grades.
    """
    cuts = responses.cuts * np.asarray(cut_scale)[..., None]
    below = ndtr((cuts - np.asarray(difference)[..., None]) / np.asarray(sigma)[..., None])
    edges = np.concatenate([np.zeros_like(below[..., :1]), below, np.ones_like(below[..., :1])], axis=-1)
    probabilities: FloatArray = (1 - responses.lapse) * np.diff(edges, axis=-1) + responses.lapse / 5
    return probabilities


def _grade_probability(
    difference: FloatArray, sigma: FloatArray, responses: Responses, cut_scale: FloatArray, grade: Grade
) -> FloatArray:
    """Return one column of `grade_probabilities`, without working out the others."""
    cuts = responses.cuts
    up_to = ndtr((cuts[grade] * cut_scale - difference) / sigma) if grade < Grade.MUCH_BETTER else np.ones(1)
    below = ndtr((cuts[grade - 1] * cut_scale - difference) / sigma) if grade > Grade.MUCH_WORSE else np.zeros(1)
    probability: FloatArray = (1 - responses.lapse) * (up_to - below) + responses.lapse / len(Grade)
    return probability


def side_probabilities(
    difference: FloatArray, sigma: FloatArray, responses: Responses, cut_scale: FloatArray
) -> FloatArray:
    """Return the probability that B is better, that neither is, and that A is, shape (3, ...), of differences A - B.

    Differences (...), noise (...) and the scale of the cut points (...) broadcast, in units of utility.
    """
    cut = responses.equal_cut * cut_scale
    chances: FloatArray = np.empty((3, *np.broadcast_shapes(difference.shape, sigma.shape, cut.shape)))
    chances[0], chances[2] = ndtr((-cut - difference) / sigma), ndtr((difference - cut) / sigma)
    chances[1] = 1 - chances[0] - chances[2]
    chances *= 1 - responses.lapse
    shares = np.array([0.4, 0.2, 0.4])  # of the five grades that a lapse picks from
    chances += responses.lapse * shares.reshape(3, *[1] * (chances.ndim - 1))
    return chances


def log_grade(
    difference: FloatArray, sigma: FloatArray, cut_scale: FloatArray, grade: Grade, responses: Responses
) -> FloatArray:
    """Return log P(grade), shape (h, s, n), of differences (h, n) under each style's noise (s,) and cut scale (s,).

    Looked up in a table over the range of the differences: exact to about 1e-5, several times faster than the normal
    integral at every node.
    """
    low, high = float(difference.min()), float(difference.max()) + 1e-9
    points = np.linspace(low, high, _TABLE_POINTS)
    table = np.log(_grade_probability(points, sigma[:, None], responses, cut_scale[:, None], grade))
    position = (difference - low) * ((_TABLE_POINTS - 1) / (high - low))
    index = np.minimum(position.astype(np.intp), _TABLE_POINTS - 2)
    fraction = position - index
    steps = np.diff(table, axis=1)
    log_p = np.empty((difference.shape[0], sigma.size, difference.shape[1]))
    for s in range(sigma.size):
        np.multiply(fraction, steps[s].take(index), out=log_p[:, s, :])
        log_p[:, s, :] += table[s].take(index)
    return log_p


def log_level(mean_utility: FloatArray, level: UtilityLevel, responses: Responses) -> FloatArray:
    """Return log P(what an equal answer says of the level), in the shape of the mean utility of the two (...)."""
    said = 1 - responses.unsaid_share
    good = said * ndtr((mean_utility - responses.good_level) / responses.level_noise)
    wrong = said * ndtr((responses.wrong_level - mean_utility) / responses.level_noise)
    chance = {UtilityLevel.GOOD: good, UtilityLevel.WRONG: wrong, UtilityLevel.UNSAID: 1 - good - wrong}[level]
    log_p: FloatArray = np.log((1 - responses.lapse) * chance + responses.lapse / 3)
    return log_p


def single_probabilities(
    utility: FloatArray, sigma: FloatArray, level: UtilityLevel, responses: Responses
) -> FloatArray:
    """Return P(good, between or wrong, as `level` says) of one stimulus on its own, shape (...).

    Utility (...) and sigma (...), the standard deviation about the levels in units of utility, broadcast.
    """
    good = ndtr((utility - responses.good_level) / sigma)
    wrong = ndtr((responses.wrong_level - utility) / sigma)
    chance = {UtilityLevel.GOOD: good, UtilityLevel.WRONG: wrong, UtilityLevel.UNSAID: 1 - good - wrong}[level]
    probabilities: FloatArray = (1 - responses.lapse) * np.maximum(chance, 0) + responses.lapse / 3
    return probabilities


# A difference of two Gumbel variables of scale β has standard deviation πβ/√3; this β gives it the probit's.
_GUMBEL_SCALE = np.sqrt(3) / np.pi


def log_ranking(
    steps: FloatArray, ranks: Sequence[Sequence[int]], sigma: FloatArray, responses: Responses
) -> FloatArray:
    """Return log P(a ranking), shape (h, s, n), by Plackett and Luce.

    Parameters
    ----------
    steps : ndarray, shape (m, h, n)
        Utility of each stimulus.
    ranks
        Best first; each rank holds the rows of `steps` that tied. A tie is the mean over its orders.
    sigma : ndarray, shape (s,)

    References
    ----------
    R. L. Plackett (1975), The Analysis of Permutations, Applied Statistics 24(2), 193-202.
    """
    scaled = steps[:, :, None, :] / (_GUMBEL_SCALE * sigma[None, None, :, None])
    worth = np.exp(np.maximum(scaled - scaled.max(axis=0), _LEAST_LOG_WORTH))
    # Whatever the worths, the last rank comes in some order; so its orders sum to 1.
    ranked, left = np.ones(worth.shape[1:]), worth[list(ranks[-1])].sum(axis=0)
    for rank in reversed(ranks[:-1]):  # summed from the last place up, so that nothing is ever subtracted
        tied = worth[list(rank)]
        ranked *= _tie_probability(tied, left)
        left += tied.sum(axis=0)
    ranked /= float(prod(factorial(len(rank)) for rank in ranks))
    chance = np.exp(-np.sum(np.log(np.arange(1, len(steps) + 1))))
    mixed: FloatArray = np.log((1 - responses.lapse) * ranked + responses.lapse * chance)
    return mixed


def winner_probabilities(steps: FloatArray, sigma: FloatArray, responses: Responses) -> FloatArray:
    """Return P(each stimulus comes out best), shape (q, m), of utilities (q, m) under noise (m,)."""
    first = softmax(steps / (_GUMBEL_SCALE * sigma), axis=0)
    probabilities: FloatArray = (1 - responses.lapse) * first + responses.lapse / len(steps)
    return probabilities


def _tie_probability(tied: FloatArray, left: FloatArray) -> FloatArray:
    """Return P(every stimulus of a tie comes above what is left), of worths (k, ...) against their sum (...).

    That is the sum over the orders of the tie. Orders that fill the lowest places with the same set share what follows,
    so it takes a step for each of the 2^k sets and not for each of the k! orders. Nodes are taken a block at a time, to
    spare memory.
    """
    if len(tied) == 1:
        alone: FloatArray = tied[0] / (left + tied[0])
        return alone
    flat, below = tied.reshape(len(tied), -1), left.reshape(-1)
    probability = np.empty_like(below)
    size = _BLOCK_VALUES // comb(len(tied), len(tied) // 2)
    for start in range(0, below.size, size):
        block = slice(start, start + size)
        worth, total, chance = flat[:, block], below[None, block], np.ones((1, 1))  # of the empty set
        for members, without in _sets(len(tied)):
            total = total[without[0]] + worth[members[0]]
            came = chance[without[0]] * worth[members[0]]
            for member, rest in zip(members[1:], without[1:], strict=True):
                came += chance[rest] * worth[member]
            chance = came / total
        probability[block] = chance[0]
    return probability.reshape(left.shape)


@lru_cache(maxsize=32)
def _sets(count: int) -> list[tuple[IntArray, IntArray]]:
    """Return the sets of 1, 2, … of `count` members: member i of each, (size, sets), and which set is left without it.

    The numbers of the second array count the sets that are smaller by one.
    """
    layers: list[tuple[IntArray, IntArray]] = []
    smaller: dict[tuple[int, ...], int] = {(): 0}
    for size in range(1, count + 1):
        sets = list(itertools.combinations(range(count), size))
        without = [[smaller[s[:i] + s[i + 1 :]] for s in sets] for i in range(size)]
        layers.append((np.array(sets).T, np.array(without)))
        smaller = {s: number for number, s in enumerate(sets)}
    return layers


def log_direction(offset: FloatArray, direction: int, margin: float, noise: float, lapse: float) -> FloatArray:
    """Return log P(too high (+1), too low (-1) or right (0)) of a stimulus that lies `offset` above the ideal.

    It has the shape of the offset (...). `margin`, how far off still counts as right, and `noise`, a standard
    deviation, are in units of the axis; `lapse` is the share, 0 to 1, of answers given at random.
    """
    high, low = ndtr((offset - margin) / noise), ndtr((-offset - margin) / noise)
    chance = {1: high, -1: low, 0: 1 - high - low}[direction]
    log_p: FloatArray = np.log((1 - lapse) * chance + lapse / 3)
    return log_p


def log_side(ideal: FloatArray, side: float, noise: float, lapse: float) -> FloatArray:
    """Return log P(a sign that the ideal lies on one side of zero), in the shape of the ideal (...).

    `side` is signed and without unit: the sign counts for tanh(side) of a full one, and 0 is no evidence. `noise` is a
    standard deviation in units of the axis, `lapse` the share, 0 to 1, of signs that come by chance.
    """
    chance = ndtr(np.tanh(side) * ideal / noise)
    log_p: FloatArray = np.log((1 - lapse) * chance + lapse / 2)
    return log_p
