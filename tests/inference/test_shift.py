"""How far an ideal point has moved between two posteriors: laws."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import multivariate_normal

from tenter.errors import TenterError
from tenter.inference.lattice import Lattice, LatticeBox, cell_membership
from tenter.inference.posterior import Posterior
from tenter.inference.shift import HARDLY, MOVED, Shift, shift_between

CENTRES = np.array([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]])
BOX = LatticeBox((-3.2,) * 3, (3.2,) * 3, 21)


def read(place: tuple[float, float, float], spread: float = 0.35, box: LatticeBox = BOX) -> Posterior:
    """Return the posterior of evidence that puts the ideal about a place."""
    lattice = Lattice(box, CENTRES)
    squares = np.sum((lattice.ideals - np.array(place)) ** 2, axis=1)
    return Posterior.of(lattice, -squares[None, None, :] / (2 * spread**2))


def shift(first: Posterior, second: Posterior, coverage: float = 0.95) -> Shift:
    one, other = (cell_membership(p.lattice.ideals, CENTRES, p.lattice.widths) for p in (first, second))
    return shift_between(first, second, one, other, coverage)


def test_the_same_evidence_twice_is_no_move():
    found = shift(read((0.8, 0.3, -0.4)), read((0.8, 0.3, -0.4)))
    assert found.moved < 0.2
    assert_allclose(found.mean, 0, atol=0.05)
    assert (found.low < 0).all()
    assert_allclose(found.low, -found.high, atol=0.04)  # an eighth of the step between nodes


def test_a_far_move_is_found_on_its_axis_alone():
    found = shift(read((0.8, -0.9, 0.0), 0.25), read((0.8, 0.9, 0.0), 0.25))
    assert found.moved > 0.9
    assert found.low[1] > 0
    assert (np.sign(found.low) != np.sign(found.high))[[0, 2]].all()


def test_what_is_exchanged_turns_the_shift_round():
    one, other = read((1.0, 0.4, 0.2), 0.3), read((0.2, -0.6, 0.5), 0.45)
    there, back = shift(one, other), shift(other, one)
    assert_allclose(there.moved, back.moved, atol=0.03)
    assert_allclose(there.mean, -back.mean, atol=0.1)
    assert_allclose(there.low, -back.high, atol=0.15)
    assert_allclose(there.other_class, back.other_class, atol=0.03)


def test_the_chance_of_another_class_follows_the_border():
    within = shift(read((1.6, 0, 0)), read((1.6, 0, 0)))
    across = shift(read((1.6, 0, 0)), read((-1.6, 0, 0)))
    assert within.other_class < 0.02
    assert across.other_class > 0.98


def test_less_evidence_is_a_wider_shift():
    widths = [shift(read((0.5, 0, 0), s), read((0.5, 0, 0), s)) for s in (0.25, 0.4, 0.8)]
    spans = [w.high - w.low for w in widths]
    assert (spans[0] < spans[1]).all()
    assert (spans[1] < spans[2]).all()


def test_more_coverage_is_a_wider_interval():
    narrow, wide = (shift(read((0.5, 0, 0)), read((0.8, 0, 0)), c) for c in (0.8, 0.99))
    assert (narrow.low > wide.low).all()
    assert (narrow.high < wide.high).all()


def test_it_hardly_depends_on_where_the_nodes_are():
    other_box = LatticeBox((-3.0,) * 3, (3.1,) * 3, 27, (0.6, 0.1, 0.0), (0.7, 0.7, 0.7))
    one = shift(read((0.7, 0, 0.2)), read((0.1, 0.6, 0.2)))
    other = shift(read((0.7, 0, 0.2)), read((0.1, 0.6, 0.2), box=other_box))
    assert_allclose(one.moved, other.moved, atol=0.05)
    assert_allclose(one.mean, other.mean, atol=0.08)


def test_it_agrees_with_the_exact_answer_for_normal_evidence():
    """Two normal likelihoods under a flat prior: the shift under each step is normal, and so is what each is worth."""
    lattice = Lattice(LatticeBox((-3.2,) * 3, (3.2,) * 3, 33), np.zeros((1, 3)), spread=50.0)
    noise, apart = 0.5, np.array([0.9, 0.0, 0.0])

    def at(place):
        squares = np.sum((lattice.ideals - place) ** 2, axis=1)
        return Posterior.of(lattice, -squares[None, None, :] / (2 * noise**2))

    whole = np.ones((1, len(lattice.ideals)))
    found = shift_between(at(-apart / 2), at(apart / 2), whole, whole)
    variances = np.array([HARDLY**2, MOVED**2]) + 2 * noise**2
    worth = np.exp(-apart @ apart / (2 * variances)) / variances**1.5
    share = worth / worth.sum()
    mean = share @ (apart[0] * np.array([HARDLY**2, MOVED**2]) / variances)
    assert_allclose(found.moved, share[1], atol=0.02)
    assert_allclose(found.mean, [mean, 0, 0], atol=0.02)


def test_two_that_cannot_be_compared_are_refused():
    one = read((0, 0, 0))
    flat = Posterior.of(
        Lattice(
            LatticeBox((-1.0,), (1.0,), 5), np.zeros((1, 1)), shapes=(replace(one.lattice.shapes[0], weights=(1.0,)),)
        )
    )
    with pytest.raises(TenterError, match="same axes"):
        shift_between(one, flat, np.ones((2, one.of_ideal.size)), np.ones((2, 5)))
    two, three = (np.full((classes, one.of_ideal.size), 1 / classes) for classes in (2, 3))
    for classes in ((two, three), (three, two)):
        with pytest.raises(TenterError, match="same classes"):
            shift_between(one, one, *classes)


def test_the_prior_of_the_ideal_counts_once():
    """A normal prior and two normal likelihoods: what the evidence is worth is the density of the two measurements."""
    spread, noise, one, other = 0.5, 0.4, np.array([1.0, 0.2, 0.0]), np.array([0.3, 0.2, 0.4])
    lattice = Lattice(LatticeBox((-3.2,) * 3, (3.2,) * 3, 33), np.zeros((1, 3)), spread=spread)

    def at(place):
        squares = np.sum((lattice.ideals - place) ** 2, axis=1)
        return Posterior.of(lattice, -squares[None, None, :] / (2 * noise**2))

    def worth(step):
        first = np.array([[spread**2, spread**2], [spread**2, spread**2 + step**2]]) + noise**2 * np.eye(2)
        measured = np.stack([one, other], axis=1)
        ways = (multivariate_normal(cov=covariance) for covariance in (first, first[::-1, ::-1]))
        return sum(np.prod(way.pdf(measured)) for way in ways)

    whole = np.ones((1, len(lattice.ideals)))
    found = shift_between(at(one), at(other), whole, whole)
    assert_allclose(found.moved, worth(MOVED) / (worth(MOVED) + worth(HARDLY)), atol=0.01)
