"""The posterior against integrals done otherwise."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.stats import norm

from tenter.inference.lattice import Lattice, LatticeBox, Styles
from tenter.inference.likelihood import Grade, Responses, log_grade
from tenter.inference.posterior import Active, Posterior, log_odds
from tenter.inference.utility import DEFAULT_SHAPES, Shape, UtilityForm, utilities

CENTRES = np.array([[0.55, 1.4, 0.45], [1.35, 0.6, 0.6], [-0.5, 0.15, -1.35], [0.5, -0.05, -1.35], [-0.55, -1.4, 0.35]])
DENSE = LatticeBox((-3.2,) * 3, (3.2,) * 3, 31, (0.4, 0.2, -0.6), (0.7, 1.0, 0.5))
ONE_STYLE = Styles((1.0,), (1.0,), (1.0,))


# One axis, one shape, one style: the posterior against adaptive quadrature of prior times likelihood.
@pytest.mark.parametrize("grade", Grade)
@pytest.mark.parametrize("form", UtilityForm)
def test_the_posterior_meets_quadrature(grade, form):
    box = LatticeBox((-4.0,), (4.0,), 401)
    shape, responses = Shape(form, (1.0,)), Responses()
    centres = np.array([[-0.5], [1.0]])
    lattice = Lattice(box, centres, shapes=(shape,), styles=Styles((0.8,), (1.0,), (1.0,)))
    x = np.array([[1.2], [-0.7]])

    def density(theta):
        u = shape.utility(x, np.array([[theta]]))[:, 0]
        likelihood = norm(u[0] - u[1], 0.8)
        cuts = [-np.inf, -1.2, -0.35, 0.35, 1.2, np.inf]
        p = 0.97 * (likelihood.cdf(cuts[grade + 1]) - likelihood.cdf(cuts[grade])) + 0.03 / 5
        return p * norm.pdf(theta, centres[:, 0], 0.55).sum()

    mass, first, second = (
        quad(lambda t, k=k: t**k * density(t), -4, 4, limit=200, points=[-0.7, 1.2])[0] for k in range(3)
    )
    u = utilities(lattice.shapes, x, lattice.ideals)
    found = Posterior.of(lattice, log_grade(u[:, 0] - u[:, 1], lattice.sigmas, lattice.cut_scales, grade, responses))
    assert found.mean[0] == pytest.approx(first / mass, abs=1e-3)
    assert found.covariance[0, 0] == pytest.approx(second / mass - (first / mass) ** 2, abs=2e-3)


def gaussian_posterior(mean, sd, nodes=41):
    lattice = Lattice(LatticeBox((-3.2,) * 3, (3.2,) * 3, nodes), CENTRES, shapes=DEFAULT_SHAPES[:1], styles=ONE_STYLE)
    squares = np.sum((lattice.ideals - mean) ** 2, axis=1)
    return Posterior.of_log_weights(lattice, (-squares / (2 * sd**2)).reshape(lattice.shape))


# A normal posterior has a normal's intervals.
@pytest.mark.parametrize("coverage", [0.5, 0.9, 0.95])
@pytest.mark.parametrize("sd", [0.3, 0.6])
def test_intervals_of_a_normal_posterior(coverage, sd):
    mean = np.array([0.5, -0.2, 0.0])
    for axis in range(3):
        low, high = gaussian_posterior(mean, sd).interval(axis, coverage)
        half = norm.ppf(0.5 + coverage / 2) * sd
        assert (low, high) == pytest.approx((mean[axis] - half, mean[axis] + half), abs=0.04)


# A node stands for the bin about it, half a step to either side, and the outermost nodes do too.
@pytest.mark.parametrize("coverage", [0.5, 0.9, 1.0])
def test_intervals_of_an_even_posterior_reach_half_a_step_beyond_its_nodes(coverage):
    lattice = Lattice(
        LatticeBox((-3.0, 1.0, 0.0), (3.0, 2.0, 9.0), 7), CENTRES, shapes=DEFAULT_SHAPES[:1], styles=ONE_STYLE
    )
    even = Posterior.of_log_weights(lattice, np.zeros(lattice.shape))
    for axis, (low, high) in enumerate(zip(lattice.box.low, lattice.box.high, strict=True)):
        whole = (high - low) * 7 / 6
        middle = (low + high) / 2
        ends = (middle - coverage * whole / 2, middle + coverage * whole / 2)
        assert even.interval(axis, coverage) == pytest.approx(ends)


@pytest.mark.parametrize("end", [0, -1])
def test_a_posterior_at_the_end_of_its_box_has_its_interval_there(end):
    lattice = Lattice(DENSE, CENTRES, shapes=DEFAULT_SHAPES[:1], styles=ONE_STYLE)
    for axis, nodes in enumerate(DENSE.axes):
        there = np.where(lattice.ideals[:, axis] == nodes[end], 0.0, -80.0)
        low, high = Posterior.of_log_weights(lattice, there.reshape(lattice.shape)).interval(axis, 0.8)
        assert (low + high) / 2 == pytest.approx(nodes[end])
        assert high - low == pytest.approx(0.8 * abs(nodes[end] - nodes[1 if end == 0 else -2]))


def test_moments_of_a_normal_posterior():
    found = gaussian_posterior(np.array([0.5, -0.2, 0.0]), 0.5)
    assert_allclose(found.mean, [0.5, -0.2, 0.0], atol=1e-4)
    assert_allclose(found.covariance, 0.25 * np.eye(3), atol=1e-4)
    distance = np.sum((found.lattice.ideals - found.mean) ** 2, axis=1)
    assert found.expectation(distance[None, :]) == pytest.approx(0.75, abs=1e-3)


def test_evidence_in_two_parts_is_evidence_at_once():
    rng = np.random.default_rng(5)
    lattice = Lattice(LatticeBox((-2.0,) * 3, (2.0,) * 3, 7), CENTRES)
    one, two = rng.normal(size=(2, *lattice.shape))
    in_parts = Posterior.of_log_weights(lattice, Posterior.of(lattice, one).log_weights + two)
    assert_allclose(in_parts.log_weights, Posterior.of(lattice, one + two).log_weights, atol=1e-9)


def test_active_hypotheses_carry_all_but_a_sliver():
    posterior = gaussian_posterior(np.zeros(3), 0.4)
    active = Active.of(posterior, [], depth=18.0)
    assert len(active.places) < posterior.weights.size
    assert posterior.weights.ravel()[active.places].sum() > 1 - 1e-5
    assert_allclose(active.log_prior, posterior.lattice.log_prior.ravel()[active.places])
    assert_allclose(active.spread(posterior.weights[:, 0]), posterior.weights.ravel()[active.places])


def test_hypotheses_that_one_piece_of_evidence_suppresses_stay_active():
    posterior = gaussian_posterior(np.zeros(3), 0.4)
    flat = posterior.log_weights.ravel()
    place = int(np.argmin(flat))
    against = np.zeros((1, flat.size), np.float32)
    against[0, place] = flat[place] - flat.max()  # without this piece the hypothesis would be the heaviest
    assert place not in Active.of(posterior, against * 0, depth=5.0).places
    assert place in Active.of(posterior, against, depth=5.0).places


def test_active_hypotheses_know_their_style():
    lattice = Lattice(LatticeBox((-1.0,) * 3, (1.0,) * 3, 3), CENTRES)
    active = Active.of(Posterior.of(lattice), [], depth=np.inf)
    assert len(active.places) == np.prod(lattice.shape)
    grid = np.broadcast_to(lattice.sigmas[None, :, None], lattice.shape)
    assert_allclose(active.sigma, grid.ravel())
    assert_allclose(active.cut_scale, np.broadcast_to(lattice.cut_scales[None, :, None], lattice.shape).ravel())


@pytest.mark.parametrize(("mass", "odds"), [(0.5, 0.0), (0.9, np.log(9)), (0.0, -34.5), (1.0, 34.5)])
def test_log_odds_are_finite(mass, odds):
    assert log_odds(mass) == pytest.approx(odds, abs=0.1)
