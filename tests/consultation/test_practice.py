"""Rules of the trade as laws, each on the bundled kit and on a copy with every cloth moved by ΔE00 2.

All of them are common practice, no source; the marks before each test say so again, with the rule.
"""

from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from itertools import combinations
from typing import NamedTuple

import numpy as np
import pytest
from scipy.optimize import brentq

from tenter import (
    Answer,
    DrapeJudgement,
    EarlierResult,
    Kit,
    Method,
    PairJudgement,
    Palette,
    PhaseMissing,
    Preference,
    Sitting,
    Suits,
    Verdict,
)
from tenter.arrays import FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.consultation.axes import Axis
from tenter.consultation.palette import Fit, palette

CATEGORIES = Method.bundled().categories
WARM, COOL = ("spring", "autumn"), ("summer", "winter")
# Pairs that differ in undertone alone, as coordinates show, warm cloth first; the dark one can hardly show anything.
VISIBLE_PAIRS = [("D061", "D062"), ("D063", "D064"), ("D065", "D066"), ("D067", "D068"), ("D071", "D072")]
DARK_PAIR = ("D069", "D070")


def moved(lab: FloatArray, rng: np.random.Generator) -> FloatArray:
    """Return colours ΔE00 2 away, each in a direction of its own."""
    directions = rng.normal(size=lab.shape)
    directions /= np.linalg.norm(directions, axis=1, keepdims=True)

    def reached(colour: FloatArray, direction: FloatArray) -> FloatArray:
        length = brentq(lambda t: float(delta_e_2000(colour, colour + t * direction)) - 2, 0, 12)
        return colour + length * direction

    return np.array([reached(c, d) for c, d in zip(lab, directions, strict=True)])


def copied(kit: Kit, lab: FloatArray, extra: dict[str, tuple[float, float, float]] | None = None) -> Kit:
    """Return the kit at other colours, families and hand-set undertones kept, with more browns if any are given."""
    more = extra or {}
    return Kit.from_lab(
        [*kit.ids, *more],
        [*lab, *more.values()],
        [*kit.hue_families, *["brown"] * len(more)],
        undertone={d.id: d.undertone for d in kit.drapes if d.undertone is not None},
    )


@lru_cache
def _kit(name: str) -> Kit:
    kit = Kit.demo()
    return kit if name == "bundled" else copied(kit, moved(kit.lab, np.random.default_rng(20)))


@pytest.fixture(params=["bundled", "perturbed"])
def kit(request) -> Kit:
    return _kit(request.param)


@pytest.fixture
def x(kit: Kit, bundled: Method) -> dict[str, FloatArray]:
    """The coordinates of each cloth."""
    return dict(zip(kit.ids, bundled.coordinates(kit), strict=True))


@pytest.fixture
def sit(kit: Kit, bundled: Method) -> Callable[..., Sitting]:
    return lambda *judgements: Sitting(kit, bundled, seed=7).record_all(judgements)


def undertone_answers(
    side: str, strength: int = 3, pairs: list[tuple[str, str]] = VISIBLE_PAIRS
) -> list[PairJudgement]:
    winner = Answer.LEFT if side == "warm" else Answer.RIGHT
    return [PairJudgement(*pair, winner, strength) for pair in pairs]


def mean(sitting: Sitting, axis: str) -> float:
    return sitting.estimates()[Axis(axis)].mean


def width(sitting: Sitting, axis: str) -> float:
    estimate = sitting.estimates()[Axis(axis)]
    return estimate.high - estimate.low


def of_side(sitting: Sitting, seasons: tuple[str, str]) -> float:
    return sum(sitting.season_probabilities()[s] for s in seasons)


# -- a client who answers without noise ----------------------------------------------------------------------------

SCRIPT = [
    ("D063", "D064"),
    ("D071", "D072"),
    ("D065", "D066"),
    ("D082", "D083"),
    ("D084", "D085"),
    ("D073", "D075"),
    ("D076", "D078"),
    ("D079", "D081"),
]


def answer_of(theta: FloatArray, left: FloatArray, right: FloatArray) -> tuple[Answer, int]:
    """Return what a face with its ideal at theta would show of two cloths, were there no noise."""
    utilities = [-float(np.sum((cloth - theta) ** 2)) / 2 for cloth in (left, right)]
    gain = utilities[0] - utilities[1]
    if abs(gain) < 0.35:
        level = sum(utilities) / 2
        return (Answer.BOTH_GOOD if level > -1 else Answer.BOTH_WRONG if level < -3 else Answer.NOTHING_SEEN), 1
    return (Answer.LEFT if gain > 0 else Answer.RIGHT), (3 if abs(gain) > 1.2 else 1)


def flags_of(theta: FloatArray, cloths: list[tuple[str, FloatArray]]) -> Iterator[str]:
    words = (("too-warm", "too-cool"), ("too-light", "too-dark"), ("too-bright", "too-soft"))
    for name, position in cloths:
        axis = int(np.argmax(np.abs(position - theta)))
        if abs(position[axis] - theta[axis]) > 0.8:
            yield f"{name}:{words[axis][0 if position[axis] > theta[axis] else 1]}"


class Served(NamedTuple):
    sitting: Sitting
    verdict: Verdict
    palette: Palette


def served(kit: Kit, method: Method, theta: FloatArray) -> Served:
    """Return the sitting of a client whose ideal is theta, answered by script."""
    where = dict(zip(kit.ids, method.coordinates(kit), strict=True))
    sitting = Sitting(kit, method, seed=7)
    for left, right in SCRIPT:
        answer, strength = answer_of(theta, where[left], where[right])
        flags = tuple(flags_of(theta, [(left, where[left]), (right, where[right])]))
        sitting.record(PairJudgement(left, right, answer, strength, flags=flags))
    verdict = sitting.verdict()
    return Served(sitting, verdict, palette(sitting, verdict))


@cache
def _served_at(kit: Kit, method: Method, theta: tuple[float, ...]) -> Served:
    return served(kit, method, np.array(theta))


@pytest.fixture
def serve(kit: Kit, bundled: Method) -> Callable[..., Served]:
    """Serve the client at a category's prototype, once for every test that asks."""
    return lambda category: _served_at(kit, bundled, bundled.region(category).prototype)


# -- phases and what is evidence -----------------------------------------------------------------------------------


# common practice, no source. P1: phases come in the method's order.
@pytest.mark.parametrize(
    ("method", "phases"),
    [
        ("four-by-three", ["undertone", "clarity", "sub-season", "border"]),
        ("depth-first", ["undertone", "depth", "clarity", "sub-season", "border"]),
        ("four-seasons", ["undertone", "clarity", "border"]),
    ],
)
def test_phases_come_in_the_methods_order(kit, method, phases):
    way = Method.bundled(method)
    assert [phase.id for phase in way.phases] == phases
    sitting = Sitting(kit, way, seed=7)
    where = dict(zip(kit.ids, way.coordinates(kit), strict=True))
    theta = np.array([-0.5, 0.15, -1.35])
    passed = [sitting.phase]
    while sitting.phase != "done":
        left, right = sitting.propose()
        sitting.record(PairJudgement(left, right, *answer_of(theta, where[left], where[right])))
        passed.append(sitting.phase)
    assert list(dict.fromkeys(passed)) == [*phases, "done"]


# common practice, no source. P1: a verdict before one undertone and one clarity or depth entry names what is owed.
@pytest.mark.parametrize(
    ("entries", "owed"),
    [
        ([], ("undertone", "clarity or depth")),
        ([PairJudgement("D063", "D064", Answer.LEFT)], ("clarity or depth",)),
        ([PairJudgement("D076", "D078", Answer.LEFT)], ("undertone",)),
        ([PairJudgement("D082", "D083", Answer.LEFT)], ("undertone",)),
        ([Preference("D063", "D064"), Preference("D082", "D083")], ("undertone", "clarity or depth")),
    ],
)
def test_a_verdict_names_what_it_is_owed(sit, entries, owed):
    sitting = sit(*entries)
    assert sum(sitting.probabilities().values()) == pytest.approx(1)
    with pytest.raises(PhaseMissing) as caught:
        sitting.verdict()
    assert caught.value.owed == owed
    assert all(word in str(caught.value) for word in owed)


# common practice, no source. P1: one undertone and one clarity or depth entry are enough.
@pytest.mark.parametrize("second", [("D076", "D078"), ("D084", "D085")])
def test_undertone_and_one_more_axis_allow_a_verdict(sit, second):
    sitting = sit(PairJudgement("D063", "D064", Answer.LEFT), PairJudgement(*second, Answer.RIGHT))
    assert sitting.verdict().category in CATEGORIES


# common practice, no source. P2: the undertone phase finds a reaction, not best colours.
@pytest.mark.parametrize("side", ["warm", "cool"])
def test_undertone_entries_alone_give_an_estimate_and_no_palette(sit, side):
    sitting = sit(*undertone_answers(side, strength=1))
    with pytest.raises(PhaseMissing, match="clarity or depth"):
        sitting.palette()
    estimate = sitting.estimates()[Axis.UNDERTONE]
    assert estimate.low < estimate.mean < estimate.high
    assert (estimate.mean > 0) == (side == "warm")


# common practice, no source. P3: liking a cloth is not evidence about the face.
@pytest.mark.parametrize("source", ["client", "analyst", "third"])
def test_a_preference_leaves_the_posterior_as_it_was_to_the_last_bit(sit, source):
    sitting = sit(*undertone_answers("cool", 1)[:2])
    before, weights = sitting.probabilities(), sitting.posterior().log_weights.copy()
    sitting.record(Preference("D063", "D064", source=source, flags=("D064:too-cool",), signs=("D063:own-tint",)))
    assert sitting.probabilities() == before
    assert np.array_equal(sitting.posterior().log_weights, weights)


# common practice, no source. P4: a result from another method is no prior by default; with the switch on, it shows.
@pytest.mark.parametrize("category", CATEGORIES)
def test_an_earlier_result_counts_only_when_asked(sit, category):
    sitting = sit(PairJudgement("D067", "D068", Answer.NOTHING_SEEN))
    before = sitting.probabilities()
    sitting.record(EarlierResult(category, "another school"))
    assert sitting.probabilities() == before
    counted = sitting.with_earlier_results()
    assert counted[category] > 1.2 * before[category]
    assert sum(counted.values()) == pytest.approx(1)
    assert sitting.probabilities() == before


# -- undertone -----------------------------------------------------------------------------------------------------


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


# common practice, no source. T7: with a clarity entry added the verdict may read "open between".
@pytest.mark.parametrize("answer", [Answer.LEFT, Answer.RIGHT])
def test_an_unclear_undertone_is_a_finding(sit, answer):
    nothing = [PairJudgement(*pair, Answer.NOTHING_SEEN) for pair in VISIBLE_PAIRS[:3]]
    verdict = sit(*nothing, PairJudgement("D076", "D078", answer)).verdict()
    assert verdict.odds_word == "open"
    assert verdict.headline == f"open between {verdict.category} and {verdict.runner_up}"
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
    assert all(any("follow the side" in cause for cause in noted[number]) for number in (3, 4))


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
    assert abs(mean(flagged, axis) - level) < abs(mean(plain, axis) - level)


# -- clarity and depth ---------------------------------------------------------------------------------------------


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
    found = _served_at(kit, bundled, tuple(theta)).sitting.season_probabilities()
    assert max(found, key=lambda s: found[s]) == season


# common practice, no source. I5: the exact midpoint is open.
def test_the_exact_midpoint_is_open(kit, bundled):
    assert _served_at(kit, bundled, (0.0, 0.0, 0.0)).verdict.odds_word == "open"


# -- seasons and their sub-seasons ---------------------------------------------------------------------------------


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


# -- the palette ---------------------------------------------------------------------------------------------------


# common practice, no source. D1: black suits the deep; a season's own dark neutral suits at least as well.
@pytest.mark.parametrize("category", ["deep autumn", "deep winter"])
def test_a_deep_client_wears_dark_neutrals_before_grey(serve, x, category):
    _, _, palette = serve(category)
    worth = {e.drape.id: e.expected_utility for e in palette.entries}
    dark = [e.expected_utility for e in palette.neutrals if x[e.drape.id][1] < -1]
    assert max(dark) >= worth["D092"] > worth["D094"]


# common practice, no source. D4: a neutral's undertone counts.
@pytest.mark.parametrize("category", CATEGORIES)
def test_a_golden_neutral_suits_the_warm_and_a_rosy_one_the_cool(kit, bundled, category):
    # Equal in L* and C*: rosy-ashy (hue 15) and golden (hue 85).
    browns = {
        f"{name}-{tone}": (L, 9 * float(np.cos(np.radians(h))), 9 * float(np.sin(np.radians(h))))
        for name, L in (("beige", 72.0), ("brown", 42.0))
        for tone, h in (("rosy", 15.0), ("golden", 85.0))
    }
    more = _with_browns(kit, tuple(browns.items()))
    _, _, palette = _served_at(more, bundled, bundled.region(category).prototype)
    worth = {e.drape.id: e.expected_utility for e in palette.entries}
    warm = bundled.side_of[bundled.season_of[category]] == "warm"
    for name in ("beige", "brown"):
        assert (worth[f"{name}-golden"] > worth[f"{name}-rosy"]) == warm


@cache
def _with_browns(kit: Kit, browns: tuple[tuple[str, tuple[float, float, float]], ...]) -> Kit:
    return copied(kit, kit.lab, dict(browns))


# common practice, no source. W2: the best neutral is the in-season one closest in depth and clarity.
@pytest.mark.parametrize(("deep", "light"), [("deep autumn", "soft autumn"), ("soft summer", "light summer")])
def test_the_best_neutral_follows_the_ideals_depth(serve, x, deep, light):
    depths = [x[serve(category).palette.neutrals[0].drape.id][1] for category in (deep, light)]
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
