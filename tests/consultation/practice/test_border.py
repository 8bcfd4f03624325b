"""The border between sub-seasons: rules B1 to B5."""

import numpy as np
import pytest

from tenter import Answer, DrapeJudgement, FanJudgement, Kit, Method, PairJudgement, Suits
from tenter.consultation.axes import Axis
from tenter.consultation.findings.border import border
from tests.support.clients.practice_clients import CATEGORIES, VISIBLE_PAIRS, mean, served_at, width


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


def of_neighbours(kit: Kit, method: Method, x, category: str) -> tuple[list[str], list[str], list[str]]:
    """Return the cloths in the cells of the trait neighbour, of the season's other neighbours, and of the category."""
    region = method.region(category)
    others = {r.trait_neighbour for r in method.regions if r.season == region.season and r is not region}
    cells = {c: method.category_at(x[c]) for c in kit.ids if not kit[c].is_metal}
    return (
        [c for c in kit.ids if cells.get(c) == region.trait_neighbour],
        [c for c in kit.ids if cells.get(c) in others],
        [c for c in kit.ids if cells.get(c) == category],
    )


WAYS = {
    "pairs": lambda better, worse, _: [PairJudgement(better, worse, Answer.LEFT, 2)],
    "alone": lambda better, worse, _: [DrapeJudgement(better, Suits.WORKS), DrapeJudgement(worse, Suits.FAILS)],
    "against the client's": lambda better, worse, own: [
        PairJudgement(better, own, Answer.LEFT, 2),
        PairJudgement(worse, own, Answer.RIGHT, 2),
    ],
    "fan": lambda better, worse, own: [FanJudgement((better, own, worse))],
}


# common practice, no source. B1: the neighbour that shares the leading trait does better than the season's others.
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("category", CATEGORIES)
def test_border_cloths_agree_with_custom_or_contradict_it(sit, kit, bundled, x, category, way):
    shared, others, own = of_neighbours(kit, bundled, x, category)
    for better, worse, check in ((shared, others, "agrees"), (others, shared, "contradicts")):
        found = border(sit(*WAYS[way](better[0], worse[0], own[0])), category)
        assert found.check == check
        assert found.entries
        assert found.other_entries
        assert found.neighbour == bundled.region(category).trait_neighbour
        assert found.neighbour in found.text
        assert all(name in found.text for name in found.others)


# common practice, no source. B1: a client at the prototype, who answers without noise, never contradicts custom.
@pytest.mark.parametrize("category", CATEGORIES)
def test_a_typical_client_does_not_contradict_custom(sit, serve, kit, bundled, x, category):
    theta = np.array(bundled.region(category).prototype)
    shared, others, _ = of_neighbours(kit, bundled, x, category)
    worth = {c: -float(np.sum((x[c] - theta) ** 2)) / 2 for c in (*shared, *others)}
    suits = {c: Suits.WORKS if u > -1 else Suits.FAILS if u < -3 else Suits.TOLERABLE for c, u in worth.items()}
    assert border(sit(*(DrapeJudgement(c, s) for c, s in suits.items())), category).check in ("agrees", "level")
    assert serve(category).verdict.border.check != "contradicts"


# common practice, no source. B1: it is told from what was seen, and of cloths that were judged alike.
def test_the_border_is_untested_until_both_kinds_are_judged_alike(sit, kit, bundled, x):
    shared, others, own = of_neighbours(kit, bundled, x, "light summer")
    alone, met = DrapeJudgement(shared[0], Suits.WORKS), PairJudgement(others[0], own[0], Answer.RIGHT, 2)
    liked = DrapeJudgement(others[0], Suits.FAILS, source="client")
    for entries in ([], [alone], [met], [alone, met], [alone, liked]):
        found = border(sit(*entries), "light summer")
        assert found.check == "untested"
        assert found.entries == found.other_entries == ()
        assert "Not tested" in found.text
    even = [DrapeJudgement(c, Suits.TOLERABLE) for c in (shared[0], others[0])]
    assert border(sit(*even), "light summer").check == "level"
    equal = PairJudgement(shared[0], others[0], Answer.BOTH_GOOD)
    assert border(sit(equal), "light summer").check == "level"
    online = DrapeJudgement(others[0], Suits.FAILS, view="photograph")
    assert border(sit(alone, online), "light summer").check == "untested"
    void = sit(alone, DrapeJudgement(others[0], Suits.FAILS))
    void.void(2, "another cloth was lifted")
    assert border(void, "light summer").check == "untested"


def test_the_verdict_carries_the_border_where_the_method_names_neighbours(serve, kit):
    sitting, verdict, _ = serve("light summer")
    assert verdict.border == border(sitting, verdict.category)
    seasons_only = served_at(kit, Method.bundled("four-seasons"), (-0.5, 0.1, -0.9)).verdict
    assert seasons_only.trait_neighbour is None
    assert seasons_only.border is None


# Ours: a side that is clearly better, strength 2 or 3, tells more of the border than one that is slightly better.
@pytest.mark.parametrize(("strength", "check"), [(1, "level"), (2, "agrees"), (3, "agrees")])
def test_two_clear_answers_outweigh_a_slight_one_and_two_slight_ones_do_not(sit, kit, bundled, x, strength, check):
    shared, others, _ = of_neighbours(kit, bundled, x, "light summer")
    wins = [PairJudgement(shared[i], others[i], Answer.LEFT, strength) for i in range(2)]
    loss = PairJudgement(shared[0], others[1], Answer.RIGHT, 1)
    assert border(sit(*wins, loss), "light summer").check == check
    assert border(sit(loss, *wins[::-1]), "light summer").check == check
