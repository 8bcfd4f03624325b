"""Seasons and their sub-seasons: rules S1 to S6."""

from itertools import permutations

import numpy as np
import pytest

from tenter import Answer, DrapeJudgement, PairJudgement, Sitting, Suits
from tenter.consultation.axes import Axis
from tenter.consultation.palette.palette_parts import Fit
from tenter.inference.utility import UtilityForm
from tests.support.clients.practice_clients import (
    CATEGORIES,
    COOL,
    DARK_PAIR,
    VISIBLE_PAIRS,
    WARM,
    answer_of,
    undertone_answers,
)


# common practice, no source. S1: each season has three sub-seasons, each named by a leading trait.
def test_every_season_has_three_sub_seasons(bundled):
    traits = {
        season: {str(r.leading_trait) for r in bundled.regions if r.season == season} for season in bundled.seasons
    }
    assert traits == {
        "spring": {"light", "warm", "bright"},
        "summer": {"light", "cool", "soft"},
        "autumn": {"soft", "warm", "deep"},
        "winter": {"deep", "cool", "bright"},
    }
    assert len(bundled.categories) == 12
    led = [str(r.leading_trait) for r in bundled.regions]
    assert all(led.count(trait) == 2 for trait in led)


# common practice, no source. S2: the whole season is usable; the sub-season is a refinement.
@pytest.mark.parametrize("category", CATEGORIES)
def test_a_siblings_cloths_are_never_below_yes(serve, bundled, category):
    _, verdict, palette = serve(category)
    in_season = [e.fit for e in palette.entries if bundled.season_of[e.category] == verdict.season]
    assert in_season
    assert set(in_season) <= {Fit.BEST, Fit.YES}


# common practice, no source. S4: overshooting on the leading axis points away from that sub-season, not its season.
@pytest.mark.parametrize("category", CATEGORIES)
def test_overshooting_the_leading_trait_points_away_from_its_sub_season(serve, kit, bundled, x, category):
    region = bundled.region(category)
    trait = region.leading_trait
    word = {"deep": "too-dark"}.get(trait, f"too-{trait}")
    in_season = [c for c in kit.ids if bundled.season_of[bundled.category_at(x[c])] == region.season]
    furthest = max((c for c in in_season if not kit[c].is_metal), key=lambda c: x[c][trait.axis.column] * trait.sign)
    sitting, _, _ = serve(category)
    again = Sitting(kit, bundled, seed=7).record_all(e.judgement for e in sitting.entries)
    again.record(DrapeJudgement(furthest, Suits.TOLERABLE))
    told = Sitting(kit, bundled, seed=7).record_all(e.judgement for e in sitting.entries)
    told.record(DrapeJudgement(furthest, Suits.TOLERABLE, flags=(f"{furthest}:{word}",)))
    fall = again.probabilities()[category] - told.probabilities()[category]
    season_fall = again.season_probabilities()[region.season] - told.season_probabilities()[region.season]
    assert fall > 0
    assert abs(season_fall) < fall


# common practice, no source. S3: a weak undertone is unlikely to be the leading trait. Held for clients whose utility
# does not saturate: one who saturates may answer "a little" to anything while depth and clarity are unknown.
@pytest.mark.parametrize(("side", "seasons"), [("warm", WARM), ("cool", COOL)])
def test_a_weak_undertone_is_unlikely_to_lead(sit, bundled, side, seasons):
    sitting = sit(*undertone_answers(side, 1, [*VISIBLE_PAIRS, DARK_PAIR]))
    posterior, frame = sitting.posterior(), sitting.focus.frame
    for shape, weights in zip(posterior.lattice.shapes, posterior.weights, strict=True):
        if shape.form is not UtilityForm.SATURATING:
            masses = dict(zip(bundled.categories, frame.categories @ weights.sum(axis=0), strict=True))
            for season in seasons:
                own = [r for r in bundled.regions if r.season == season]
                leads = [masses[r.name] for r in own if r.leading_trait == side]
                siblings = [masses[r.name] for r in own if r.leading_trait != side]
                assert sum(leads) < np.mean(siblings)


def typical_pair(kit, x, method, better, worse):
    """Return two cloths of one hue family, each in its category's cell, that lie nearest to the prototypes."""
    cells = {c: method.category_at(x[c]) for c in kit.ids if not kit[c].is_metal}
    pairs = [
        (a, b)
        for a, b in permutations(cells, 2)
        if (cells[a], cells[b]) == (better, worse) and kit[a].hue_family == kit[b].hue_family
    ]
    prototypes = [np.array(method.region(name).prototype) for name in (better, worse)]
    return min(pairs, key=lambda p: sum(np.linalg.norm(x[c] - q) for c, q in zip(p, prototypes, strict=True)))


def elimination(kit, x, method, category, strength):
    siblings = [r.name for r in method.regions if r.season == method.season_of[category] and r.name != category]
    pairs = [typical_pair(kit, x, method, category, sibling) for sibling in siblings]
    return [PairJudgement(*pair, Answer.LEFT, strength) for pair in pairs]


# common practice, no source. S5: elimination: two siblings lose to the third in same-hue pairs. Each pair holds the
# cloths that are most typical of the two, as a consultant would.
@pytest.mark.parametrize("strength", [1, 2])
@pytest.mark.parametrize("category", CATEGORIES)
def test_the_sibling_that_wins_is_the_highest_of_its_season(sit, kit, bundled, x, category, strength):
    probabilities = sit(*elimination(kit, x, bundled, category, strength)).probabilities()
    season = [c for c in CATEGORIES if bundled.season_of[c] == bundled.season_of[category]]
    assert max(season, key=lambda c: probabilities[c]) == category


# common practice, no source. S5: where the entries before have settled the season, it is the highest of all.
@pytest.mark.parametrize("category", CATEGORIES)
def test_the_sibling_that_wins_is_the_highest_of_all_once_the_season_is_settled(sit, kit, bundled, x, category):
    season = bundled.season_of[category]
    centre = np.mean([r.prototype for r in bundled.regions if r.season == season], axis=0)
    steps = {
        Axis.CLARITY: [("D073", "D075"), ("D076", "D078"), ("D079", "D081")],
        Axis.DEPTH: [("D082", "D083"), ("D084", "D085")],
    }
    before = [
        *undertone_answers(bundled.side_of[season], 1),
        *(
            PairJudgement(*pair, Answer.LEFT if centre[axis.column] > 0 else Answer.RIGHT)
            for axis, pairs in steps.items()
            for pair in pairs
        ),
    ]
    assert sit(*before).season_probabilities()[season] > 0.9
    probabilities = sit(*before, *elimination(kit, x, bundled, category, 2)).probabilities()
    assert max(probabilities, key=lambda c: probabilities[c]) == category


# common practice, no source. S6: in-season comparisons stay within a hue family.
@pytest.mark.parametrize("category", CATEGORIES)
def test_proposed_sub_season_pairs_share_their_hue_family(sit, kit, bundled, x, category):
    sitting, theta = sit(), np.array(bundled.region(category).prototype)
    proposed = 0
    while sitting.phase in ("undertone", "clarity", "sub-season"):
        left, right = sitting.propose()
        if sitting.phase == "sub-season":
            assert kit[left].hue_family == kit[right].hue_family
            proposed += 1
        sitting.record(PairJudgement(left, right, *answer_of(theta, x[left], x[right])))
    assert proposed >= 2
