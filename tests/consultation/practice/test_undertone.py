"""Undertone: rules T2 to T13."""

from itertools import combinations

import numpy as np
import pytest

from tenter import (
    Answer,
    DrapeJudgement,
    Method,
    PairJudgement,
    Sitting,
    Suits,
)
from tenter.consultation.axes import Axis
from tests.support.clients.practice_clients import (
    CATEGORIES,
    COOL,
    DARK_PAIR,
    VISIBLE_PAIRS,
    WARM,
    mean,
    of_side,
    undertone_answers,
    width,
)


# common practice, no source. T2: whether the gained tint looks own or applied decides.
@pytest.mark.parametrize("held", [*VISIBLE_PAIRS, ("D011", "D022"), ("D042", "D030"), ("D006", "D008")])
def test_own_tint_moves_towards_the_cloth_and_applied_tint_away(sit, x, held):
    without = mean(sit(PairJudgement(*held, Answer.NOTHING_SEEN)), "undertone")
    for cloth in held:
        side = np.sign(x[cloth][0])
        own, applied = (
            mean(sit(PairJudgement(*held, Answer.NOTHING_SEEN, signs=(f"{cloth}:{sign}",))), "undertone") - without
            for sign in ("own-tint", "applied-tint")
        )
        assert own * side > 0
        assert applied * side < 0


# common practice, no source. T3: the size of the reaction counts.
@pytest.mark.parametrize("side", ["warm", "cool"])
def test_strong_reactions_mean_a_stronger_undertone(sit, bundled, side):
    pairs = [*VISIBLE_PAIRS, DARK_PAIR]
    strong, weak = (sit(*undertone_answers(side, strength, pairs)) for strength in (3, 1))

    def mean_size(sitting: Sitting) -> float:
        nodes, mass = sitting.posterior().marginal(0)
        return float(np.abs(nodes) @ mass)

    def led_by_undertone(sitting: Sitting) -> float:
        p = sitting.probabilities()
        return sum(p[r.name] for r in bundled.regions if r.leading_trait in ("warm", "cool"))

    assert mean_size(strong) > mean_size(weak)
    assert led_by_undertone(weak) < led_by_undertone(strong)


# common practice, no source. T6: an undertone pair that could hardly show anything contradicts nothing.
@pytest.mark.parametrize("side", ["warm", "cool"])
def test_nothing_seen_on_a_dark_pair_contradicts_nothing(sit, side):
    clear = undertone_answers(side, 3, [("D063", "D064"), ("D071", "D072")])
    depth = PairJudgement("D084", "D085", Answer.LEFT)
    verdict = sit(*clear, PairJudgement(*DARK_PAIR, Answer.NOTHING_SEEN), depth).verdict()
    assert verdict.contradictions == ()


# common practice, no source. T7: equal answers are answers.
@pytest.mark.parametrize("pairs", list(combinations(VISIBLE_PAIRS, 3)), ids=lambda p: "-".join(a for a, _ in p))
def test_nothing_seen_on_visible_pairs_places_the_undertone_in_the_middle(sit, pairs):
    sitting = sit(*(PairJudgement(*pair, Answer.NOTHING_SEEN) for pair in pairs))
    assert abs(mean(sitting, "undertone")) < 0.25
    assert width(sitting, "undertone") < 0.95 * width(sit(), "undertone")


# common practice, no source. T7: with a clarity entry added the verdict stays open.
@pytest.mark.parametrize("answer", [Answer.LEFT, Answer.RIGHT])
def test_an_unclear_undertone_is_a_finding(sit, answer):
    nothing = [PairJudgement(*pair, Answer.NOTHING_SEEN) for pair in VISIBLE_PAIRS[:3]]
    verdict = sit(*nothing, PairJudgement("D076", "D078", answer)).verdict()
    assert verdict.odds_word == "open"
    assert verdict.headline.startswith("open, nearest to ")
    assert f" {verdict.category} and {verdict.runner_up}" in verdict.headline
    assert verdict.traits[Axis.UNDERTONE].degree == "middle"


# common practice, no source. T9: metals confirm, cloths decide.
@pytest.mark.parametrize(("side", "metal"), [("warm", Answer.RIGHT), ("cool", Answer.LEFT)])
def test_one_metal_against_five_cloths_turns_nothing_and_is_noted(sit, side, metal):
    entries = undertone_answers(side, 3)
    depth = PairJudgement("D084", "D085", Answer.LEFT)
    sitting = sit(*entries, depth, PairJudgement("D089", "D090", metal))
    assert (mean(sitting, "undertone") > 0) == (side == "warm")
    noted = {c.number: c for c in sitting.verdict().contradictions}
    assert 7 in noted
    assert any("metal" in cause for cause in noted[7].causes)


# common practice, no source. T9: all metal answers together move the log odds of warm to cool by at most ln 2.
@pytest.mark.parametrize("answer", [Answer.LEFT, Answer.RIGHT])
@pytest.mark.parametrize("cloths", [[], [("D063", "D064"), ("D065", "D066")]])
def test_metals_together_move_the_odds_by_at_most_two(sit, answer, cloths):
    sitting = sit(*undertone_answers("warm", 1, cloths))

    def log_odds() -> float:
        return float(np.log(of_side(sitting, WARM)) - np.log(of_side(sitting, COOL)))

    before, moves = log_odds(), []
    for pair in [("D089", "D090"), ("D091", "D090")] * 3:
        sitting.record(PairJudgement(*pair, answer, 3, signs=(f"{pair[answer == Answer.RIGHT]}:blends",)))
        moves.append(log_odds() - before)
    sign = 1 if answer is Answer.LEFT else -1
    assert sign * moves[0] > 0
    assert max(abs(move) for move in moves) <= np.log(2) + 0.02  # the fine grid may move
    assert abs(moves[-1]) > 0.9 * np.log(2)


# common practice, no source. T10: a matching metal blends, a wrong one stands apart.
@pytest.mark.parametrize("metal", ["D089", "D090", "D091"])
def test_a_metal_that_stands_apart_moves_away_from_its_side(sit, kit, metal):
    side = np.sign(kit[metal].undertone)
    before = mean(sit(), "undertone")
    moves = {
        sign: mean(sit(DrapeJudgement(metal, Suits.TOLERABLE, signs=(f"{metal}:{sign}",))), "undertone") - before
        for sign in ("stands-apart", "blends")
    }
    assert moves["stands-apart"] * side < 0
    assert moves["blends"] * side > 0


# common practice, no source. T11: a half-face view counts half until its sides are exchanged.
@pytest.mark.parametrize("pair", VISIBLE_PAIRS)
def test_a_half_face_view_counts_less_until_exchanged(sit, pair):
    split = PairJudgement(*pair, Answer.LEFT, view="split")
    exchanged = PairJudgement(*pair[::-1], Answer.RIGHT, view="split")
    plain = PairJudgement(*pair, Answer.LEFT)
    before, half, full, both, twice = (
        mean(sit(*entries), "undertone") for entries in ([], [split], [plain], [split, exchanged], [plain, plain])
    )
    assert 0.3 < (half - before) / (full - before) < 0.75
    assert both == pytest.approx(twice, abs=1e-9)


# common practice, no source. T11: where the winner follows the side both are void for the verdict, and it is said.
@pytest.mark.parametrize("answer", [Answer.LEFT, Answer.RIGHT])
@pytest.mark.parametrize("pair", VISIBLE_PAIRS[:2])
def test_a_winner_that_follows_the_side_counts_nothing_and_is_reported(sit, pair, answer):
    rest = [PairJudgement("D065", "D066", Answer.LEFT), PairJudgement("D082", "D083", Answer.RIGHT)]
    views = [PairJudgement(*order, answer, view="split") for order in (pair, pair[::-1])]
    sitting = sit(*rest, *views)
    ours, theirs = sitting.probabilities(), sit(*rest).probabilities()
    assert [ours[c] for c in CATEGORIES] == pytest.approx([theirs[c] for c in CATEGORIES], abs=1e-12)
    noted = {c.number: c.causes for c in sitting.verdict().contradictions}
    assert all(any("followed the side" in cause for cause in noted[number]) for number in (3, 4))


# common practice, no source. T12: a settled undertone excludes the two seasons of the other side.
@pytest.mark.parametrize("side", ["warm", "cool"])
def test_a_settled_undertone_excludes_the_other_sides_seasons(sit, side):
    sitting = sit()
    own, other = (WARM, COOL) if side == "warm" else (COOL, WARM)
    for entry in undertone_answers(side, 3) * 2:
        sitting.record(entry)
        seasons = sitting.season_probabilities()
        p_own = of_side(sitting, own)
        assert p_own == pytest.approx(sum(seasons[s] for s in own), abs=1e-12)
        if p_own >= 0.95:
            assert all(seasons[s] < 0.05 for s in other)
    assert p_own >= 0.95


# common practice, no source. T12: at 0.6 all seasons stay listed.
@pytest.mark.parametrize("side", ["warm", "cool"])
def test_a_leaning_undertone_excludes_nobody(sit, side):
    sitting = sit(PairJudgement("D067", "D068", Answer.LEFT if side == "warm" else Answer.RIGHT))
    own = of_side(sitting, WARM if side == "warm" else COOL)
    assert 0.55 < own < 0.8
    assert list(sitting.season_probabilities()) == ["spring", "summer", "autumn", "winter"]
    assert min(sitting.season_probabilities().values()) > 0.05


# common practice, no source. T13: one cloth may be wrong on one axis and right on another.
@pytest.mark.parametrize(("wrong", "sign"), [("too-cool", 1), ("too-warm", -1)])
@pytest.mark.parametrize("right", ["clarity-right", "depth-right"])
@pytest.mark.parametrize("cloth", ["D076", "D064", "D050", "D016"])
def test_a_cloth_wrong_on_one_axis_and_right_on_another(sit, x, wrong, sign, right, cloth):
    flagged = sit(DrapeJudgement(cloth, Suits.TOLERABLE, flags=(f"{cloth}:{wrong}", f"{cloth}:{right}")))
    plain = sit(DrapeJudgement(cloth, Suits.TOLERABLE))
    axis = right.split("-")[0]
    level = x[cloth][Axis(axis).column]
    assert (mean(flagged, "undertone") - mean(plain, "undertone")) * sign > 0
    # Where the mean lies at the level already, to a tenth of a bench unit, it stays there.
    assert abs(mean(flagged, axis) - level) < max(abs(mean(plain, axis) - level), 0.1)


# common practice, no source. T5: a light matched pair opens the undertone phase where the kit has one.
@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("method", ["four-by-three", "depth-first", "four-seasons"])
def test_a_light_matched_pair_opens_the_undertone_phase(kit, method, seed):
    way = Method.bundled(method)
    where = dict(zip(kit.ids, way.coordinates(kit), strict=True))
    left, right = Sitting(kit, way, seed=seed).propose()
    assert min(where[left][1], where[right][1]) > 0.5
    apart = (where[left] - where[right]) ** 2
    assert apart[0] >= 0.7 * apart.sum()
