"""Likelihoods of answers against direct formulas, brute force and their own laws."""

import itertools
from math import factorial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.stats import norm

from tenter.inference.likelihood import (
    Grade,
    Responses,
    UtilityLevel,
    grade_probabilities,
    log_direction,
    log_grade,
    log_level,
    log_ranking,
    log_side,
    side_probabilities,
    single_probabilities,
    winner_probabilities,
)

RESPONSES = Responses()
DIFFERENCES = np.linspace(-6, 6, 121)
SIGMAS = np.array([0.5, 1.0, 2.0])
CUT_SCALES = np.array([1.0, 0.75, 1.3])
REALS = st.floats(-8, 8)
NOISES = st.floats(0.2, 4)


def formula_of_grade(difference, sigma, grade, cut_scale=1.0):
    """Return P(grade) as the normal integral between its two cuts, with the lapses on top."""
    cuts = [-np.inf, *(cut_scale * np.array([-1.2, -0.35, 0.35, 1.2])), np.inf]
    normal = norm(difference, sigma)
    return 0.97 * (normal.cdf(cuts[grade + 1]) - normal.cdf(cuts[grade])) + 0.03 / 5


# -- pairs ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("grade", Grade)
@pytest.mark.parametrize("sigma", SIGMAS)
@pytest.mark.parametrize("cut_scale", CUT_SCALES)
def test_grades_are_the_normal_integral_between_their_cuts(grade, sigma, cut_scale):
    found = grade_probabilities(DIFFERENCES, sigma, RESPONSES, cut_scale)[:, grade]
    assert_allclose(found, formula_of_grade(DIFFERENCES, sigma, grade, cut_scale), atol=1e-12)


@given(REALS, NOISES, st.floats(0.5, 2))
def test_grades_sum_to_one(difference, sigma, cut_scale):
    found = grade_probabilities(np.array(difference), np.array(sigma), RESPONSES, cut_scale)
    assert found.sum() == pytest.approx(1, abs=1e-12)
    assert found.min() >= 0.03 / 5 - 1e-15


@given(REALS, NOISES)
def test_grades_are_symmetric_under_exchange_of_sides(difference, sigma):
    ours = grade_probabilities(np.array(difference), np.array(sigma), RESPONSES)
    theirs = grade_probabilities(np.array(-difference), np.array(sigma), RESPONSES)
    assert_allclose(ours, theirs[::-1], atol=1e-12)


@pytest.mark.parametrize("sigma", SIGMAS)
def test_the_better_side_wins_more_often_the_better_it_is(sigma):
    found = grade_probabilities(DIFFERENCES, sigma, RESPONSES)
    better = found[:, Grade.BETTER :].sum(axis=1)
    assert np.all(np.diff(better) >= -1e-12)
    assert np.all(np.diff(found[:, Grade.MUCH_BETTER]) >= -1e-12)
    assert better[-1] - better[0] > 0.9
    assert np.all(np.diff(found[:, Grade.EQUAL]) * np.sign(DIFFERENCES[1:] - 0.05) <= 1e-12)
    assert better[60] == pytest.approx(found[60, :2].sum(), abs=1e-12)


@given(st.lists(REALS, min_size=1, max_size=4), NOISES, st.floats(0.5, 2), st.floats(0, 0.5))
def test_a_side_is_as_likely_as_its_grades_together(differences, sigma, cut_scale, lapse):
    responses, difference = Responses(lapse=lapse), np.array(differences)
    grades = grade_probabilities(difference, np.array(sigma), responses, cut_scale)
    sides = side_probabilities(difference, np.array(sigma), responses, np.array(cut_scale))
    by_grades = [grades[:, : Grade.EQUAL].sum(axis=1), grades[:, Grade.EQUAL], grades[:, Grade.BETTER :].sum(axis=1)]
    assert_allclose(sides, by_grades, atol=1e-12)


def test_wider_cuts_make_equal_answers_likelier():
    narrow, wide = (grade_probabilities(np.zeros(1), np.ones(1), RESPONSES, s)[0, Grade.EQUAL] for s in (0.75, 1.3))
    assert wide > narrow


@pytest.mark.parametrize("grade", Grade)
def test_the_table_meets_the_formula(grade):
    # The table interpolates; its documented error is 1e-5 of the logarithm over ordinary ranges.
    rng = np.random.default_rng(4)
    difference = rng.uniform(-5, 5, size=(3, 200))
    found = log_grade(difference, SIGMAS, CUT_SCALES, grade, RESPONSES)
    assert found.shape == (3, 3, 200)
    for s, (sigma, scale) in enumerate(zip(SIGMAS, CUT_SCALES, strict=True)):
        assert_allclose(found[:, s], np.log(formula_of_grade(difference, sigma, grade, scale)), atol=2e-4)


def test_the_table_serves_a_difference_that_is_everywhere_the_same():
    found = log_grade(np.full((1, 4), 0.7), SIGMAS, CUT_SCALES, Grade.BETTER, RESPONSES)
    expected = [np.log(formula_of_grade(0.7, s, 3, c)) for s, c in zip(SIGMAS, CUT_SCALES, strict=True)]
    assert_allclose(found, np.broadcast_to(np.array(expected)[None, :, None], (1, 3, 4)), atol=1e-6)


@pytest.mark.parametrize("grade", Grade)
def test_the_slope_of_the_log_likelihood_is_the_formulas(grade):
    # Against finite differences of the formula itself.
    step = 1e-5
    slope = np.gradient(log_grade(DIFFERENCES[None], np.ones(1), np.ones(1), grade, RESPONSES)[0, 0], DIFFERENCES)
    above, below = (np.log(formula_of_grade(DIFFERENCES + h, 1.0, grade)) for h in (step, -step))
    assert_allclose(slope[1:-1], ((above - below) / (2 * step))[1:-1], atol=0.02)


# -- levels --------------------------------------------------------------------------------------------------------


@given(st.floats(-9, 0.5))
def test_levels_of_an_equal_answer_sum_to_one(utility):
    total = sum(np.exp(log_level(np.array(utility), level, RESPONSES)) for level in UtilityLevel)
    assert total == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("utility", [-5.0, -3.0, -2.0, -1.0, 0.0])
def test_levels_meet_their_formula(utility):
    good, wrong = 0.4 * norm.cdf(utility + 1), 0.4 * norm.cdf(-3 - utility)
    expected = {UtilityLevel.GOOD: good, UtilityLevel.WRONG: wrong, UtilityLevel.UNSAID: 1 - good - wrong}
    for level, chance in expected.items():
        found = log_level(np.array(utility), level, RESPONSES)
        assert_allclose(found, np.log(0.97 * chance + 0.01), atol=1e-12)


def test_both_good_grows_and_both_wrong_falls_with_the_level():
    utility = np.linspace(-6, 0, 50)
    assert np.all(np.diff(log_level(utility, UtilityLevel.GOOD, RESPONSES)) > 0)
    assert np.all(np.diff(log_level(utility, UtilityLevel.WRONG, RESPONSES)) < 0)


@given(st.floats(-9, 0.5), st.floats(0.2, 1.0))
def test_levels_of_one_cloth_sum_to_one(utility, sigma):
    found = [single_probabilities(np.array(utility), np.array(sigma), level, RESPONSES) for level in UtilityLevel]
    assert sum(found) == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("sigma", SIGMAS)
def test_levels_of_one_cloth_sum_to_one_whatever_the_noise(sigma):
    utility = np.linspace(-6, 0, 25)
    found = sum(single_probabilities(utility, np.array(sigma), level, RESPONSES) for level in UtilityLevel)
    assert_allclose(found, 1, atol=1e-9)


# -- rankings ------------------------------------------------------------------------------------------------------

BETA = np.sqrt(3) / np.pi  # of Gumbel variables whose difference has a standard deviation of 1


def plackett_luce(utilities, order, sigma):
    """Return P(order) as the product of successive choices (Plackett 1975, equation for a full ranking)."""
    strength = np.exp(np.array(utilities) / (BETA * sigma))
    left, chance = list(order), 1.0
    while left:
        chance *= strength[left[0]] / strength[left].sum()
        left.pop(0)
    return chance


@pytest.mark.parametrize("utilities", [(0.0, -1.0, -2.5), (-0.3, -0.3, -0.3), (0.0, -4.0, -1.0, -1.2)])
@pytest.mark.parametrize("sigma", SIGMAS)
def test_rankings_meet_brute_force_and_sum_to_one(utilities, sigma):
    steps = np.array(utilities)[:, None, None]
    total, n = 0.0, len(utilities)
    for order in itertools.permutations(range(n)):
        found = np.exp(log_ranking(steps, [[i] for i in order], np.array([sigma]), RESPONSES))[0, 0, 0]
        chance = 1 / np.prod(np.arange(1, n + 1))
        assert found == pytest.approx(0.97 * plackett_luce(utilities, order, sigma) + 0.03 * chance, abs=1e-12)
        total += found
    assert total == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize(
    "ranks",
    [
        [[0, 1], [2]],
        [[2], [0, 1]],
        [[0, 1, 2]],
        [[1], [0, 2], [3]],
        [[0, 3], [2, 1]],
        [[3, 1, 0], [2], [4, 5]],
        [[5], [0, 1, 2, 3], [4]],
        [[4, 2, 0, 1, 3], [5]],
        [[5], [4, 2, 0, 1, 3], [6, 7]],
    ],
    ids=str,
)
@pytest.mark.parametrize("spread", [1, 30])
def test_a_tie_is_the_mean_over_its_orders(ranks, spread):
    utilities = spread * np.array([-0.2, -1.4, -0.9, -2.0, -0.4, -1.1, -0.7, -1.6])[: sum(map(len, ranks))]
    orders = [sum(parts, ()) for parts in itertools.product(*(itertools.permutations(r) for r in ranks))]
    for sigma in SIGMAS:
        mean = np.mean([plackett_luce(utilities, order, sigma) for order in orders])
        chance = 1 / np.prod(np.arange(1, len(utilities) + 1))
        found = log_ranking(utilities[:, None, None], ranks, np.array([sigma]), RESPONSES)
        assert found[0, 0, 0] == pytest.approx(np.log(0.97 * mean + 0.03 * chance), rel=0, abs=1e-12)


# All twelve against the rest, as the race that Plackett and Luce describe: the last of the tied comes in before the
# first of the rest, whose times are exponential. The integral is worked out apart.
@pytest.mark.parametrize("spread", [0.0, 0.3, 1.5])
def test_a_tie_of_twelve_meets_the_integral_over_a_race(spread):
    utilities = spread * np.sin(np.arange(14.0))
    rates = np.exp(utilities / BETA)
    left = rates[12:].sum()
    integral, _ = quad(lambda u: np.prod(1 - u ** (rates[:12] / left)), 0, 1, epsabs=0, epsrel=1e-12)
    last = rates[12] / left
    found = log_ranking(utilities[:, None, None], [range(12), [12], [13]], np.ones(1), RESPONSES)[0, 0, 0]
    expected = 0.97 * integral / factorial(12) * last + 0.03 / factorial(14)
    assert found == pytest.approx(np.log(expected), rel=0, abs=1e-9)


def test_a_tie_over_many_hypotheses_is_read_node_by_node_alike():
    # More nodes than one block of work holds: every node gets what it would get alone.
    steps = -np.abs(np.sin(np.arange(9.0)[:, None, None] * 3 + np.arange(5000.0)))
    ranks = [[8], range(7), [7]]
    found = log_ranking(steps, ranks, SIGMAS, RESPONSES)
    assert found.shape == (1, 3, 5000)
    for node in (0, 2499, 4999):
        alone = log_ranking(steps[:, :, node : node + 1], ranks, SIGMAS, RESPONSES)
        assert_allclose(found[:, :, node : node + 1], alone, rtol=0, atol=1e-12)


def test_three_full_ties_have_every_order_alike_where_nothing_differs():
    ranks = [range(12), range(12, 24), range(24, 36)]
    found = log_ranking(np.zeros((36, 1, 1)), ranks, np.ones(1), RESPONSES)[0, 0, 0]
    assert found == pytest.approx(-np.log(np.arange(1, 37)).sum(), abs=1e-9)


@pytest.mark.parametrize(
    ("ranks", "ranked"),
    [([[1, 2, 3], [0], [4]], 0.0), ([[0], [1, 2, 3], [4]], 1 / 24), ([[0], [4], [3, 2, 1]], 1 / 24)],
)
def test_hopeless_cloths_in_a_tie_leave_the_likelihood_finite(ranks, ranked):
    steps = np.array([0.0, -1e5, -1e5, -1e5, -1e5])[:, None, None]
    found = log_ranking(steps, ranks, np.array([0.5]), RESPONSES)
    assert found[0, 0, 0] == pytest.approx(np.log(0.97 * ranked + 0.03 / factorial(5)), abs=1e-12)


# Checked against draws: the Gumbel variables themselves, ranked.
def test_a_ranking_is_that_of_utilities_with_gumbel_noise():
    rng = np.random.default_rng(11)
    utilities, sigma = np.array([0.0, -0.5, -1.0]), 0.7
    drawn = utilities + rng.gumbel(scale=BETA * sigma, size=(200_000, 3))
    first_to_last = np.mean(np.all(np.diff(drawn, axis=1) < 0, axis=1))
    found = np.exp(log_ranking(utilities[:, None, None], [[0], [1], [2]], np.array([sigma]), RESPONSES))[0, 0, 0]
    assert found == pytest.approx(0.97 * first_to_last + 0.03 / 6, abs=0.005)


@pytest.mark.parametrize("count", [3, 4])
def test_winners_are_the_rankings_summed(count):
    utilities = np.array([-0.4, -1.1, 0.0, -2.0])[:count]
    found = winner_probabilities(utilities[:, None], np.array([0.9]), RESPONSES)[:, 0]
    assert found.sum() == pytest.approx(1, abs=1e-12)
    for winner in range(count):
        orders = [o for o in itertools.permutations(range(count)) if o[0] == winner]
        summed = sum(plackett_luce(utilities, order, 0.9) for order in orders)
        assert found[winner] == pytest.approx(0.97 * summed + 0.03 / count, abs=1e-12)


# -- directions and sides ------------------------------------------------------------------------------------------


@given(REALS)
def test_directions_sum_to_one_and_are_symmetric(offset):
    def chance(off, direction):
        return float(np.exp(log_direction(np.array(off), direction, 0.4, 0.9, 0.03)))

    assert sum(chance(offset, d) for d in (-1, 0, 1)) == pytest.approx(1, abs=1e-12)
    assert chance(offset, 1) == pytest.approx(chance(-offset, -1), abs=1e-12)
    assert chance(offset, 0) == pytest.approx(chance(-offset, 0), abs=1e-12)


def test_too_high_is_likelier_the_higher_and_right_is_likeliest_at_the_ideal():
    offset = np.linspace(-4, 4, 81)
    assert np.all(np.diff(log_direction(offset, 1, 0.4, 0.9, 0.03)) > 0)
    assert np.argmax(log_direction(offset, 0, 0.4, 0.9, 0.03)) == 40
    expected = np.log(0.97 * norm.cdf((offset - 0.4) / 0.9) + 0.01)
    assert_allclose(log_direction(offset, 1, 0.4, 0.9, 0.03), expected, atol=1e-12)


@given(REALS, st.floats(-2, 2))
def test_sides_sum_to_one_and_a_cloth_on_neither_side_says_nothing(ideal, side):
    def chance(s):
        return float(np.exp(log_side(np.array(ideal), s, 1.2, 0.03)))

    assert chance(side) + chance(-side) == pytest.approx(1, abs=1e-12)
    assert chance(0.0) == pytest.approx(0.5, abs=1e-12)
