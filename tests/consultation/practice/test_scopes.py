"""Rules that hold within a scope, each over its whole scope: I2, I3, I7, S3, D2, D3 and the second half of T9.

docs/how-it-works/model.md states the scopes. Every law runs on the bundled kit, on a copy with every cloth moved, and
on a kit that has nothing to do with it. Of a large family of cases evenly spread ones are tried.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations, permutations, product

import numpy as np
import pytest

from tenter import Answer, DrapeJudgement, FanJudgement, Kit, PairJudgement, Sitting, Suits
from tenter.arrays import FloatArray
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.reading.evidence import Reader
from tenter.inference.planning import answer_information
from tenter.inference.utility import DEFAULT_SHAPES, UtilityForm, utilities
from tests.support.clients.practice_clients import (
    COOL,
    VISIBLE_PAIRS,
    WARM,
    kit_named,
    mean,
    of_side,
    undertone_answers,
)

MATCHED = 0.6  # bench units: cloths nearer than this on an axis are alike on it


@pytest.fixture(params=["bundled", "perturbed", "another"])
def kit(request) -> Kit:
    return kit_named(request.param)


def some(cases: Sequence, most: int) -> list:
    """Return evenly spread cases of many."""
    return [cases[i] for i in np.linspace(0, len(cases) - 1, min(most, len(cases))).astype(int)]


def matched(kit: Kit, x: dict[str, FloatArray], axis: int) -> Iterator[tuple[str, str]]:
    """Give the pairs of cloths of one hue that are alike but on one axis, on which the second lies higher."""
    others = [a for a in range(3) if a != axis]
    for low, high in permutations([c for c in kit.ids if not kit[c].is_metal], 2):
        alike = kit[low].hue_family == kit[high].hue_family and np.abs(x[low] - x[high])[others].max() < MATCHED
        if alike and x[low][axis] < x[high][axis]:
            yield low, high


# common practice, no source. I2: the answer lies between a cloth that is too bright and one that is too soft, once both
# were seen; up to three times where the middle of the axis, which two entries do not outweigh, lies outside the two.
def test_the_answer_lies_between_too_bright_and_too_soft(sit, kit, x):
    pairs = [p for p in matched(kit, x, 2) if x[p[1]][2] - x[p[0]][2] > 0.9]
    assert len(pairs) >= 30
    for soft, bright in some(pairs, 24):
        seen = [
            DrapeJudgement(bright, Suits.TOLERABLE, flags=(f"{bright}:too-bright",)),
            DrapeJudgement(soft, Suits.TOLERABLE, flags=(f"{soft}:too-soft",)),
        ]
        times = 1 if x[soft][2] < 0 < x[bright][2] else 3
        assert x[soft][2] < mean(sit(*seen * times), "clarity") < x[bright][2], (soft, bright)


# common practice, no source. I3: the order of three steps about the middle of the axis says more than which of two of
# them is better. Against the same pair judged with grades it may say less.
@pytest.mark.parametrize("classes", ["seasons", "categories"])
def test_a_fan_about_the_middle_says_more_than_which_of_two_is_better(sit, kit, x, classes):
    cloths = [c for c in kit.ids if not kit[c].is_metal]
    low_high = [p for p in matched(kit, x, 2) if x[p[0]][2] < -0.3 and x[p[1]][2] > 0.3]
    fans = [
        (low, middle, high)
        for low, high in low_high
        for middle in cloths
        if kit[middle].hue_family == kit[low].hue_family
        and np.abs(x[middle] - x[low])[:2].max() < MATCHED
        and np.abs(x[middle] - x[high])[:2].max() < MATCHED
        and min(x[middle][2] - x[low][2], x[high][2] - x[middle][2]) > 0.6
    ]
    assert len(fans) >= 5
    sitting = sit()
    for fan in some(fans, 8):
        of_fan = information(sitting, classes, [[FanJudgement(order)] for order in permutations(fan)])
        for pair in combinations(fan, 2):
            won = [[PairJudgement(*pair, side, k) for k in (1, 2)] for side in (Answer.LEFT, Answer.RIGHT)]
            equal = [PairJudgement(*pair, a) for a in (Answer.NOTHING_SEEN, Answer.BOTH_GOOD, Answer.BOTH_WRONG)]
            assert of_fan > information(sitting, classes, [*won, equal]), (fan, pair)


def information(sitting: Sitting, classes: str, answers: Sequence[Sequence]) -> float:
    """The expected information of a question, each of whose answers may be given in several ways."""
    frame = sitting.planning_frame
    reader, size = Reader(sitting.bench, frame), frame.lattice.shape
    told = [sum(np.exp(np.broadcast_to(reader.log_likelihood(w), size)).ravel() for w in ways) for ways in answers]
    members = np.tile(getattr(frame, classes), (1, size[0] * size[1])) * sitting.planning_posterior.weights.ravel()
    return float(answer_information((np.array(told) / np.sum(told, axis=0))[None], members)[0])


# common practice, no source. S3: a weak undertone, seen on pairs at least 1.8 bench units apart, is unlikely to lead in
# a client whose utility does not saturate. One who saturates may answer "a little" to anything.
@pytest.mark.parametrize(("side", "seasons"), [("warm", WARM), ("cool", COOL)])
def test_a_weak_undertone_on_pairs_far_apart_is_unlikely_to_lead(sit, bundled, kit, x, side, seasons):
    pairs = [p[::-1] for p in matched(kit, x, 0) if x[p[1]][0] - x[p[0]][0] >= 1.8]
    assert len(pairs) >= 5
    for start in range(3):
        sitting = sit(*undertone_answers(side, 1, some(pairs[start:] + pairs[:start], 6)))
        posterior, frame = sitting.posterior(), sitting.focus.frame
        weights = sum(
            w.sum(axis=0)
            for shape, w in zip(posterior.lattice.shapes, posterior.weights, strict=True)
            if shape.form is not UtilityForm.SATURATING
        )
        masses = dict(zip(bundled.categories, frame.categories @ weights, strict=True))
        for season in seasons:
            own = [r for r in bundled.regions if r.season == season]
            leads = sum(masses[r.name] for r in own if r.leading_trait == side)
            assert leads < np.mean([masses[r.name] for r in own if r.leading_trait != side])


# common practice, no source. D2: a plain mid grey that is not warm itself lies in the lower half of the kit for warm
# ideals from a clarity of 0.6 upward, at any depth. Below that it depends on the kit.
def test_a_plain_mid_grey_is_poor_for_warm_clear_ideals(kit, x):
    cloths = [c for c in kit.ids if not kit[c].is_metal]
    lab = dict(zip(kit.ids, kit.bench_colours.lab, strict=True))
    grey = [c for c in cloths if kit[c].hue_family is HueFamily.GREY and x[c][0] <= 0]
    greys = [c for c in grey if 40 <= lab[c][0] <= 65]
    assert greys
    ideals = np.array(list(product((0.3, 0.8, 1.35), np.linspace(-1.4, 1.4, 5), (0.6, 1.0, 1.45))))
    worth = utilities(DEFAULT_SHAPES, np.array([x[c] for c in cloths]), ideals).mean(axis=0)
    for one in greys:
        assert np.all((worth > worth[cloths.index(one)]).mean(axis=0) > 0.5), one


# common practice, no source. D3: too light is an error of its own, of every light cloth.
def test_too_light_is_about_depth_alone(sit, kit, x):
    light = [c for c in kit.ids if not kit[c].is_metal and x[c][1] > 0.5]
    assert len(light) >= 20
    for cloth in some(light, 20):
        plain = sit(DrapeJudgement(cloth, Suits.TOLERABLE))
        flagged = sit(DrapeJudgement(cloth, Suits.TOLERABLE, flags=(f"{cloth}:too-light",)))
        assert mean(flagged, "depth") < mean(plain, "depth") - 0.05, cloth
        assert mean(flagged, "undertone") == pytest.approx(mean(plain, "undertone"), abs=0.1), cloth


# common practice, no source. T9: all metal answers together move the log odds of warm to cool by at most ln 2, whatever
# the cloths have said. Read on one lattice, so that nothing but the metals differs.
@pytest.mark.parametrize("kit", ["bundled", "perturbed"], indirect=True)  # the third kit has no metals
@pytest.mark.parametrize("answer", [Answer.LEFT, Answer.RIGHT])
@pytest.mark.parametrize(
    ("side", "strength", "count"), [("warm", 1, 0), ("warm", 1, 2), ("cool", 2, 3), ("warm", 3, 5)]
)
def test_metals_never_move_the_odds_by_more_than_two(sit, bundled, answer, side, strength, count):
    sitting = sit(*undertone_answers(side, strength, VISIBLE_PAIRS[:count]))
    metals = [
        sitting.record(PairJudgement(*pair, answer, 3, signs=(f"{pair[answer is Answer.RIGHT]}:blends",)))
        for pair in [("D089", "D090"), ("D091", "D090")] * 2
    ]
    warm = np.array([bundled.season_of[c] in WARM for c in bundled.categories])
    whole, rest = (sitting.without().category_masses(gone) for gone in ([], metals))
    moved = float(np.log(whole[warm].sum() / whole[~warm].sum()) - np.log(rest[warm].sum() / rest[~warm].sum()))
    assert abs(moved) <= np.log(2) + 1e-4
    assert moved * (1 if answer is Answer.LEFT else -1) > 0.5
    assert of_side(sitting, WARM) + of_side(sitting, COOL) == pytest.approx(1)
