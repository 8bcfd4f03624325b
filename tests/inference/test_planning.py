"""Which comparison next: the fast rule against the exact one, and what says nothing."""

import itertools

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.inference.lattice import Lattice, LatticeBox, Styles, cell_membership
from tenter.inference.likelihood import Grade, Responses, grade_probabilities, log_grade
from tenter.inference.planning import (
    ClassMoments,
    answer_information,
    entropy,
    exact_pair_information,
    expected_shift,
    pair_information,
    pair_signal,
    representatives,
)
from tenter.inference.posterior import Posterior
from tenter.inference.utility import DEFAULT_SHAPES, utilities

RESPONSES = Responses()
CENTRES = np.array([[0.8, 0.8, 0.8], [-0.8, 0.7, -0.65], [0.8, -0.65, -0.6], [-0.8, -0.8, 0.8]])
STIMULI = np.array(
    [[1.4, 1.2, -0.4], [-1.1, 1.2, -0.4], [1.4, 1.2, -0.4], [1.0, -0.2, 1.4], [1.0, -0.2, -1.1], [-0.2, -2.4, 0.5]]
)
PAIRS = np.array(list(itertools.combinations(range(6), 2)))


@pytest.fixture(scope="module", params=["nothing known", "warm", "warm and bright"])
def posterior(request):
    lattice = Lattice(LatticeBox((-3.2,) * 3, (3.2,) * 3, 15), CENTRES)
    u = utilities(lattice.shapes, STIMULI, lattice.ideals)
    found = Posterior.of(lattice)
    wins = {"nothing known": [], "warm": [(0, 1)], "warm and bright": [(0, 1), (3, 4), (3, 4)]}
    for left, right in wins[request.param]:
        told = log_grade(u[:, left] - u[:, right], lattice.sigmas, lattice.cut_scales, Grade.BETTER, RESPONSES)
        found = Posterior.of_log_weights(lattice, found.log_weights + told)
    return found


@pytest.fixture
def membership(posterior):
    return cell_membership(posterior.lattice.ideals, CENTRES, posterior.lattice.widths)


def stand_ins_of(posterior, membership, count=3000):
    found = representatives(posterior, membership, count)
    table = utilities(posterior.lattice.shapes, STIMULI, posterior.lattice.ideals)
    return found, table[found.shapes, :, found.ideals].T


def information(posterior, membership):
    found, u = stand_ins_of(posterior, membership)
    moments = ClassMoments.of(u, found.classes)
    fast = pair_information(moments, np.full(len(PAIRS), found.mean_sigma), PAIRS, RESPONSES)
    return fast, exact_pair_information(u, found, np.ones(len(PAIRS)), PAIRS, RESPONSES)


# Two normal classes of equal share, means 2d apart on the difference: ½ ln(1 + d² / (W + noise²)), by hand.
@pytest.mark.parametrize(("apart", "within", "noise"), [(0.0, 1.0, 1.0), (1.0, 0.5, 1.0), (3.0, 0.2, 0.5)])
def test_the_sieve_is_the_information_of_a_normal_answer(apart, within, noise):
    covariance = np.diag([within / 2, within / 2])
    moments = ClassMoments(np.array([0.5, 0.5]), np.array([[apart, 0.0], [-apart, 0.0]]), np.stack([covariance] * 2))
    found = pair_signal(moments, np.array([noise]), np.array([[0, 1]]))
    assert found == pytest.approx([0.5 * np.log(1 + apart**2 / (within + noise**2))])


def test_pairs_asked_for_together_move_the_odds_as_each_does_alone(posterior, membership):
    found, u = stand_ins_of(posterior, membership, 300)
    noise = np.linspace(0.8, 1.4, len(PAIRS))
    together = expected_shift(u, found, noise, PAIRS, RESPONSES)
    alone = [expected_shift(u, found, noise[[i]], PAIRS[[i]], RESPONSES)[0] for i in range(len(PAIRS))]
    assert_allclose(together, alone, atol=1e-12)


# The exact rule written out: every hypothesis of the lattice, no stand-ins.
def test_exact_information_meets_the_whole_lattice(posterior, membership):
    lattice, weights = posterior.lattice, posterior.weights
    u = utilities(lattice.shapes, STIMULI, lattice.ideals)
    _, exact = information(posterior, membership)
    for pair, found in zip(PAIRS, exact, strict=True):
        difference = (u[:, pair[0]] - u[:, pair[1]])[:, None, :]
        answers = grade_probabilities(
            difference, lattice.sigmas[None, :, None], RESPONSES, lattice.cut_scales[None, :, None]
        )
        joint = np.einsum("hsna,hsn,kn->ka", answers, weights, membership)
        marginal = entropy(joint.sum(axis=0)) + entropy(joint.sum(axis=1)) - entropy(joint.ravel())
        assert found == pytest.approx(marginal, abs=0.02)


# The fast rule takes utility differences within a class as normal: near the exact one, and never misleading by much.
def test_fast_information_is_near_the_exact(posterior, membership):
    fast, exact = information(posterior, membership)
    assert np.abs(fast - exact).max() < 0.1  # the largest seen is 0.098, too little, on the most telling pair
    assert exact[int(np.argmax(fast))] > 0.9 * exact.max()
    assert np.corrcoef(fast, exact)[0, 1] > 0.95


def test_information_is_never_negative_and_nothing_for_like_cloths(posterior, membership):
    fast, exact = information(posterior, membership)
    assert min(fast.min(), exact.min()) > -1e-9
    like = [i for i, pair in enumerate(PAIRS) if list(pair) == [0, 2]]
    assert_allclose(fast[like], 0, atol=1e-9)
    assert_allclose(exact[like], 0, atol=0.005)  # how soon someone calls a difference says a little of who they are
    assert exact.max() > 0.05


# The same rule written out: every answer's probability for every stand-in.
def test_exact_information_of_stand_ins_is_that_of_their_answers(posterior, membership):
    found, u = stand_ins_of(posterior, membership)
    noise = np.linspace(0.7, 2.0, len(PAIRS))
    difference = u[PAIRS[:, 0]] - u[PAIRS[:, 1]]
    answers = grade_probabilities(difference, noise[:, None] * found.sigmas, RESPONSES, found.cut_scales)
    told = answer_information(answers.transpose(0, 2, 1), found.classes)
    assert_allclose(exact_pair_information(u, found, noise, PAIRS, RESPONSES), told, rtol=0, atol=1e-12)


def test_moments_of_a_difference_are_those_of_the_weighted_differences(posterior, membership):
    found, u = stand_ins_of(posterior, membership)
    mean, variance = ClassMoments.of(u, found.classes).of_differences(PAIRS)
    kept = found.classes[found.classes.sum(axis=1) > 1e-5]
    difference = u[PAIRS[:, 0]] - u[PAIRS[:, 1]]
    for i, weights in enumerate(kept):
        expected = np.average(difference, axis=1, weights=weights)
        assert_allclose(mean[:, i], expected, rtol=0, atol=1e-10)
        spread = np.average((difference - expected[:, None]) ** 2, axis=1, weights=weights)
        assert_allclose(variance[:, i], spread, rtol=0, atol=1e-10)


def test_information_does_not_depend_on_the_order_of_a_pair(posterior, membership):
    found, u = stand_ins_of(posterior, membership)
    noise, moments = np.full(len(PAIRS), 0.9), ClassMoments.of(u, found.classes)
    one, two = (pair_information(moments, noise, pairs, RESPONSES) for pairs in (PAIRS, PAIRS[:, ::-1]))
    assert_allclose(one, two, atol=1e-9)


def test_more_noise_leaves_less_information(posterior, membership):
    found, u = stand_ins_of(posterior, membership)
    quiet, loud = (exact_pair_information(u, found, np.full(len(PAIRS), s), PAIRS, RESPONSES) for s in (0.5, 3.0))
    assert np.all(loud <= quiet + 1e-9)


def test_an_answer_that_tells_the_classes_apart_is_worth_their_entropy():
    classes = np.array([[1.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 1.0]])
    telling = np.array([[[1.0, 1, 0, 0], [0.0, 0, 1, 1]]])
    silent = np.full((1, 2, 4), 0.5)
    assert answer_information(telling, classes) == pytest.approx([np.log(2)])
    assert answer_information(silent, classes) == pytest.approx([0], abs=1e-12)


def test_entropy_of_certainty_and_of_none():
    assert_allclose(entropy(np.array([[1.0, 0, 0], [1 / 3] * 3])), [0, np.log(3)])


def test_stand_ins_are_the_same_every_time(posterior, membership):
    one, two = (representatives(posterior, membership, 500) for _ in range(2))
    for name in ("shapes", "ideals", "sigmas", "cut_scales", "classes"):
        assert_allclose(getattr(one, name), getattr(two, name), rtol=0, atol=0)


# Eight equally likely hypotheses and four stand-ins: every quantile falls on the step from one hypothesis to the next.
def test_stand_ins_are_the_same_on_every_processor():
    lattice = Lattice(
        LatticeBox((-1.0,) * 3, (1.0,) * 3, 2),
        CENTRES,
        shapes=DEFAULT_SHAPES[:1],
        styles=Styles((1.0,), (1.0,), (1.0,)),
    )
    even, everyone = np.full(lattice.shape, np.log(1 / 8)), np.ones((1, 8))
    found = representatives(Posterior(lattice, even), everyone, 4)
    for seed in range(8):
        moved = even + 1e-15 * np.random.default_rng(seed).uniform(-1, 1, even.shape)
        assert_allclose(representatives(Posterior(lattice, moved), everyone, 4).ideals, found.ideals)


def test_stand_ins_stand_for_the_posterior(posterior, membership):
    found = representatives(posterior, membership, 3000)
    assert np.all((found.classes > 0).sum(axis=0) == 1)  # each stands for one class
    assert_allclose(found.classes.sum(axis=1), posterior.masses(membership), atol=2e-5)
    weights = found.classes.sum(axis=0)
    assert_allclose(weights @ posterior.lattice.ideals[found.ideals], posterior.mean, atol=0.05)


# A posterior on one hypothesis: all that is picked is the same, and comes once.
def test_what_is_picked_more_than_once_comes_once_with_all_its_weight(posterior, membership):
    place = np.unravel_index(int(posterior.log_weights.argmax()), posterior.log_weights.shape)
    certain = np.full(posterior.log_weights.shape, -np.inf)
    certain[place] = 0.0
    found = representatives(Posterior(posterior.lattice, certain), membership, 600)
    classes = int((membership[:, place[2]] > 1e-5).sum())
    assert len(found.shapes) == classes
    assert found.counts.sum() == pytest.approx(600, abs=classes)
    assert found.mean_sigma == pytest.approx(posterior.lattice.sigmas[place[1]])
    assert found.classes.sum() == pytest.approx(1, abs=1e-4)


def test_an_unlikely_class_is_not_left_with_a_handful(posterior, membership):
    found = representatives(posterior, membership, 1200)
    masses = posterior.masses(membership)
    assert np.all((found.classes > 0).sum(axis=1)[masses > 1e-4] >= 0.5 * 1200 / len(masses) - 1)


@pytest.mark.parametrize("count", [40, 1000])
def test_half_of_the_picks_go_by_probability_and_half_go_evenly(posterior, membership, count):
    found = representatives(posterior, membership, count)
    picks = np.array([found.counts[own > 0].sum() for own in found.classes])
    assert found.counts.sum() == pytest.approx(count, abs=len(CENTRES) / 2)
    masses = posterior.masses(membership)
    assert_allclose(picks, count * (0.5 / len(CENTRES) + 0.5 * masses), atol=0.51)


def test_stand_ins_leave_out_what_lies_in_no_class(posterior, membership):
    some = membership[:2] * (membership[:2] > 0.5)
    found = representatives(posterior, some, 400)
    assert np.all(some[:, found.ideals].sum(axis=0) > 0)
