"""What an entry speaks for: the category that gains most by it, among those worth speaking of."""

from types import SimpleNamespace

import numpy as np
import pytest

from tenter.consultation.reasons import _gaining_most

NAMES = ("one", "other", "third")


def gaining(whole, rest):
    """Return the category that gains most by entries 3 and 4, by the odds with all entries and without these two."""
    masses = {(): np.array(whole), (3, 4): np.array(rest)}
    leave_out = SimpleNamespace(category_masses=lambda gone: masses[tuple(gone)])
    sitting = SimpleNamespace(without=lambda: leave_out, method=SimpleNamespace(categories=NAMES))
    return _gaining_most(sitting, (3, 4))


@pytest.mark.parametrize(
    ("whole", "rest", "most"),
    [
        ((0.6, 0.3, 0.1), (0.7, 0.25, 0.05), "third"),  # doubled, where another gained more in percent
        ((0.6, 0.3, 0.1), (0.2, 0.5, 0.3), "one"),
        ((0.5, 0.3, 0.2), (0.6, 0.3, 0.1), "third"),
        ((0.6, 0.35, 0.05), (0.7, 0.3, 0.0), "third"),  # nothing else speaks for it at all
        ((0.6, 0.396, 0.004), (0.7, 0.3, 0.0), "other"),  # of the third nothing is worth saying
        ((0.0, 0.6, 0.4), (0.0, 0.7, 0.3), "third"),
        ((0.5, 0.3, 0.2), (0.5, 0.3, 0.2), "one"),  # of equals the first
    ],
)
def test_an_entry_speaks_for_the_category_whose_odds_it_multiplies_most(whole, rest, most):
    assert gaining(whole, rest) == most
