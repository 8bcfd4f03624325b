"""How far an ideal point has moved between two posteriors: whether it has, on which axis, and into another class.

Two bodies of evidence about one person, each read on a lattice of its own, are joined by a normal step between the two
ideals. Two widths of that step stand for *the same place, as far as anybody could tell* and *another place*; what the
evidence is worth under each tells them apart. The prior of the ideal holds for the first place or for the second, half
each, so that nothing depends on which of the two is called the earlier.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import logsumexp

from tenter.arrays import FloatArray
from tenter.errors import TenterError
from tenter.inference.lattice import Lattice
from tenter.inference.posterior import Posterior

# Standard deviations of the step, in the units of the lattice, and how probable each is before the evidence: ours.
HARDLY, MOVED = 0.15, 1.0
_MOVED_BEFORE = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Shift:
    """What two posteriors say of a move.

    `moved` is the probability that the place is another, `other_class` the probability that the two places are of
    different classes. `mean`, `low` and `high` (d,) are the later place minus the earlier, in the units of the lattice,
    with intervals that hold for all axes together with the probability asked for.
    """

    moved: float
    mean: FloatArray
    low: FloatArray
    high: FloatArray
    other_class: float


@dataclass(frozen=True, slots=True, eq=False)
class _Side:
    """One posterior as cubes (n, n, …) over its own nodes, as it is and with the prior taken out; membership (k, …)."""

    axes: list[FloatArray]
    posterior: FloatArray
    evidence: FloatArray
    membership: FloatArray


def shift_between(
    earlier: Posterior, later: Posterior, of_earlier: FloatArray, of_later: FloatArray, coverage: float = 0.95
) -> Shift:
    """Return how far the ideal point has moved.

    Parameters
    ----------
    earlier, later : Posterior
        On lattices of any boxes, with the same prior of the ideal point.
    of_earlier, of_later : ndarray, shape (k, n) and (k, m)
        Membership of each ideal point in k classes; columns sum to 1.
    coverage : float
        The probability with which all intervals hold together (Bonferroni).

    Raises
    ------
    TenterError
        If the two do not have the same axes or the same number of classes.
    """
    if len(earlier.lattice.box.low) != len(later.lattice.box.low) or len(of_earlier) != len(of_later):
        raise TenterError("two posteriors are compared over the same axes and the same classes")
    first, second = _side(earlier, of_earlier), _side(later, of_later)
    steps = [_joined(first, second, spread) for spread in (HARDLY, MOVED)]
    worth = np.array([step.worth for step in steps]) * [1 - _MOVED_BEFORE, _MOVED_BEFORE]
    share = worth / worth.sum()
    alone = 1 - (1 - coverage) / len(first.axes)  # the intervals hold together (Bonferroni)
    nodes = list(zip(first.axes, second.axes, strict=True))
    told = [_axis_shift(nodes[a], [s.of_axis[a] for s in steps], share, alone) for a in range(len(nodes))]
    mean, low, high = np.array(told).T
    return Shift(float(share[1]), mean, low, high, float(share @ [step.other_class for step in steps]))


def _side(posterior: Posterior, membership: FloatArray) -> _Side:
    box, values = posterior.lattice.box, posterior.of_ideal
    shape = (box.nodes,) * len(box.low)
    evidence = values / _prior_density(posterior.lattice)
    return _Side(box.axes, values.reshape(shape), evidence.reshape(shape), membership.reshape(-1, *shape))


def _prior_density(lattice: Lattice) -> FloatArray:
    """Return the prior density (n,) of each ideal point, up to a constant: what is to be divided out."""
    squares = np.sum((lattice.ideals[:, None, :] - lattice.centres[None, :, :]) ** 2, axis=2)
    density: FloatArray = np.exp(logsumexp(-squares / (2 * lattice.spread**2), axis=1))
    return density


@dataclass(frozen=True, slots=True, eq=False)
class _Joined:
    """Two sides joined by a step: what the evidence is worth, each axis's joint weights, and the share of others."""

    worth: float
    of_axis: list[FloatArray]
    other_class: float


def _joined(first: _Side, second: _Side, spread: float) -> _Joined:
    kernels = [_kernel(x, y, spread) for x, y in zip(first.axes, second.axes, strict=True)]
    pairs = ((first.posterior, second.evidence), (first.evidence, second.posterior))
    of_axis = [np.sum([_axis_joint(*pair, kernels, axis) for pair in pairs], axis=0) for axis in range(len(kernels))]
    worth = float(of_axis[0].sum())
    same = sum(
        float(np.sum(mine * one * _carried(theirs * other, kernels)))
        for one, other in pairs
        for mine, theirs in zip(first.membership, second.membership, strict=True)
    )
    return _Joined(worth, of_axis, min(1.0, max(0.0, 1 - same / worth)))


def _kernel(one: FloatArray, other: FloatArray, spread: float) -> FloatArray:
    kernel: FloatArray = np.exp(-((one[:, None] - other[None, :]) ** 2) / (2 * spread**2)) / spread
    return kernel


def _carried(values: FloatArray, kernels: list[FloatArray], skip: int | None = None) -> FloatArray:
    """Return values over the second nodes carried to the first nodes along every axis but one."""
    for axis, kernel in enumerate(kernels):
        if axis != skip:
            values = np.moveaxis(np.tensordot(kernel, values, axes=(1, axis)), 0, axis)
    return values


def _axis_joint(first: FloatArray, second: FloatArray, kernels: list[FloatArray], axis: int) -> FloatArray:
    """Return the joint weight (n, m) of first and second places on one axis, the others summed over."""
    rest = tuple(a for a in range(first.ndim) if a != axis)
    joint: FloatArray = kernels[axis] * np.tensordot(first, _carried(second, kernels, axis), axes=(rest, rest))
    return joint


def _axis_shift(
    nodes: tuple[FloatArray, FloatArray], joints: list[FloatArray], share: FloatArray, coverage: float
) -> tuple[float, float, float]:
    """Return the mean of the later minus the earlier place on one axis, and its central interval."""
    weights = sum((w * joint / joint.sum() for w, joint in zip(share, joints, strict=True)), np.zeros_like(joints[0]))
    steps = (nodes[1][None, :] - nodes[0][:, None]).ravel()
    order = np.argsort(steps, kind="stable")
    reached = np.cumsum(weights.ravel()[order])
    middles = reached - weights.ravel()[order] / 2
    low, high = np.interp([(1 - coverage) / 2, (1 + coverage) / 2], middles, steps[order])
    return float(weights.ravel() @ steps), float(low), float(high)
