"""What follows for cloths: rules D1 to D4, W1, W2, W5 and W6, and that labels decide nothing."""

from functools import cache

import numpy as np
import pytest

from tenter import Answer, Kit, PairJudgement, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.palette.palette import palette
from tenter.consultation.palette.palette_parts import Fit
from tenter.consultation.palette.wear_role import Role
from tenter.consultation.record.judgements import GarmentJudgement
from tests.support.clients.practice_clients import CATEGORIES, copied, mean, served_at, undertone_answers

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


# common practice, no source. W1: a cloth a little off the ideal goes away from the face, with a better one near it. A
# tolerance is 2.2 bench units here; up to half of it a cloth is worn near the face.
@pytest.mark.parametrize("category", CATEGORIES)
def test_a_cloth_a_little_off_the_ideal_goes_away_from_the_face(serve, bundled, category):
    _, verdict, palette = serve(category)
    season = [e for e in palette.entries if bundled.season_of[e.category] == verdict.season and not e.moved]
    near = [e for e in season if e.distance <= 1.1 and e.fit is Fit.BEST]
    off = [e for e in season if 1.1 < e.distance <= 2.2]
    assert near
    assert off
    assert {e.role for e in near} == {Role.NEAR_FACE}
    assert {e.role for e in off} == {Role.AWAY}
    assert all(partner.distance < e.distance for e in off for partner in near)


# common practice, no source. W5: own garments are evidence, wide as unmeasured.
@pytest.mark.parametrize(("lower", "higher"), [("D074", "D073"), ("D077", "D076"), ("D080", "D079")])
def test_a_brighter_garment_that_was_better_bounds_clarity_from_below(sit, lower, higher):
    before = undertone_answers("cool", 1)
    plain = sit(*before)
    worn = sit(*before, GarmentJudgement(lower, ("brighter",), better=True))
    held = sit(*before, PairJudgement(higher, lower, Answer.LEFT))
    gained = [mean(s, "clarity") - mean(plain, "clarity") for s in (worn, held)]
    assert 0 < gained[0] < gained[1]  # less than a measured cloth tells
    assert worn.estimates()[Axis.CLARITY].low > plain.estimates()[Axis.CLARITY].low
    assert worn.estimates()[Axis.CLARITY].high > plain.estimates()[Axis.CLARITY].high - 0.1


# common practice, no source. W6: two cloths worn together are judged as a pair, and not as two wins.
def test_two_cloths_worn_together_are_judged_as_a_pair(sit):
    before = undertone_answers("warm", 1)
    together = PairJudgement(("D040", "D003"), ("D040", "D013"), Answer.LEFT)
    sitting = sit(*before, together)
    assert len(sitting.evidence) == len(before) + 1
    assert sitting.evidence[-1].judgement.sides == (("D040", "D003"), ("D040", "D013"))
    shifts = [mean(s, "clarity") - mean(sit(*before), "clarity") for s in (sitting, sit(*before, _win("D003", "D013")))]
    assert 0 < shifts[0] / shifts[1] < 1  # the same way, and less than had the one won by itself
    twice = sit(*before, _win("D003", "D013"), _win("D040", "D013"))
    assert sitting.probabilities() != twice.probabilities()


def _win(better: str, worse: str) -> PairJudgement:
    return PairJudgement(better, worse, Answer.LEFT)


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
