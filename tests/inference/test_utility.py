"""Shapes of utility against their formulas, and laws that tell one from another."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from tenter.inference.utility import DEFAULT_SHAPES, Shape, UtilityForm, utilities

STEPS = st.lists(st.floats(-3, 3), min_size=3, max_size=3).map(np.array)
WEIGHTS = st.lists(st.floats(0.1, 3), min_size=3, max_size=3).map(tuple)
FORMS = st.sampled_from(list(UtilityForm))
IDEAL = np.array([[0.3, -0.4, 1.1]])


def away(shape, step):
    """Return the utility of a stimulus a step away from the ideal."""
    return shape.utility(IDEAL + step, IDEAL)[0, 0]


@pytest.mark.parametrize("shape", [*DEFAULT_SHAPES, Shape(UtilityForm.QUADRATIC, (0.7, 1.6, 0.7))])
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
    found = utilities(tuple(Shape(form, weights) for form in UtilityForm), x, theta)
    assert_allclose(found[0], -np.sum(w * apart**2, axis=2) / 2, atol=1e-12)
    assert_allclose(found[1], -0.9 * np.sum(w * np.abs(apart), axis=2), atol=1e-12)
    assert_allclose(found[2], -2.5 * (1 - np.exp(-np.sum(w * apart**2, axis=2) / 4)), atol=1e-12)


@given(FORMS, WEIGHTS, STEPS)
def test_a_step_and_its_mirror_image_suit_alike(form, weights, step):
    shape = Shape(form, weights)
    assert away(shape, step) == pytest.approx(away(shape, -step), abs=1e-9)


@pytest.mark.parametrize(("form", "degree"), [(UtilityForm.QUADRATIC, 2), (UtilityForm.CITY_BLOCK, 1)])
@given(WEIGHTS, STEPS, st.floats(0.1, 4))
def test_utility_grows_by_its_degree(form, degree, weights, step, times):
    shape = Shape(form, weights)
    assert away(shape, times * step) == pytest.approx(times**degree * away(shape, step), abs=1e-9)


@given(WEIGHTS, STEPS)
def test_a_saturating_utility_has_a_floor_and_is_quadratic_near_the_ideal(weights, step):
    saturating, quadratic = Shape(UtilityForm.SATURATING, weights), Shape(UtilityForm.QUADRATIC, weights)
    assert -2.5 <= away(saturating, 20 * step) <= away(saturating, step) <= 1e-12
    near = away(saturating, 1e-3 * step)  # 1 - exp(-x) = x - x²/2 + …
    assert near == pytest.approx(2.5 / 2 * away(quadratic, 1e-3 * step), abs=1e-9)


@given(WEIGHTS, STEPS, FORMS)
def test_more_weight_on_an_axis_never_lifts_a_step_along_it(weights, step, form):
    for axis in range(3):
        heavier = tuple(w + (0.5 if i == axis else 0) for i, w in enumerate(weights))
        assert away(Shape(form, heavier), step) <= away(Shape(form, weights), step) + 1e-9


def test_the_shapes_taken_together_prefer_no_axis():
    weights = np.array([shape.weights for shape in DEFAULT_SHAPES])
    shares = np.array([shape.share for shape in DEFAULT_SHAPES])
    assert_allclose(shares @ weights, shares.sum() * np.ones(3))
