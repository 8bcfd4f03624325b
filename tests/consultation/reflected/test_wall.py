"""The share of what a place sees that a wall fills, beside closed forms; and what the place of a wall changes."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.consultation.cloths.reflection_factors import REFLECTION_REGIONS
from tenter.consultation.reflected.wall import WallPlace, configuration_factor, wall_factors
from tenter.errors import TenterError


def rectangle(a, b, c):
    """Return a rectangle a by b, a corner of it straight ahead of the origin at the distance c."""
    return np.array([[0, 0, c], [a, 0, c], [a, b, c], [0, b, c]], dtype=float)


# J. R. Howell, A Catalog of Radiation Heat Transfer Configuration Factors, B-3 and B-4 (numbers from memory): a plane
# element parallel to a rectangle, and perpendicular to it, the normal through a corner.
@pytest.mark.parametrize(("a", "b", "c"), [(1, 1, 1), (2, 1, 0.5), (0.3, 4, 1.5), (10, 10, 0.1)])
def test_the_closed_forms_of_rectangles(a, b, c):
    A, B = a / c, b / c
    p, q = np.sqrt(1 + A * A), np.sqrt(1 + B * B)
    parallel = (A / p * np.arctan(B / p) + B / q * np.arctan(A / q)) / (2 * np.pi)
    assert_allclose(configuration_factor(rectangle(a, b, c), (0, 0, 1)), parallel, atol=1e-12)
    X, Y = a / b, c / b  # the element looks along a
    root = np.sqrt(X * X + Y * Y)
    perpendicular = (np.arctan(1 / Y) - Y / root * np.arctan(1 / root)) / (2 * np.pi)
    assert_allclose(configuration_factor(rectangle(a, b, c), (1, 0, 0)), perpendicular, atol=1e-12)


@pytest.mark.parametrize("degrees", [0, 30, 75, 120])
def test_an_endless_wall_fills_what_the_tilt_leaves(degrees):
    tilt = np.radians(degrees)
    endless = np.array([[-1, -1, 1e-4], [1, -1, 1e-4], [1, 1, 1e-4], [-1, 1, 1e-4]]) * 1e4
    assert_allclose(configuration_factor(endless, (np.sin(tilt), 0, np.cos(tilt))), (1 + np.cos(tilt)) / 2, atol=1e-3)


def test_random_rays_agree():
    rng = np.random.default_rng(2)
    corners, normal = rectangle(2, 1.5, 1) - np.array([0.7, 0.9, 0]), np.array([0.5, -0.3, 0.6])
    normal /= np.linalg.norm(normal)
    rays = rng.normal(size=(400_000, 3))
    rays /= np.linalg.norm(rays, axis=1, keepdims=True)
    ahead = rays[:, 2] > 1e-9
    hits = rays[ahead] / rays[ahead, 2:]
    inside = (np.abs(hits[:, 0] - 0.3) < 1) & (np.abs(hits[:, 1] + 0.15) < 0.75)
    share = np.maximum(rays[ahead] @ normal, 0)[inside].sum() * 4 / len(rays)
    assert_allclose(configuration_factor(corners, normal), share, atol=4e-3)


def test_what_is_behind_fills_nothing():
    assert configuration_factor(rectangle(1, 1, 1), (0, 0, -1)) == 0


def test_a_nearer_wall_throws_more_and_the_side_it_is_on_gets_most():
    near, far = (wall_factors(WallPlace.FRONT, metres) for metres in (0.5, 3.0))
    assert list(near) == list(REFLECTION_REGIONS)
    assert all(near[region].value > far[region].value for region in near)
    left, right = wall_factors(WallPlace.LEFT, 1.0), wall_factors(WallPlace.RIGHT, 1.0)
    assert left["jaw_left"].value > 5 * left["jaw_right"].value
    assert left["jaw_left"].value == pytest.approx(right["jaw_right"].value)
    assert left["forehead"].value == pytest.approx(right["forehead"].value)
    behind = wall_factors(WallPlace.BEHIND, 1.0)
    assert all(behind[region].value < 0.2 * near[region].value for region in near)
    assert all(factor.low < factor.value < factor.high for factor in near.values())


@pytest.mark.parametrize("metres", [0, -1, 50, float("nan")])
def test_a_distance_that_no_room_has_is_refused(metres):
    with pytest.raises(TenterError, match="distance of a wall"):
        wall_factors(WallPlace.FRONT, metres)
