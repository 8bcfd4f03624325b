"""What follows for cloths: rules D1 to D4 and W2, and that labels decide nothing."""

from functools import cache

import numpy as np
import pytest

from tenter import (
    Kit,
    Sitting,
)
from tenter.consultation.palette import palette

from .clients import (
    CATEGORIES,
    copied,
    served_at,
)

# Equal in L* and C*: rosy-ashy (hue 15) and golden (hue 85).
BROWNS = {
    f"{name}-{tone}": (L, 9 * float(np.cos(np.radians(h))), 9 * float(np.sin(np.radians(h))))
    for name, L in (("beige", 72.0), ("brown", 42.0))
    for tone, h in (("rosy", 15.0), ("golden", 85.0))
}


# common practice, no source. D1: black suits the deep; a season's own dark neutral suits at least as well.
@pytest.mark.parametrize("category", ["deep autumn", "deep winter"])
def test_a_deep_client_wears_dark_neutrals_before_grey(serve, x, category):
    _, _, palette = serve(category)
    worth = {e.drape.id: e.expected_utility for e in palette.entries}
    dark = [e.expected_utility for e in palette.neutrals if x[e.drape.id][1] < -1 and e.drape.id != "D092"]
    assert max(dark) >= worth["D092"] > worth["D094"]


# common practice, no source. D4: a neutral's undertone counts.
@pytest.mark.parametrize("category", CATEGORIES)
def test_a_golden_neutral_suits_the_warm_and_a_rosy_one_the_cool(kit, bundled, category):
    _, _, palette = served_at(_with_browns(kit), bundled, bundled.region(category).prototype)
    worth = {e.drape.id: e.expected_utility for e in palette.entries}
    warm = bundled.side_of[bundled.season_of[category]] == "warm"
    for name in ("beige", "brown"):
        assert (worth[f"{name}-golden"] > worth[f"{name}-rosy"]) == warm


@cache
def _with_browns(kit: Kit) -> Kit:
    return copied(kit, kit.lab, BROWNS)


# common practice, no source. W2: the best neutral is the in-season one closest in depth and clarity. In a kit
# with neutrals of every depth, as what was seen of one comes before where it lies.
@pytest.mark.parametrize(("deep", "light"), [("deep autumn", "soft autumn"), ("soft summer", "light summer")])
def test_the_best_neutral_follows_the_ideals_depth(kit, bundled, deep, light):
    more = _with_browns(kit)
    where = dict(zip(more.ids, bundled.coordinates(more), strict=True))
    found = [served_at(more, bundled, bundled.region(c).prototype).palette.neutrals[0] for c in (deep, light)]
    depths = [where[e.drape.id][1] for e in found]
    assert depths[0] < depths[1]


# -- the shopkeeper's labels ---------------------------------------------------------------------------------------


# common practice, no source: a cloth's group is the cell its coordinates lie in, never its label in the kit.
@pytest.mark.parametrize("client", ["K2", "K3"])
def test_group_labels_decide_nothing(demo_sittings, demo_verdicts, demo_judgements, other_labels, bundled, client):
    assert [d.group for d in other_labels.drapes] != [d.group for d in demo_sittings[client].kit.drapes]
    sitting = Sitting(other_labels, bundled, seed=7).record_all(demo_judgements[client])
    assert sitting.probabilities() == demo_sittings[client].probabilities()
    assert sitting.propose() == demo_sittings[client].propose()
    verdict, told = sitting.verdict(), demo_verdicts[client]
    for name in ("category", "probability", "runner_up", "settling_pair", "traits"):
        assert getattr(verdict, name) == getattr(told, name)
    assert [(r.entries, r.log_odds) for r in verdict.reasons] == [(r.entries, r.log_odds) for r in told.reasons]
    ours, theirs = palette(sitting, verdict), palette(demo_sittings[client], told)
    for role in ("entries", "neutrals", "whites", "metals"):
        assert [(e.drape.id, e.fit, e.expected_utility) for e in getattr(ours, role)] == [
            (e.drape.id, e.fit, e.expected_utility) for e in getattr(theirs, role)
        ]
