"""Clarity and depth: rules I1 to I7, and D3."""

import numpy as np
import pytest

from tenter import (
    DrapeJudgement,
    Suits,
)

from .clients import (
    mean,
    served_at,
)


# common practice, no source. I1: too bright, and the eye goes to the cloth; right, and it goes to the face.
@pytest.mark.parametrize("cloth", ["D073", "D076", "D057", "D012", "D051"])
def test_an_eye_drawn_to_the_cloth_puts_the_ideal_below_it(sit, x, cloth):
    plain, drawn, not_drawn = (
        mean(sit(DrapeJudgement(cloth, Suits.TOLERABLE, signs=signs)), "clarity")
        for signs in ((), (f"{cloth}:cloth-first",), (f"{cloth}:face-first",))
    )
    assert drawn < min(plain, x[cloth][2])
    assert drawn < not_drawn


# common practice, no source. I2: the answer may lie between two cloths.
@pytest.mark.parametrize(("bright", "soft"), [("D073", "D075"), ("D076", "D078"), ("D012", "D031"), ("D014", "D029")])
def test_an_answer_may_lie_between_two_cloths(sit, x, bright, soft):
    told = sit(
        DrapeJudgement(bright, Suits.TOLERABLE, flags=(f"{bright}:too-bright",)),
        DrapeJudgement(soft, Suits.TOLERABLE, flags=(f"{soft}:too-soft",)),
    )
    assert x[soft][2] < mean(told, "clarity") < x[bright][2]


# common practice, no source. D3: too light is an error of its own.
@pytest.mark.parametrize("cloth", ["D001", "D018", "D082", "D084", "D019"])
def test_too_light_lowers_depth_and_leaves_undertone(sit, cloth):
    flagged = sit(DrapeJudgement(cloth, Suits.TOLERABLE, flags=(f"{cloth}:too-light",)))
    plain = sit(DrapeJudgement(cloth, Suits.TOLERABLE))
    assert mean(flagged, "depth") < mean(plain, "depth") - 0.05
    assert mean(flagged, "undertone") == pytest.approx(mean(plain, "undertone"), abs=0.05)


# common practice, no source. I5: undertone and clarity give the season at middle depth.
@pytest.mark.parametrize(
    ("undertone", "clarity", "season"),
    [(1, 1, "spring"), (-1, -1, "summer"), (1, -1, "autumn"), (-1, 1, "winter")],
)
def test_undertone_and_clarity_give_the_season(kit, bundled, undertone, clarity, season):
    theta = np.array([0.8 * undertone, 0.0, 0.8 * clarity])
    assert bundled.season_of[bundled.category_at(theta)] == season
    found = served_at(kit, bundled, tuple(theta)).sitting.season_probabilities()
    assert max(found, key=lambda s: found[s]) == season


# common practice, no source. I5: the exact midpoint is open.
def test_the_exact_midpoint_is_open(kit, bundled):
    assert served_at(kit, bundled, (0.0, 0.0, 0.0)).verdict.odds_word == "open"
