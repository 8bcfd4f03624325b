"""What entries weigh: metals confirm, and together they move the odds of warm against cool by at most ln 2."""

import numpy as np
import pytest

from tenter.consultation.reading.weighing import metal_share, with_metals


def log_odds(joint, sides):
    mass = sides @ np.exp(joint - joint.max())
    return float(np.log(mass[0] / mass[1]))


@pytest.mark.parametrize("strength", [0.05, 1, 5, 40, 300])
@pytest.mark.parametrize("seed", range(8))
def test_metals_double_the_odds_of_a_side_at_most(strength, seed):
    rng = np.random.default_rng(seed)
    place = rng.normal(rng.normal(), 1.5, 60)
    warm = 1 / (1 + np.exp(-8 * place))
    sides = np.stack([warm, 1 - warm])
    cloth, metal = rng.normal(0, 2, 60), strength * (np.tanh(place) + 0.3 * rng.normal(size=60))
    share = metal_share(cloth, metal, sides)
    moved = log_odds(with_metals(cloth, metal, sides), sides) - log_odds(cloth, sides)
    assert 0 < share <= 1
    assert abs(moved) <= np.log(2) + 1e-5
    if share < 1:
        assert abs(moved) == pytest.approx(np.log(2), abs=1e-5)  # and no less than they may


@pytest.mark.parametrize("side", [0, 1])
@pytest.mark.filterwarnings("error")
def test_metals_have_a_share_where_the_cloths_leave_one_side_alone(side):
    sides = np.zeros((2, 5))
    sides[side] = 1
    for metal in (np.linspace(-3, 0, 5), np.linspace(0, -900, 5)):
        assert 0 < metal_share(np.zeros(5), metal, sides) <= 1
