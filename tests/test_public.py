"""The public interface: names, signatures, and what a sitting promises to whoever drives it from outside."""

import ast
import inspect
from collections import Counter
from importlib import import_module
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

import tenter
from tenter import (
    Answer,
    ConsultantVerdict,
    DrapeJudgement,
    EarlierResult,
    FanJudgement,
    Group,
    Kit,
    Method,
    NothingToPropose,
    PairJudgement,
    PhaseMissing,
    Preference,
    Showing,
    Sitting,
    Suits,
    TenterError,
)
from tenter.errors import UnknownName

INIT = Path(tenter.__file__)
ENTRIES = [
    PairJudgement("D063", "D064", Answer.RIGHT, 2, flags=("D063:too-warm",)),
    Preference("D063", "D064", source="client"),
    PairJudgement("D071", "D072", Answer.NOTHING_SEEN),
    FanJudgement(("D075", "D074", "D073"), flags=("D073:too-bright",)),
    PairJudgement("D089", "D090", Answer.RIGHT, view="split"),
    DrapeJudgement("D092", Suits.FAILS, flags=("D092:too-dark",)),
    PairJudgement("D090", "D089", Answer.LEFT, view="split"),
    EarlierResult("light spring", "elsewhere"),
    ConsultantVerdict("soft summer", note="muted colours evened the cheeks"),
    Showing("away", "D026"),
    Showing("yes", brought="lipstick", name="rosewood"),
    PairJudgement("D026", "D021", Answer.LEFT),
]
SMALL_METHOD = """
extends = "four-by-three"
name = "short"
title = "Short"

[[phases]]
id = "all"
title = "All"
question = "Which?"
decides = "category"
least = 1
enough = 0.999
most = 2
"""


def proposed(sitting):
    try:
        return sitting.propose()
    except NothingToPropose:
        return None


def numbers_of(sitting):
    """Return everything a sitting can be asked for, as plain numbers and words."""
    verdict = sitting.verdict()
    return {
        "probabilities": sitting.probabilities(),
        "verdict": {"probability": verdict.probability, **verdict.probabilities},
        "reasons": {str(r.entries): r.log_odds for r in (*verdict.reasons, *verdict.against)},
        "surprises": {str(c.number): c.p for c in verdict.contradictions},
        "means": {str(a): t.mean for a, t in verdict.traits.items()},
        "lows": {str(a): t.interval[0] for a, t in verdict.traits.items()},
        "words": (verdict.headline, verdict.runner_up, verdict.settling_pair, sitting.phase),
        "proposals": (proposed(sitting), sitting.propose_fan()),
    }


def assert_same_numbers(one, other):
    assert one.keys() == other.keys()
    for what, values in one.items():
        if isinstance(values, dict):
            assert values.keys() == other[what].keys(), what
            assert_allclose(list(values.values()), list(other[what].values()), rtol=0, atol=1e-12, err_msg=what)
        else:
            assert values == other[what], what


# -- names ---------------------------------------------------------------------------------------------------------


def test_every_public_name_loads_from_its_home():
    assert sorted(tenter.__all__) == tenter.__all__
    assert set(tenter.__all__) == set(tenter._HOMES)
    for name in tenter.__all__:
        assert getattr(tenter, name) is getattr(import_module(tenter._HOMES[name]), name)
        assert getattr(tenter, name).__module__ == tenter._HOMES[name]


def test_type_checkers_see_the_same_homes():
    [block] = [n for n in ast.parse(INIT.read_text(encoding="utf-8")).body if isinstance(n, ast.If)]
    seen = {alias.name: node.module for node in block.body for alias in node.names}
    assert seen == tenter._HOMES


def test_a_name_that_is_not_public_is_an_attribute_error():
    with pytest.raises(AttributeError, match="Wardrobe"):
        _ = tenter.Wardrobe


@pytest.mark.parametrize("name", ["NothingToPropose", "PhaseMissing"])
def test_every_public_error_is_a_tenter_error(name):
    assert issubclass(getattr(tenter, name), TenterError)


# -- signatures ----------------------------------------------------------------------------------------------------

REMARKS = {"flags": (), "signs": (), "region": None, "view": "alternate", "source": "analyst", "minute": None}


@pytest.mark.parametrize(
    ("function", "positional", "defaults"),
    [
        (Kit.read, ["path"], {}),
        (
            Kit.from_lab,
            ["ids", "lab", "hue_families"],
            {"groups": None, "illuminant": "D65", "observer": "10", "undertone": None},
        ),
        (Method.read, ["path"], {}),
        (Method.bundled, ["name"], {"name": "four-by-three"}),
        (Sitting, ["kit", "method"], {"face": None, "analyst_prior": None}),
        (PairJudgement, ["left", "right", "answer", "strength"], {"strength": 1, **REMARKS}),
        (FanJudgement, ["ranking"], REMARKS),
        (DrapeJudgement, ["drape", "suits"], REMARKS),
        (Preference, ["liked"], REMARKS),
        (Group, ["ids"], {}),
        (Sitting.void, ["self", "number", "reason"], {}),
    ],
)
def test_signature(function, positional, defaults):
    parameters = inspect.signature(function).parameters
    usable = [n for n, p in parameters.items() if p.kind is p.POSITIONAL_OR_KEYWORD]
    assert usable[: len(positional)] == positional
    assert {name: parameters[name].default for name in defaults} == defaults


def test_a_sitting_takes_its_seed_by_name(demo_kit, bundled):
    assert Sitting(demo_kit, bundled, seed=7).seed == 7


@pytest.mark.parametrize("member", ["LEFT", "RIGHT", "NOTHING_SEEN", "BOTH_GOOD", "BOTH_WRONG"])
def test_answers(member):
    assert Answer[member] == member.lower().replace("_", "-")


def test_levels_of_one_cloth():
    assert [s.name for s in Suits] == ["WORKS", "TOLERABLE", "FAILS"]


# -- kit and method ------------------------------------------------------------------------------------------------


def test_kit_gives_ids_colours_and_families(demo_kit):
    assert isinstance(demo_kit.ids, tuple)
    assert all(isinstance(i, str) for i in (*demo_kit.ids, *demo_kit.hue_families))
    assert demo_kit.lab.shape == (len(demo_kit.ids), 3)
    assert isinstance(demo_kit.hue_families, tuple)
    assert len(demo_kit.hue_families) == len(demo_kit.ids) == 96


@pytest.mark.parametrize(
    ("name", "seasons", "categories"), [("four-by-three", 4, 12), ("depth-first", 4, 12), ("four-seasons", 4, 4)]
)
def test_bundled_methods(name, seasons, categories, demo_kit):
    method = Method.bundled(name)
    assert method.name == name
    assert len(method.categories) == categories
    assert set(method.season_of) == set(method.categories)
    assert len(set(method.season_of.values())) == seasons
    assert method.prototypes.shape == (categories, 3)
    assert method.coordinates(demo_kit).shape == (96, 3)
    assert [method.category_at(p) for p in method.prototypes] == list(method.categories)


def test_categories_stand_in_the_files_order_adjective_first(bundled):
    assert bundled.categories == (
        "light spring",
        "warm spring",
        "bright spring",
        "light summer",
        "cool summer",
        "soft summer",
        "soft autumn",
        "warm autumn",
        "deep autumn",
        "bright winter",
        "cool winter",
        "deep winter",
    )
    assert all(category.split()[1] == bundled.season_of[category] for category in bundled.categories)


def test_a_method_that_is_not_bundled_names_those_that_are():
    with pytest.raises(UnknownName, match="depth-first"):
        Method.bundled("nine-seasons")


def test_coordinates_belong_to_the_method_not_the_kit(demo_kit, bundled):
    axes = "[axes]\ndepth = {centre = 50.0, unit = 16.0}\nclarity = {centre = 34.0, unit = 7.0}"
    other = Method.parse(f'extends = "four-by-three"\n{axes}')
    one, two = bundled.coordinates(demo_kit), other.coordinates(demo_kit)
    assert_allclose(two[:, 1] - one[:, 1], 5 / 16, atol=1e-12)
    assert not hasattr(demo_kit, "coordinates")
    coloured = (np.hypot(*demo_kit.lab[:, 1:].T) > 18) & (demo_kit.lab[:, 0] > 40)  # no neutrals, dark ones either
    assert_allclose(two[coloured, 2], 2 * one[coloured, 2], atol=1e-12)


# -- a sitting's promises ------------------------------------------------------------------------------------------


def test_two_sittings_of_the_same_entries_give_the_same_numbers(sit):
    assert_same_numbers(numbers_of(sit(*ENTRIES)), numbers_of(sit(*ENTRIES)))


def test_what_was_asked_in_between_changes_no_number(sit):
    asked = sit()
    for entry in ENTRIES:
        number = asked.record(entry)
        asked.propose()
        asked.propose_fan()
        asked.probabilities()
        if number == 2:
            with pytest.raises(PhaseMissing):
                asked.palette()
        if number == 5:
            asked.palette()
        if number == 8:
            asked.verdict()
    assert_same_numbers(numbers_of(asked), numbers_of(sit(*ENTRIES)))


def test_a_kit_and_method_read_anew_give_the_same_numbers(sit):
    fresh = Sitting(Kit.demo(), Method.bundled(), seed=7).record_all(ENTRIES)
    assert_same_numbers(numbers_of(fresh), numbers_of(sit(*ENTRIES)))


def test_an_entry_made_void_weighs_what_a_missing_one_does(sit):
    voided = sit(*ENTRIES)
    voided.void(len(ENTRIES), "the wrong cloth was up")
    assert_allclose(
        list(voided.probabilities().values()), list(sit(*ENTRIES[:-1]).probabilities().values()), rtol=0, atol=1e-12
    )
    assert voided.phase == sit(*ENTRIES[:-1]).phase


def test_an_entry_voided_and_undone_might_never_have_been_made(sit):
    taken_back = sit(*ENTRIES[:6])
    number = taken_back.record(PairJudgement("D065", "D066", Answer.LEFT, 3))
    taken_back.probabilities()
    taken_back.void(number, "the wrong cloth was up")
    taken_back.undo()
    taken_back.undo()
    assert_same_numbers(numbers_of(taken_back), numbers_of(sit(*ENTRIES[:6])))


def test_a_pair_undone_may_be_named_as_the_settling_one_again(sit):
    sitting = sit(*ENTRIES[:6])
    settling = sitting.verdict().settling_pair
    sitting.record(PairJudgement(*settling, Answer.LEFT))
    sitting.undo()
    assert sitting.verdict().settling_pair == settling


def test_a_void_taken_back_restores_the_evidence(sit):
    restored = sit(*ENTRIES)
    restored.void(1, "the lamp was on")
    restored.undo()
    assert_allclose(
        list(restored.probabilities().values()), list(sit(*ENTRIES).probabilities().values()), rtol=0, atol=1e-12
    )


def test_the_seed_decides_the_side_and_nothing_else(sit):
    sittings = [sit(*ENTRIES, seed=seed) for seed in range(8)]
    assert len({frozenset(s.propose()) for s in sittings}) == 1
    assert len({s.propose() for s in sittings}) == 2
    assert_allclose(list(sittings[0].probabilities().values()), list(sittings[1].probabilities().values()), atol=1e-12)


def test_asking_changes_nothing(sit):
    sitting = sit(*ENTRIES)
    before = sitting.events, sitting.entries, sitting.phase
    proposals = {sitting.propose() for _ in range(3)}
    sitting.propose_fan()
    sitting.verdict()
    sitting.palette()
    assert len(proposals) == 1
    assert (sitting.events, sitting.entries, sitting.phase) == before


@pytest.mark.parametrize("count", range(len(ENTRIES) + 1))
def test_probabilities_sum_to_one_at_any_time(sit, bundled, count):
    found = sit(*ENTRIES[:count]).probabilities()
    assert tuple(found) == bundled.categories
    assert abs(sum(found.values()) - 1) <= 1e-9
    assert min(found.values()) >= 0


def test_entries_are_numbered_from_one(sit):
    sitting = sit()
    assert [sitting.record(entry) for entry in ENTRIES] == list(range(1, len(ENTRIES) + 1))


def test_an_unknown_cloth_is_named_and_nothing_recorded(sit):
    sitting = sit(*ENTRIES[:3])
    before = sitting.events, sitting.probabilities()
    with pytest.raises(UnknownName, match="D999"):
        sitting.record(PairJudgement("D063", "D999", Answer.LEFT))
    assert (sitting.events, sitting.probabilities()) == before
    assert sitting.record(ENTRIES[3]) == 4


def test_verdict_answers_what_the_contract_lists(demo_verdicts, bundled):
    for verdict in demo_verdicts.values():
        assert verdict.category in bundled.categories
        assert verdict.season == bundled.season_of[verdict.category]
        assert verdict.probability == max(verdict.probabilities.values())
        ranked = sorted(verdict.probabilities, key=lambda c: -verdict.probabilities[c])
        assert verdict.runner_up == ranked[1]
        assert verdict.trait_neighbour == bundled.region(verdict.category).trait_neighbour
        assert verdict.leading_trait == verdict.category.split()[0]
        assert [str(axis) for axis in verdict.traits] == ["undertone", "depth", "clarity"]
        for trait in verdict.traits.values():
            assert trait.degree in ("middle", "slight", "marked", "strong")
            assert trait.interval[0] < trait.mean < trait.interval[1]
        assert verdict.odds_word in ("open", "leaning", "likely", "firm", "settled")
        assert all(reason.log_odds > 0 for reason in verdict.reasons)
        assert all(reason.log_odds < 0 for reason in verdict.against)


# -- proposals until none is left ----------------------------------------------------------------------------------


def small_kit():
    pinks = [(75, 20, 18), (75, 28, -1), (68, 30, 10), (60, 19, 2)]
    lab = [*pinks, (50, -17, 33), (50, -37, 8), (53, -45, 30), (70, 4, 33)]
    families = ["pink"] * 4 + ["green"] * 3 + ["metal"]
    return Kit.from_lab([f"A{n}" for n in range(8)], lab, families, undertone={"A7": 1.0})


def pairs_left(kit, seen):
    """Count the pairs the rules leave: no metal, not seen, no cloth held three times."""
    uses = Counter(cloth for pair in seen for cloth in pair)
    return sum(
        "metal" not in (kit.hue_families[a], kit.hue_families[b])
        and frozenset((kit.ids[a], kit.ids[b])) not in seen
        and max(uses[kit.ids[a]], uses[kit.ids[b]]) < 3
        for a, b in combinations(range(len(kit)), 2)
    )


@pytest.mark.parametrize("answers", [["left"], ["right", "nothing-seen", "left"], ["both-wrong"]])
def test_proposals_go_on_until_the_reuse_limits_leave_no_pair(answers):
    kit, seen = small_kit(), set()
    sitting = Sitting(kit, Method.parse(SMALL_METHOD), seed=1)
    while pairs_left(kit, seen):
        left, right = sitting.propose()
        assert frozenset((left, right)) not in seen
        sitting.record(PairJudgement(left, right, answers[len(seen) % len(answers)]))
        seen.add(frozenset((left, right)))
    assert 9 <= len(seen) <= 10  # seven cloths, each held three times at most; one may be left alone sooner
    assert sitting.phase == "done"
    with pytest.raises(NothingToPropose, match="no pair is left"):
        sitting.propose()


def test_done_stops_neither_record_nor_propose():
    sitting = Sitting(small_kit(), Method.parse(SMALL_METHOD))
    for _ in range(3):
        sitting.record(PairJudgement(*sitting.propose(), Answer.LEFT))
    assert sitting.phase == "done"
    assert sitting.propose_fan() is None
    assert sitting.record(PairJudgement(*sitting.propose(), Answer.LEFT)) == 4


def test_a_kit_without_two_cloths_of_a_family_proposes_across_families():
    kit = Kit.from_lab(["A", "B", "C"], [(75, 20, 18), (50, -37, 8), (40, 0, -40)], ["pink", "green", "blue"])
    assert len(set(Sitting(kit, Method.bundled()).propose())) == 2
