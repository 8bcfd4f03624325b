"""The hypotheses and their prior against closed forms, and how far a place belongs to a cell or a side."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import norm

from tenter import TenterError
from tenter.inference.lattice import Lattice, LatticeBox, Styles, cell_membership, side_membership
from tenter.inference.posterior import Posterior
from tenter.inference.utility import DEFAULT_SHAPES

CENTRES = np.array([[0.55, 1.4, 0.45], [1.35, 0.6, 0.6], [-0.5, 0.15, -1.35], [0.5, -0.05, -1.35], [-0.55, -1.4, 0.35]])
WHOLE = LatticeBox((-3.2,) * 3, (3.2,) * 3, 33)
DENSE = LatticeBox((-3.2,) * 3, (3.2,) * 3, 31, (0.4, 0.2, -0.6), (0.7, 1.0, 0.5))
BOXES = pytest.mark.parametrize("box", [WHOLE, DENSE], ids=["even nodes", "dense nodes"])


def prior_only(box):
    return Posterior.of(Lattice(box, CENTRES))


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
        for nodes in LatticeBox((-3.2,) * 3, (3.2,) * 3, 9, **part).axes:
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


# The prior of a node is the density of the mixture there times what the node stands for.
@BOXES
def test_the_prior_is_the_mixtures_density_times_the_nodes_volume(box):
    lattice = Lattice(box, CENTRES, spread=0.4)
    density = norm(CENTRES[None, :, :], 0.4).pdf(lattice.ideals[:, None, :]).prod(axis=2).mean(axis=1)
    expected = np.log(density * lattice.widths.prod(axis=1))
    near = density > 1e-12  # far out the logarithm goes on where the density is nothing
    for of_ideal in lattice.log_prior.reshape(-1, len(lattice.ideals)):
        apart = of_ideal[near] - expected[near]
        assert_allclose(apart, apart[0], atol=1e-8)


def test_shapes_and_styles_have_the_shares_that_are_given():
    lattice = Lattice(LatticeBox((-1.0,) * 3, (1.0,) * 3, 3), CENTRES)
    prior = np.exp(lattice.log_prior)
    shares = np.array([shape.share for shape in DEFAULT_SHAPES])
    assert_allclose(prior.sum(axis=(1, 2)) / prior.sum(), shares / shares.sum())
    assert_allclose(prior.sum(axis=(0, 2)) / prior.sum(), np.array(Styles().weights) / sum(Styles().weights))


def test_nobody_can_write_into_the_prior_that_every_posterior_shares():
    lattice = Lattice(LatticeBox((-1.0,) * 3, (1.0,) * 3, 3), CENTRES)
    with pytest.raises(ValueError, match="read-only"):
        lattice.log_prior[0, 0, 0] = 0.0


def test_a_prior_of_no_weight_is_impossible_and_raises_no_warning():
    lattice = Lattice(
        LatticeBox((-1.0,) * 3, (1.0,) * 3, 3), CENTRES, styles=Styles((0.5, 1.0), (1.0, 1.0), (0.0, 1.0))
    )
    assert_allclose(Posterior.of(lattice).of_style, [0, 1])


@pytest.mark.parametrize(
    "styles", [((), (), ()), ((1.0,), (1.0, 1.0), (1.0,)), ((0.0,), (1.0,), (1.0,)), ((1.0,), (1.0,), (0.0,))]
)
def test_styles_are_checked_where_they_are_made(styles):
    with pytest.raises((TenterError, TypeError)):
        Styles(*styles)


@pytest.mark.parametrize("name", ["sigmas", "cut_scales", "weights"])
def test_styles_that_are_no_lists_are_refused_by_name(name):
    given = {"sigmas": (1.0,), "cut_scales": (1.0,), "weights": (1.0,)} | {name: 1.0}
    with pytest.raises(TenterError, match=name):
        Styles(**given)


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


def test_cells_do_not_hang_on_the_order_of_the_prototypes_or_on_where_all_of_it_lies():
    rng = np.random.default_rng(4)
    points, order, moved = rng.uniform(-2, 2, (60, 3)), rng.permutation(len(CENTRES)), np.array([1.5, -0.25, 0.75])
    found = cell_membership(points, CENTRES, np.full(3, 0.3))
    assert_allclose(cell_membership(points, CENTRES[order], np.full(3, 0.3)), found[order], atol=1e-9)
    assert_allclose(cell_membership(points + moved, CENTRES + moved, np.full(3, 0.3)), found, atol=1e-9)


def test_a_narrow_node_lies_on_one_side_of_each_cut():
    values, cuts = np.linspace(-2, 2, 40), np.array([-0.5, 0.5])
    found = side_membership(values, cuts, np.full(40, 1e-6))
    assert_allclose(found, np.arange(3)[:, None] == np.searchsorted(cuts, values)[None, :], atol=1e-9)
