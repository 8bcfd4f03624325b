"""Seasons and their sub-seasons: rules S1 to S6."""

import pytest

from tenter import (
    DrapeJudgement,
    Sitting,
    Suits,
)
from tenter.consultation.palette import Fit

from .clients import CATEGORIES


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
