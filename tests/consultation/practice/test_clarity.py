"""Clarity and depth: rules I1 to I5, and D3."""

from itertools import combinations, permutations

import numpy as np
import pytest

from tenter import Answer, DrapeJudgement, FanJudgement, PairJudgement, Suits
from tenter.consultation.findings.hue_dependence import hue_offsets
from tenter.consultation.reading.evidence import Reader
from tenter.inference.planning import answer_information
from tests.support.clients.practice_clients import mean, served_at


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


# common practice, no source. I2: too bright on one, too soft but tolerable on another: between, nearer the second.
def test_an_answer_lies_nearer_the_cloth_that_was_tolerable(sit, kit, x):
    found = 0
    for bright, soft in permutations([c for c in kit.ids if not kit[c].is_metal], 2):
        apart, middle = x[bright] - x[soft], (x[bright][2] + x[soft][2]) / 2
        matched = kit[bright].hue_family == kit[soft].hue_family and np.abs(apart[:2]).max() < 0.6 and apart[2] > 0.9
        # Two entries do not outweigh the prior, so that it holds where the prior's mean, 0, does not speak against it.
        if matched and x[soft][2] <= 0 <= middle:
            told = sit(
                DrapeJudgement(bright, Suits.FAILS, flags=(f"{bright}:too-bright",)),
                DrapeJudgement(soft, Suits.TOLERABLE, flags=(f"{soft}:too-soft",)),
            )
            assert x[soft][2] < mean(told, "clarity") < middle, (bright, soft)
            found += 1
    assert found >= 10


# common practice, no source. I3: the order of three steps says more than which of any two of them is better.
@pytest.mark.parametrize(
    "fan",
    [
        *(("D075", "D074", "D073"), ("D078", "D077", "D076"), ("D081", "D080", "D079")),
        *(("D026", "D021", "D056"), ("D033", "D038", "D011"), ("D029", "D047", "D014")),
    ],
)
@pytest.mark.parametrize("classes", ["seasons", "categories"])
def test_the_order_of_a_fan_says_more_than_which_of_two_is_better(sit, fan, classes):
    sitting = sit()
    reader, frame = Reader(sitting.bench, sitting.planning_frame), sitting.planning_frame
    weights = sitting.planning_posterior.weights.ravel()
    members = np.tile(getattr(frame, classes), (1, int(np.prod(frame.lattice.shape[:2])))) * weights

    def information(*answers: list[FanJudgement | PairJudgement]) -> float:
        """The expected information of a question, each of whose answers may be given in several ways."""
        told = [
            sum(np.exp(np.broadcast_to(reader.log_likelihood(way), frame.lattice.shape)).ravel() for way in ways)
            for ways in answers
        ]
        return float(answer_information((np.array(told) / np.sum(told, axis=0))[None], members)[0])

    of_fan = information(*([FanJudgement(order)] for order in permutations(fan)))
    for pair in combinations(fan, 2):
        left, right = ([PairJudgement(*pair, side, k) for k in (1, 2)] for side in (Answer.LEFT, Answer.RIGHT))
        equal = [PairJudgement(*pair, a) for a in (Answer.NOTHING_SEEN, Answer.BOTH_GOOD, Answer.BOTH_WRONG)]
        assert of_fan > information(left, right, equal)


# common practice, no source. I4: best level high in one family, low in another. Law over families.
LEVELS = {
    "green": ("D073", "D074", "D075"),
    "orange": ("D076", "D077", "D078"),
    "teal": ("D079", "D080", "D081"),
}


@pytest.mark.parametrize(("strong", "weak"), list(permutations(LEVELS, 2)))
def test_one_family_may_take_more_clarity_than_another(sit, x, strong, weak):
    high, low = LEVELS[strong], LEVELS[weak][::-1]  # best first
    told = [
        *(FanJudgement(levels) for levels in (high, low)),
        *(PairJudgement(levels[0], levels[2], Answer.LEFT, 3) for levels in (high, low)),
        *(DrapeJudgement(levels[0], Suits.WORKS) for levels in (high, low)),
        DrapeJudgement(high[2], Suits.FAILS, flags=(f"{high[2]}:too-soft",)),
        DrapeJudgement(low[2], Suits.FAILS, flags=(f"{low[2]}:too-bright",)),
    ]
    sitting = sit(*told, *told)
    found = {o.family: o for o in hue_offsets(sitting)}
    assert found[strong].mean > 0.3 > -0.3 > found[weak].mean
    pooled, levels = mean(sitting, "clarity"), [x[cloths[0]][2] for cloths in (low, high)]
    assert levels[0] < pooled < levels[1]
    assert any(o.notable for o in found.values())
