"""The lattice and the posterior on it, against integrals done otherwise."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.stats import norm

from tenter import TenterError
from tenter.inference.lattice import Box, Lattice, Styles, cell_membership, side_membership
from tenter.inference.likelihood import Grade, Responses, log_grade
from tenter.inference.posterior import Active, Posterior, log_odds
from tenter.inference.utility import DEFAULT_SHAPES, Form, Shape, utilities

CENTRES = np.array([[0.55, 1.4, 0.45], [1.35, 0.6, 0.6], [-0.5, 0.15, -1.35], [0.5, -0.05, -1.35], [-0.55, -1.4, 0.35]])
WHOLE = Box((-3.2,) * 3, (3.2,) * 3, 33)
DENSE = Box((-3.2,) * 3, (3.2,) * 3, 31, (0.4, 0.2, -0.6), (0.7, 1.0, 0.5))
ONE_STYLE = Styles((1.0,), (1.0,), (1.0,))
BOXES = pytest.mark.parametrize("box", [WHOLE, DENSE], ids=["even nodes", "dense nodes"])


def prior_only(box):
    return Posterior.of(Lattice(box, CENTRES))


# -- utilities -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shape", [*DEFAULT_SHAPES, Shape(Form.QUADRATIC, (0.7, 1.6, 0.7))])
def test_utility_is_nothing_at_the_ideal_and_falls_away_from_it(shape):
    ideal = np.array([[0.3, -0.4, 1.1]])
    steps = np.linspace(0, 4, 30)[:, None] * np.array([0.6, -0.64, 0.48])
    found = shape.utility(ideal + steps, ideal)[:, 0]
    assert found[0] == pytest.approx(0, abs=1e-12)
    assert np.all(np.diff(found) < 0)


@pytest.mark.parametrize("weights", [(1.0, 1.0, 1.0), (0.7, 1.6, 0.7)])
def test_utilities_meet_their_formulas(weights):
    rng = np.random.default_rng(2)
    x, theta = rng.normal(size=(4, 3)), rng.normal(size=(6, 3))
    w, apart = np.array(weights), x[:, None, :] - theta[None, :, :]
    found = utilities(tuple(Shape(form, weights) for form in Form), x, theta)
    assert_allclose(found[0], -np.sum(w * apart**2, axis=2) / 2, atol=1e-12)
    assert_allclose(found[1], -0.9 * np.sum(w * np.abs(apart), axis=2), atol=1e-12)
    assert_allclose(found[2], -2.5 * (1 - np.exp(-np.sum(w * apart**2, axis=2) / 4)), atol=1e-12)


# -- the lattice ---------------------------------------------------------------------------------------------------


@BOXES
def test_the_widths_of_the_nodes_cover_the_box(box):
    for nodes, widths, low, high in zip(box.axes, box.widths, box.low, box.high, strict=True):
        assert (nodes[0], nodes[-1]) == pytest.approx((low, high))
        assert np.all(np.diff(nodes) > 0)
        assert widths[1:-1].sum() + (widths[0] + widths[-1]) / 2 == pytest.approx(high - low, rel=0.01)


def test_nodes_lie_dense_only_where_both_centre_and_scale_are_given():
    even = np.linspace(-3.2, 3.2, 9)
    for part in ({"centre": (0.4, 0.2, -0.6)}, {"scale": (0.7, 1.0, 0.5)}, {}):
        for nodes in Box((-3.2,) * 3, (3.2,) * 3, 9, **part).axes:
            assert_allclose(nodes, even)


def test_dense_nodes_lie_dense_about_their_centre():
    for nodes, centre in zip(DENSE.axes, DENSE.centre, strict=True):
        steps = np.diff(nodes)
        assert abs(nodes[int(np.argmin(steps))] - centre) < 2 * steps.min()


# The prior is an equal mixture of normals, so its moments and masses have closed forms.
@BOXES
def test_the_prior_has_the_moments_of_its_mixture(box):
    prior = prior_only(box)
    assert prior.weights.sum() == pytest.approx(1, abs=1e-12)
    assert_allclose(prior.mean, CENTRES.mean(axis=0), atol=0.01)
    assert_allclose(prior.covariance, 0.55**2 * np.eye(3) + np.cov(CENTRES.T, bias=True), atol=0.02)
    assert_allclose(prior.of_style, np.array(Styles().weights) / sum(Styles().weights), atol=1e-12)


@BOXES
@pytest.mark.parametrize("axis", [0, 1, 2])
def test_the_prior_puts_the_mixtures_mass_on_each_side(box, axis):
    prior = prior_only(box)
    warm = side_membership(prior.lattice.ideals[:, axis], np.array([0.0]), prior.lattice.widths[:, axis])
    assert prior.masses(warm)[1] == pytest.approx(norm.cdf(CENTRES[:, axis] / 0.55).mean(), abs=0.01)


def test_nobody_can_write_into_the_prior_that_every_posterior_shares():
    lattice = Lattice(Box((-1.0,) * 3, (1.0,) * 3, 3), CENTRES)
    with pytest.raises(ValueError, match="read-only"):
        lattice.log_prior[0, 0, 0] = 0.0


def test_a_prior_of_no_weight_is_impossible_and_raises_no_warning():
    lattice = Lattice(Box((-1.0,) * 3, (1.0,) * 3, 3), CENTRES, styles=Styles((0.5, 1.0), (1.0, 1.0), (0.0, 1.0)))
    assert_allclose(Posterior.of(lattice).of_style, [0, 1])


@pytest.mark.parametrize(
    "styles", [((), (), ()), ((1.0,), (1.0, 1.0), (1.0,)), ((0.0,), (1.0,), (1.0,)), ((1.0,), (1.0,), (0.0,))]
)
def test_styles_are_checked_where_they_are_made(styles):
    with pytest.raises((TenterError, TypeError)):
        Styles(*styles)


@pytest.mark.parametrize("count", [1, 3, 4, 20])
def test_condensed_styles_keep_weight_and_mean_noise(count):
    styles = Styles()
    fewer = styles.condensed(count)
    assert len(fewer.sigmas) == min(count, len(styles.sigmas))
    assert sum(fewer.weights) == pytest.approx(sum(styles.weights))
    for kept in ("sigmas", "cut_scales"):
        means = [np.average(np.log(getattr(s, kept)), weights=s.weights) for s in (styles, fewer)]
        assert means[0] == pytest.approx(means[1])


# -- cells ---------------------------------------------------------------------------------------------------------


def test_every_point_belongs_somewhere_and_a_prototype_to_its_own_cell():
    lattice = Lattice(WHOLE, CENTRES)
    membership = cell_membership(lattice.ideals, CENTRES, lattice.widths)
    assert_allclose(membership.sum(axis=0), 1, atol=1e-12)
    assert membership.min() >= 0
    own = cell_membership(CENTRES, CENTRES, np.full(3, 0.2))
    assert_allclose(own, np.eye(len(CENTRES)), atol=1e-6)


# Against Monte-Carlo shares of the box about each point; the formula takes the cut as normal, hence the tolerance.
@pytest.mark.parametrize("width", [0.1, 0.3])
def test_membership_is_the_share_of_the_box_in_the_cell(width):
    rng = np.random.default_rng(8)
    border = (CENTRES[2] + CENTRES[3]) / 2
    points = np.concatenate([border + rng.uniform(-0.3, 0.3, size=(40, 3)), rng.uniform(-2, 2, size=(40, 3))])
    found = cell_membership(points, CENTRES, np.full(3, width))
    inside = points[:, None, :] + rng.uniform(-0.5, 0.5, size=(1, 4000, 3)) * width
    nearest = np.argmin(np.sum((inside[:, :, None, :] - CENTRES) ** 2, axis=3), axis=2)
    shares = np.stack([(nearest == k).mean(axis=1) for k in range(len(CENTRES))])
    assert np.abs(found - shares).max() < 0.06
    assert np.abs(found - shares).mean() < 0.006


# Four prototypes at the corners of a square and points on its axes, where two of them are equally far as third.
def test_membership_is_the_same_on_every_processor():
    corners = np.array([[1.0, 1, 0], [-1, 1, 0], [-1, -1, 0], [1, -1, 0]])
    points = np.concatenate([np.linspace(-2, 2, 40)[:, None] * axis for axis in np.eye(3)[:2]])
    found = cell_membership(points, corners, np.full(3, 0.4))
    for seed in range(4):
        moved = points + 1e-15 * np.random.default_rng(seed).uniform(-1, 1, points.shape)
        assert_allclose(cell_membership(moved, corners, np.full(3, 0.4)), found, atol=1e-9)


def test_two_prototypes_share_the_plane_between_them():
    points = np.array([[0.0, 0.0, 0.0], [0.02, 3.0, -1.0], [1.0, 0.0, 0.0]])
    found = cell_membership(points, np.array([[-1.0, 0, 0], [1.0, 0, 0]]), np.array([0.2, 0.2, 0.2]))
    assert_allclose(found[:, 0], 0.5)
    assert found[1, 1] == pytest.approx(norm.cdf(0.02 / (0.2 / np.sqrt(12))), abs=1e-9)
    assert found[1, 2] == pytest.approx(1)


def test_sides_sum_to_one_and_rise_with_the_value():
    values = np.linspace(-2, 2, 41)
    found = side_membership(values, np.array([-0.5, 0.5]), np.full(41, 0.1))
    assert found.shape == (3, 41)
    assert_allclose(found.sum(axis=0), 1, atol=1e-12)
    assert np.all(np.diff(found[2]) >= 0)
    assert_allclose(found[:, 20], [0, 1, 0], atol=1e-9)


# -- the posterior -------------------------------------------------------------------------------------------------


# One axis, one shape, one style: the posterior against adaptive quadrature of prior times likelihood.
@pytest.mark.parametrize("grade", Grade)
@pytest.mark.parametrize("form", Form)
def test_the_posterior_meets_quadrature(grade, form):
    box = Box((-4.0,), (4.0,), 401)
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
    lattice = Lattice(Box((-3.2,) * 3, (3.2,) * 3, nodes), CENTRES, shapes=DEFAULT_SHAPES[:1], styles=ONE_STYLE)
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
    lattice = Lattice(Box((-3.0, 1.0, 0.0), (3.0, 2.0, 9.0), 7), CENTRES, shapes=DEFAULT_SHAPES[:1], styles=ONE_STYLE)
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
    lattice = Lattice(Box((-2.0,) * 3, (2.0,) * 3, 7), CENTRES)
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
    lattice = Lattice(Box((-1.0,) * 3, (1.0,) * 3, 3), CENTRES)
    active = Active.of(Posterior.of(lattice), [], depth=np.inf)
    assert len(active.places) == np.prod(lattice.shape)
    grid = np.broadcast_to(lattice.sigmas[None, :, None], lattice.shape)
    assert_allclose(active.sigma, grid.ravel())
    assert_allclose(active.cut_scale, np.broadcast_to(lattice.cut_scales[None, :, None], lattice.shape).ravel())


@pytest.mark.parametrize(("mass", "odds"), [(0.5, 0.0), (0.9, np.log(9)), (0.0, -34.5), (1.0, 34.5)])
def test_log_odds_are_finite(mass, odds):
    assert log_odds(mass) == pytest.approx(odds, abs=0.1)
