"""What is known of a client, condensed: as the posterior says, to within what is shown of it."""

from itertools import product

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.consultation.axes import Axis
from tenter.consultation.personal.suitability import Known, condensed, moved_to, prototype, weighted_interval
from tenter.errors import TenterError
from tenter.inference.utility import DEFAULT_SHAPES, Shape, UtilityForm, utilities
from tests.support.clients.palette_clients import CATEGORIES, METHOD, client, known_about

QUADRATIC = (Shape(UtilityForm.QUADRATIC),)


@pytest.fixture(scope="module")
def posterior(demo_sittings):
    found = demo_sittings["K4"].posterior()
    return found, condensed(found, METHOD)


def test_suitability_is_1_at_the_ideal_and_falls_to_037_at_the_edge_of_what_works():
    sure = Known(METHOD, QUADRATIC, np.zeros((1, 3)), np.ones((1, 1)))
    places = np.array([[0.0, 0, 0], [np.sqrt(2), 0, 0], [0, 0, 5]])
    assert_allclose(sure.suitability(places), [1, np.exp(-1), np.exp(-12.5)], atol=1e-9)
    assert_allclose(sure.interval(places), np.stack([sure.suitability(places)] * 2, axis=1), atol=1e-9)


def test_a_condensed_posterior_is_small_and_has_the_same_mean(posterior):
    full, known = posterior
    assert len(known.ideals) <= 343
    assert_allclose(known.ideal, full.mean, atol=5e-3)
    assert known.of_ideal.sum() == pytest.approx(1)


def test_a_condensed_posterior_says_the_same_of_every_colour(posterior):
    full, known = posterior
    places = np.array(list(product((-1.5, -0.5, 0.5, 1.5), repeat=3)))
    of_shape = full.weights.sum(axis=1)
    exact = sum(
        np.exp(u) @ w for u, w in zip(utilities(known.shapes, places, full.lattice.ideals), of_shape, strict=True)
    )
    assert_allclose(known.suitability(places), exact, atol=0.01)


def test_its_odds_are_those_of_the_sitting_to_a_few_percent(posterior, demo_sittings):
    _, known = posterior
    stated = demo_sittings["K4"].probabilities()
    assert max(abs(known.masses[c] - stated[c]) for c in CATEGORIES) < 0.05
    assert max(known.masses, key=known.masses.get) == max(stated, key=stated.get)


def test_the_interval_holds_the_suitability_and_is_wider_of_who_is_less_known():
    theta = METHOD.region("cool summer").prototype
    places = np.array([[-1.0, 0.5, -0.4], [0.5, -1, 1]])
    sure, unsure = known_about(theta, 0.15), known_about(theta, 0.45)
    for known in (sure, unsure):
        low, high = known.interval(places).T
        assert np.all((low <= known.suitability(places)) & (known.suitability(places) <= high))
    width = [np.ptp(known.interval(places), axis=1) for known in (sure, unsure)]
    assert np.all(width[0] < width[1])


@pytest.mark.parametrize("axis", Axis)
def test_what_is_off_is_told_by_axis_with_its_side(axis):
    known = known_about((0.0, 0.0, 0.0))
    for sign in (1, -1):
        place = np.zeros(3)
        place[axis.column] = sign * 1.5
        off = known.off(place)
        assert off[axis].mean == pytest.approx(sign * 1.5)
        assert off[axis].low < off[axis].mean < off[axis].high
        assert all(off[other].mean == pytest.approx(0, abs=1e-9) for other in Axis if other is not axis)


def test_within_a_category_only_its_places_count():
    border = tuple(np.mean([METHOD.region(c).prototype for c in ("light spring", "light summer")], axis=0))
    known = known_about(border)
    for category in ("light spring", "light summer"):
        part = known.within(category)
        assert {METHOD.category_at(theta) for theta in part.ideals} == {category}
        assert part.masses[category] == pytest.approx(1)
    assert known.within("deep winter") is known


def test_a_result_named_by_the_consultant_carries_what_is_known_there():
    known, _ = client("soft autumn")
    there = np.array([0.5, -1.0, 0.0])
    moved = moved_to(known, there)
    assert_allclose(moved.ideal, there, atol=1e-9)
    assert np.array_equal(moved.weights, known.weights)


def test_a_cards_client_is_the_prototype_and_nothing_unsure():
    card = prototype(METHOD, "deep autumn", DEFAULT_SHAPES)
    assert card.masses["deep autumn"] == 1
    assert card.suitability(np.array([METHOD.region("deep autumn").prototype]))[0] == 1


def test_a_weighted_interval_of_evenly_weighted_numbers_is_their_middle_nine_tenths():
    low, high = weighted_interval(np.arange(1000.0), np.full(1000, 0.001))
    assert (low, high) == pytest.approx((49.5, 949.5))


@pytest.mark.parametrize(
    ("ideals", "weights", "said"),
    [
        (np.zeros((2, 3)), np.ones((1, 3)), "need weights of shapes"),
        (np.full((2, 3), np.nan), np.ones((1, 2)), "finite places"),
        (np.zeros((2, 3)), np.zeros((1, 2)), "not all 0"),
        (np.zeros((2, 3)), np.array([[1.0, -1.0]]), "at least 0"),
    ],
)
def test_what_cannot_be_known_says_so(ideals, weights, said):
    with pytest.raises(TenterError, match=said):
        Known(METHOD, QUADRATIC, ideals, weights)
