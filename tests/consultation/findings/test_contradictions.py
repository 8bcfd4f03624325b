"""What disagrees with the rest of a sitting, and why it may: metals against cloths that are sure, and likely causes."""

import pytest

from tenter import Answer, DrapeJudgement, FanJudgement, PairJudgement
from tenter.consultation.findings.contradictions import (
    ContradictionCause,
    ContradictionKind,
    _metals_against_cloth,
    _repeat_of,
    contradictions,
    likely_causes,
)
from tenter.consultation.findings.diagnostics import predictions
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.pair_quality import Mixed, pair_quality
from tenter.consultation.record.history import Entry
from tenter.consultation.words.flags import Sign

GOLD, SILVER, COPPER = "D089", "D090", "D091"
UNDERTONE_PAIRS = [("D061", "D062"), ("D063", "D064"), ("D065", "D066"), ("D071", "D072")]  # warm first


def metal_contradictions(sit, cloths, metal):
    sitting = sit(*cloths, PairJudgement(GOLD, SILVER, metal))
    return [
        c.number
        for c in contradictions(sitting, predictions(sitting))
        if c.kind is ContradictionKind.METAL or c.number > len(cloths)
    ]


@pytest.mark.parametrize(("cloth", "metal"), [(Answer.LEFT, Answer.RIGHT), (Answer.RIGHT, Answer.LEFT)])
def test_a_metal_speaks_against_the_cloths_only_where_they_are_sure(sit, cloth, metal):
    sure = [PairJudgement(*pair, cloth, 3) for pair in UNDERTONE_PAIRS]
    assert metal_contradictions(sit, sure, metal) == [len(sure) + 1]
    assert metal_contradictions(sit, sure, cloth) == []  # the metal of their own side
    unsure = [PairJudgement("D061", "D062", cloth), PairJudgement("D063", "D064", metal)]
    for won in (cloth, metal):
        assert metal_contradictions(sit, unsure, won) == []


def causes(demo_kit, bundled, judgement, *others):
    entries = [Entry(n, j) for n, j in enumerate((judgement, *others), 1)]
    return likely_causes(bench_of(demo_kit, bundled), entries[0], entries, False)


@pytest.mark.parametrize("sign", Sign)
def test_skin_that_had_not_settled_is_a_cause_where_it_was_blotchy(demo_kit, bundled, sign):
    plain = PairJudgement("D061", "D062", Answer.LEFT)
    assert causes(demo_kit, bundled, plain) == (ContradictionCause.SLIP, ContradictionCause.ONE_COLOUR)
    signed = PairJudgement("D061", "D062", Answer.LEFT, signs=(f"D061:{sign}",))
    assert (ContradictionCause.FLUSH in causes(demo_kit, bundled, signed)) == (sign is Sign.BLOTCHY)


@pytest.mark.parametrize(
    ("said", "cause"),
    [
        ({"view": "split"}, ContradictionCause.SIDE),
        ({"view": "photograph"}, ContradictionCause.LIGHT),
    ],
)
def test_how_a_pair_was_looked_at_is_a_cause(demo_kit, bundled, said, cause):
    found = causes(demo_kit, bundled, PairJudgement("D061", "D062", Answer.LEFT, **said))
    assert found[0] is cause
    assert len(found) == 2


def test_the_same_pair_answered_otherwise_is_a_cause_and_another_pair_or_the_same_answer_is_none(demo_kit, bundled):
    asked = PairJudgement("D061", "D062", Answer.LEFT)
    same, otherwise = PairJudgement("D062", "D061", Answer.RIGHT), PairJudgement("D062", "D061", Answer.LEFT)
    another = PairJudgement("D063", "D064", Answer.RIGHT)
    assert ContradictionCause.REPEAT not in causes(demo_kit, bundled, asked, same, another)
    assert causes(demo_kit, bundled, asked, another, otherwise)[0] is ContradictionCause.REPEAT


def test_what_else_a_pair_differs_in_is_a_cause(demo_kit, bundled):
    assert causes(demo_kit, bundled, PairJudgement(GOLD, SILVER, Answer.LEFT))[0] is ContradictionCause.METAL
    mixed = causes(demo_kit, bundled, PairJudgement("D095", "D096", Answer.LEFT))
    assert mixed == (ContradictionCause.HUE_FAMILY, ContradictionCause.MIXED_PAIR)
    crossed = causes(demo_kit, bundled, PairJudgement("D061", "D064", Answer.LEFT))
    assert (ContradictionCause.HUE_FAMILY in crossed) == (
        demo_kit["D061"].hue_family is not demo_kit["D064"].hue_family
    )


def test_a_pair_is_mixed_where_the_audit_calls_it_so(demo_kit, bundled):
    bench = bench_of(demo_kit, bundled)
    ids = [d.id for d in demo_kit.drapes if not d.is_metal]
    pairs = [(one, ids[n + 1]) for n, one in enumerate(ids[:-1])]
    told = []
    for left, right in pairs:
        mixed = set(pair_quality(bench, left, right).mixed) - {Mixed.HUE}
        told.append(ContradictionCause.MIXED_PAIR in causes(demo_kit, bundled, PairJudgement(left, right, Answer.LEFT)))
        assert told[-1] == bool(mixed), (left, right)
    assert set(told) == {True, False}


def test_a_metal_that_won_on_the_side_of_the_cloths_or_did_not_win_speaks_against_nothing(sit):
    sure = [PairJudgement(*pair, Answer.LEFT, 3) for pair in UNDERTONE_PAIRS]  # a warm client
    others = [
        PairJudgement(GOLD, COPPER, Answer.LEFT),  # the warmer of two warm ones, and by little
        PairJudgement(GOLD, SILVER, Answer.BOTH_GOOD),
        FanJudgement((SILVER, COPPER, GOLD)),
        DrapeJudgement(GOLD, "fails"),
        DrapeJudgement(SILVER, "works"),
    ]
    assert _metals_against_cloth(sit(*sure, *others)) == set()
    assert _metals_against_cloth(sit(*sure, PairJudgement(GOLD, COPPER, Answer.RIGHT))) == {len(sure) + 1}


def test_what_was_doubted_is_held_again_with_its_sides_exchanged_and_anything_else_as_it_was():
    assert _repeat_of(PairJudgement("D061", ("D062", "D063"), Answer.LEFT)) == ("D062+D063", "D061")
    assert _repeat_of(FanJudgement(("D061", "D062", "D063"))) == ("D061", "D062", "D063")
    assert _repeat_of(DrapeJudgement("D061", "works")) == ("D061",)
