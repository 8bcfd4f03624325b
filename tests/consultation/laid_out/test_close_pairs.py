"""Pairs that the eye may take for one cloth: the same as pair by pair, in whatever order the cloths come."""

from itertools import combinations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.laid_out.close_pairs import close_pairs


def colours(count, seed=5):
    rng = np.random.default_rng(seed)
    return np.column_stack([rng.uniform(15, 95, count), rng.uniform(-12, 12, (count, 2))])


def test_they_are_those_found_pair_by_pair():
    lab = colours(120)
    each = {pair: float(delta_e_2000(*lab[list(pair)])) for pair in combinations(range(120), 2)}
    expected = {pair: apart for pair, apart in each.items() if apart < 3}
    pairs, apart = close_pairs(lab, 3.0)
    assert len(expected) > 10
    assert [tuple(pair) for pair in pairs.tolist()] == list(expected)
    assert_allclose(apart, list(expected.values()), rtol=0, atol=1e-12)


def test_more_cloths_than_are_taken_at_once_lose_no_pair():
    lab = np.tile(colours(150), (8, 1))  # every colour eight times, in eight stretches of the kit
    pairs, apart = close_pairs(lab, 1e-9)
    assert len(pairs) == 150 * 28
    assert np.all((pairs[:, 1] - pairs[:, 0]) % 150 == 0)
    assert apart.max() == 0


def test_the_order_of_the_cloths_changes_nothing():
    lab, order = colours(200), np.random.default_rng(1).permutation(200)
    pairs, _ = close_pairs(lab, 3.0)
    shuffled, _ = close_pairs(lab[order], 3.0)
    assert {frozenset(order[pair].tolist()) for pair in shuffled} == {frozenset(pair) for pair in pairs.tolist()}


@pytest.mark.parametrize("count", [0, 1])
def test_fewer_than_two_cloths_have_none(count):
    pairs, apart = close_pairs(np.full((count, 3), 50.0), 3.0)
    assert (pairs.shape, apart.shape) == ((0, 2), (0,))
