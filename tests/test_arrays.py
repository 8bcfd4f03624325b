"""Values as they are compared."""

import numpy as np
from numpy.testing import assert_array_equal

from tenter.arrays import steady


def test_what_rounding_leaves_is_taken_away():
    assert 0.1 + 0.2 > 0.3
    assert steady(0.1 + 0.2) == 0.3
    assert_array_equal(steady(np.array([0.5 - 1e-12, 0.5 + 1e-12, 99.99999999999997])), [0.5, 0.5, 100])


def test_what_is_known_is_kept():
    assert_array_equal(steady(np.array([1.12345678, -3.5, np.inf])), [1.12345678, -3.5, np.inf])


def test_nothing_is_below_nought_by_its_sign_alone():
    assert not np.signbit(steady(np.array([-0.0, -1e-12]))).any()
    assert not np.signbit(steady(-0.0))


def test_the_first_of_near_ties_is_chosen():
    values = np.array([0.1, 0.7, 0.7 + 1e-14, 0.7 - 1e-14])
    assert int(np.argmax(values)) == 2
    assert int(np.argmax(steady(values))) == 1
