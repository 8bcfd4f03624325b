"""The order of four corners."""

import itertools

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.photo.patches.corners import from_top_left


def test_corners_come_in_any_order():
    clockwise = [[380.0, 60], [845, 70], [850, 620], [375, 640]]
    for mixed in itertools.permutations(clockwise):
        assert from_top_left(mixed).tolist() == clockwise


@pytest.mark.parametrize("seed", range(8))
def test_a_square_on_its_tip_begins_at_its_top_on_every_processor(seed):
    rng = np.random.default_rng(seed)
    clockwise = np.array([[0.0, -0.7], [0.7, 0], [0, 0.7], [-0.7, 0]])
    mixed = rng.permutation(clockwise) + 1e-15 * rng.uniform(-1, 1, (4, 2))
    assert_allclose(from_top_left(mixed), clockwise, atol=1e-12)
