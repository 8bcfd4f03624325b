"""Fans: which three cloths make one, in what order they are tried, and which of them tells most."""

from dataclasses import replace
from itertools import chain, combinations, permutations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter import FanJudgement
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.reading.fans import _orders, _triads
from tenter.consultation.reading.plan import HeldSoFar, Planner
from tenter.consultation.record.history import Entry

# In bench units: a step is seen from here on, and on the other axes no two cloths of a fan lie further apart.
STEP, APART = 0.5, 0.8


@pytest.fixture(scope="module", params=["as it is", "on a grid"])
def planner(request, demo_kit, bundled):
    """A planner of the demo kit; on a grid, many fans are exactly as good as others."""
    bench = bench_of(demo_kit, bundled)
    if request.param == "as it is":
        return Planner(bench)
    return Planner(replace(bench, coordinates=np.round(4 * bench.coordinates) / 4))


def fans(planner, axis):
    """Return every fan there is along an axis, rows in the order of its steps, with its score: three at a time."""
    bench, free = planner.bench, planner.free(HeldSoFar(()))
    of_one_hue = [np.flatnonzero(free & (bench.families == family)) for family in set(bench.families)]
    found = []
    for rows in chain.from_iterable(combinations(rows, 3) for rows in of_one_hue):
        x = bench.coordinates[list(rows)]
        spread = np.ptp(x, axis=0)
        others = np.delete(spread, axis.column).max()
        steps = np.diff(np.sort(x[:, axis.column]))
        if steps.min() > STEP - 1e-9 and others < APART + 1e-9:
            order = sorted(rows, key=lambda r: bench.coordinates[r, axis.column])
            found.append((round(spread[axis.column] - 2 * others, 6), tuple(map(int, order))))
    return found


@pytest.mark.parametrize("axis", Axis)
def test_the_fans_that_are_tried_are_the_widest_of_all_and_of_equals_the_first_of_the_kit(planner, axis):
    every = sorted(fans(planner, axis), key=lambda fan: (-fan[0], fan[1]))
    tried = _triads(planner, axis, HeldSoFar(()))
    assert tried == [rows for _, rows in every][: len(tried)]
    assert len(tried) == min(len(every), 60) > 2


def test_a_fan_that_was_ranked_is_not_tried_again_in_any_order(planner):
    first, *rest = _triads(planner, Axis.DEPTH, HeldSoFar(()))
    ids = [planner.bench.kit.ids[row] for row in first]
    for order in permutations(ids):
        left = _triads(planner, Axis.DEPTH, HeldSoFar((Entry(1, FanJudgement(order)),)))
        assert first not in left
        assert left[: len(rest) - 1] == rest[: len(rest) - 1]


@pytest.mark.parametrize("left", [0, 1, 2])
def test_two_cloths_of_a_hue_make_no_fan(planner, left):
    bench = planner.bench
    for family in set(bench.families):
        own = [bench.kit.ids[row] for row in np.flatnonzero(bench.families == family)]
        others = {i for i, f in zip(bench.kit.ids, bench.families, strict=True) if f != family}
        held = HeldSoFar((), frozenset({*own[left:], *others}))
        assert all(_triads(planner, axis, held) == [] for axis in Axis)


def test_a_phase_without_an_axis_has_no_fan(planner):
    assert _triads(planner, None, HeldSoFar(())) == []


def test_the_orders_of_three_steps_are_all_there_are_and_the_likeliest_goes_down():
    utility = np.array([[0.0, 0.0, -3.0], [-1.0, 0.0, 0.0], [-2.0, 0.0, -1.5]])
    found = _orders(utility, np.array([0.8]))
    assert found.shape == (6, 3)
    assert_allclose(found.sum(axis=0), 1)
    assert_allclose(found[:, 1], 1 / 6)
    orders = list(permutations(range(3)))
    assert [orders[i] for i in found.argmax(axis=0)[[0, 2]]] == [(0, 1, 2), (1, 2, 0)]
