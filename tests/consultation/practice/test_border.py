"""The border between sub-seasons: rules B1 to B5."""

import pytest

from tenter import (
    Answer,
    PairJudgement,
)
from tenter.consultation.axes import Axis

from .clients import CATEGORIES, VISIBLE_PAIRS, mean, width


# common practice, no source. B2: shared traits join light: spring-summer; soft: summer-autumn; deep: autumn-winter;
# bright: winter-spring; warm: spring-autumn; cool: summer-winter.
def test_every_sub_season_has_one_trait_neighbour(bundled):
    neighbour = {r.name: r.trait_neighbour for r in bundled.regions}
    assert all(neighbour[neighbour[name]] == name != neighbour[name] for name in bundled.categories)
    joined = {
        str(r.leading_trait): frozenset((r.season, bundled.season_of[r.trait_neighbour])) for r in bundled.regions
    }
    assert joined == {
        "light": frozenset(("spring", "summer")),
        "soft": frozenset(("summer", "autumn")),
        "deep": frozenset(("autumn", "winter")),
        "bright": frozenset(("winter", "spring")),
        "warm": frozenset(("spring", "autumn")),
        "cool": frozenset(("summer", "winter")),
    }
    assert all(bundled.region(n).leading_trait == bundled.region(neighbour[n]).leading_trait for n in neighbour)


# common practice, no source. B3: the trait neighbour is the second by custom; the runner-up by odds may be another.
@pytest.mark.parametrize("category", CATEGORIES)
def test_trait_neighbour_and_runner_up_are_both_returned(serve, bundled, category):
    verdict = serve(category).verdict
    assert verdict.trait_neighbour == bundled.region(verdict.category).trait_neighbour
    assert verdict.runner_up == sorted(verdict.probabilities, key=lambda c: -verdict.probabilities[c])[1]
    assert verdict.neighbours_differ == (verdict.runner_up != verdict.trait_neighbour)


# common practice, no source. B5: equal answers across a border place the client on it.
@pytest.mark.parametrize(
    ("axis", "pair"),
    [
        *(("undertone", p) for p in VISIBLE_PAIRS),
        *(("depth", p) for p in (("D082", "D083"), ("D084", "D085"))),
        *(("clarity", p) for p in (("D073", "D075"), ("D076", "D078"))),
    ],
)
def test_equal_answers_place_the_client_between(sit, x, axis, pair):
    sitting = sit(PairJudgement(*pair, Answer.BOTH_GOOD), PairJudgement(*pair[::-1], Answer.BOTH_GOOD))
    low, high = sorted(x[cloth][Axis(axis).column] for cloth in pair)
    assert low < mean(sitting, axis) < high
    before = abs(mean(sit(), axis) - (low + high) / 2)
    assert abs(mean(sitting, axis) - (low + high) / 2) <= before + 0.05
    assert width(sitting, axis) < width(sit(), axis)
