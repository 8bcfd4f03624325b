"""Judgements as data: what cannot be said, what is kept and is no evidence, and how much the rest weighs."""

import dataclasses

import numpy as np
import pytest

from tenter import (
    Answer,
    DrapeJudgement,
    EarlierResult,
    FanJudgement,
    GarmentJudgement,
    Group,
    PairJudgement,
    Preference,
    Source,
    Suits,
    TenterError,
    View,
    VoidEntry,
)
from tenter.consultation.axes import Axis
from tenter.consultation.record.remarks import Remarks
from tenter.consultation.words.flags import Flag, Flagged, Seen, Sign
from tenter.errors import UnknownName

SAID = [PairJudgement("D063", "D064", Answer.LEFT), FanJudgement(("D073", "D074", "D075"))]


def warm_odds(sitting):
    seasons = sitting.season_probabilities()
    return np.log(seasons["spring"] + seasons["autumn"]) - np.log(seasons["summer"] + seasons["winter"])


# -- what cannot be said -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: PairJudgement("A", "A", "left"), "A was compared with itself"),
        (lambda: PairJudgement(("A", "B"), ("B", "A"), "left"), "was compared with itself"),
        (lambda: PairJudgement(("A", "A"), "B", "left"), "names a cloth twice"),
        (lambda: PairJudgement("", "B", "left"), "a side is a cloth's id"),
        (lambda: PairJudgement(None, "B", "left"), "a side is a cloth's id"),
        (lambda: PairJudgement((), "B", "left"), "a side is a cloth's id"),
        (lambda: PairJudgement("A", "B", "left", 0), "strength is 1"),
        (lambda: PairJudgement("A", "B", "left", 4), "strength is 1"),
        (lambda: PairJudgement("A", "B", "left", 1.5), "strength is 1"),
        (lambda: PairJudgement("A", "B", "left", flags=("C:too-warm",)), "C:too-warm names a cloth"),
        (lambda: PairJudgement("A", "B", "left", signs=("C:even",)), "C:even names a cloth"),
        (lambda: PairJudgement("A", "B", "left", flags=("A:too-warm", "A:too-cool")), "contradict each other"),
        (lambda: PairJudgement("A", "B", "left", flags=("A:too-warm", "A:undertone-right")), "contradict each other"),
        (lambda: PairJudgement("A", "B", "left", flags=("too-warm",)), "write the cloth and the word"),
        (lambda: PairJudgement("A", "B", "left", flags=(3,)), "write the cloth and the word"),
        (lambda: FanJudgement(("A", "B")), "at least three cloths; got 2"),
        (lambda: FanJudgement(("A", "B", "A")), "names a cloth twice"),
        (lambda: FanJudgement(("A", "B", Group(("A", "C")))), "names a cloth twice"),
        (lambda: FanJudgement(("A", tuple("BCDEFGHIJKLMN"))), "13 cloths tie in one rank of a fan, and 12 at most"),
        (lambda: FanJudgement("ABC"), "a ranking is a tuple"),
        (lambda: FanJudgement(("A", "B", "C", ())), "a ranking is a tuple"),
        (lambda: FanJudgement(("A", "B", 3)), "a step of a fan"),
        (lambda: FanJudgement(("A", "B", "C", ((),))), "a step of a fan"),
        (lambda: EarlierResult(""), "names a category"),
        (lambda: EarlierResult("light spring", flags=("A:too-warm",)), "a cloth that was not held"),
        (lambda: Group(()), "a side is a cloth's id"),
        (lambda: DrapeJudgement("", Suits.WORKS), "a side is a cloth's id"),
        (lambda: Preference("A", "A"), "preferred to itself"),
        (lambda: VoidEntry(()), "a side is a cloth's id"),
        (lambda: GarmentJudgement("A", (), True), "say how the garment differs"),
    ],
)
def test_what_cannot_be_said_says_why(make, words):
    with pytest.raises(TenterError, match=words):
        make()


@pytest.mark.parametrize(
    ("make", "known"),
    [
        (lambda: PairJudgement("A", "B", "same"), "left, right, nothing-seen, both-good or both-wrong"),
        (lambda: PairJudgement("A", "B", None), "left, right"),
        (lambda: PairJudgement("A", "B", "left", view="sideways"), "alternate, split or photograph"),
        (lambda: PairJudgement("A", "B", "left", source="mother"), "analyst, client or third"),
        (lambda: PairJudgement("A", "B", "left", flags=("A:too-loud",)), "too-warm, too-cool"),
        (lambda: PairJudgement("A", "B", "left", signs=("A:sad",)), "even, blotchy"),
        (lambda: DrapeJudgement("A", "perfect"), "works, tolerable or fails"),
        (lambda: GarmentJudgement("A", ("louder",), True), "warmer, cooler"),
    ],
)
def test_a_word_outside_a_vocabulary_names_the_vocabulary(make, known):
    with pytest.raises(UnknownName, match=known) as caught:
        make()
    assert known.split(", ")[0] in [str(k) for k in caught.value.known]


def test_words_become_members_of_their_vocabularies():
    entry = PairJudgement(
        "A", ["B"], "left", 2, flags="A:too-warm", signs=["B:own-tint"], view="split", source="client"
    )
    assert (entry.answer, entry.view, entry.source) == (Answer.LEFT, View.SPLIT, Source.CLIENT)
    assert entry.flags == (Flagged("A", Flag.TOO_WARM),)
    assert entry.signs == (Seen("B", Sign.OWN_TINT),)
    assert entry.right == "B"


def test_a_judgement_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        SAID[0].answer = Answer.RIGHT


def test_one_flag_an_axis_and_cloth_may_stand_together():
    entry = PairJudgement("A", "B", "left", flags=("A:too-warm", "A:clarity-right", "A:depth-right", "B:too-cool"))
    assert {(f.drape, f.flag.axis) for f in entry.flags} == {
        ("A", Axis.UNDERTONE),
        ("A", Axis.CLARITY),
        ("A", Axis.DEPTH),
        ("B", Axis.UNDERTONE),
    }


@pytest.mark.parametrize("flag", Flag)
def test_every_flag_has_an_axis_and_a_direction(flag):
    assert flag.direction == (0 if flag.endswith("-right") else flag.direction) in (-1, 0, 1)
    words = {"warm": 1, "light": 1, "bright": 1, "cool": -1, "dark": -1, "soft": -1}
    if flag.startswith("too-"):
        assert flag.direction == words[flag.removeprefix("too-")]


def test_a_combination_keeps_its_cloths_and_names_a_shared_one_once():
    entry = PairJudgement(("A", "B"), ("A", "C"), "right")
    assert entry.cloths == ("A", "B", "C")
    assert entry.winner == ("A", "C")
    assert entry.pair == PairJudgement(("C", "A"), ("B", "A"), "left").pair


def test_a_fan_of_ties_and_groups_keeps_its_order():
    fan = FanJudgement((("A", Group(("B", "C"))), "D"))
    assert fan.ranks == ((("A",), ("B", "C")), (("D",),))
    assert fan.cloths == ("A", "B", "C", "D")


def test_a_tie_or_a_group_of_one_is_that_one():
    assert FanJudgement((Group(("A",)), ("B",), ["C", Group(("D",))])) == FanJudgement(("A", "B", ("C", "D")))


def test_one_cloth_held_by_mistake_is_one_cloth():
    assert VoidEntry("D063").cloths == ("D063",)


# -- the record ----------------------------------------------------------------------------------------------------


def test_void_and_undo_keep_everything(sit):
    sitting = sit(*SAID)
    sitting.void(1, "the lamp was on")
    assert [(e.number, e.void, e.undone, e.stands) for e in sitting.entries] == [
        (1, "the lamp was on", False, False),
        (2, None, False, True),
    ]
    sitting.undo()  # of the void
    assert all(e.stands for e in sitting.entries)
    sitting.undo()  # of entry 2
    assert [(e.number, e.undone) for e in sitting.entries] == [(1, False), (2, True)]
    assert [e.judgement for e in sitting.entries] == SAID
    assert len(sitting.events) == 5
    assert sitting.record(SAID[1]) == 3
    assert [e.number for e in sitting.evidence] == [1, 3]


def test_undo_goes_back_one_event_at_a_time(sit):
    sitting = sit(*SAID)
    empty = sit().probabilities()
    for _ in SAID:
        sitting.undo()
    assert sitting.evidence == ()
    assert list(sitting.probabilities().values()) == pytest.approx(list(empty.values()), abs=1e-12)
    with pytest.raises(TenterError, match="nothing to undo"):
        sitting.undo()
    assert len(sitting.entries) == 2


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda s: s.void(9, "slip"), "there is no entry 9"),
        (lambda s: s.void(0, "slip"), "there is no entry 0"),
        (lambda s: s.void(1, ""), "needs a reason"),
        (lambda s: s.void(1, "  "), "needs a reason"),
        (lambda s: (s.void(1, "slip"), s.void(1, "again")), "entry 1 is void already"),
        (lambda s: (s.undo(), s.void(2, "slip")), "entry 2 is undone already"),
    ],
)
def test_a_void_that_cannot_be(sit, act, words):
    with pytest.raises(TenterError, match=words):
        act(sit(*SAID))


def test_a_void_row_is_void_with_its_note(sit):
    sitting = sit(*SAID, VoidEntry(("D065", "D067"), note="wrong cloth lifted"))
    assert sitting.entries[2].void == "wrong cloth lifted"
    assert [e.number for e in sitting.evidence] == [1, 2]


# -- what is no evidence -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "judgement",
    [
        Preference("D063", "D064"),
        Preference("D063", source="client", flags=("D063:too-warm",)),
        VoidEntry(("D065", "D066"), flags=("D065:too-warm",)),
        EarlierResult("deep winter", "another method"),
        PairJudgement("D065", "D066", Answer.LEFT, 3, source="client"),
        PairJudgement("D065", "D066", Answer.LEFT, 3, source="third", flags=("D066:too-cool",)),
        FanJudgement(("D076", "D077", "D078"), source="client"),
        DrapeJudgement("D092", Suits.FAILS, source="client"),
        GarmentJudgement("D063", ("warmer",), True, source="client"),
    ],
    ids=lambda j: f"{type(j).__name__} of the {j.source}",
)
def test_what_is_no_evidence_moves_nothing_to_the_last_bit(sit, judgement):
    sitting = sit(*SAID)
    before, phase = sitting.probabilities(), sitting.phase
    weights = sitting.posterior().log_weights.copy()
    number = sitting.record(judgement)
    assert sitting.probabilities() == before
    assert np.array_equal(sitting.posterior().log_weights, weights)
    assert sitting.phase == phase
    assert sitting.entries[number - 1].judgement == judgement
    assert sit(judgement, *SAID).probabilities() == before


def test_a_kind_of_entry_is_evidence_only_where_it_says_so():
    assert not Remarks().is_evidence
    assert not Preference("D063").is_evidence
    assert DrapeJudgement("D063", Suits.FAILS).is_evidence
    assert not DrapeJudgement("D063", Suits.FAILS, source="client").is_evidence


@pytest.mark.parametrize(
    "sign", [s for s in Sign if s not in (Sign.OWN_TINT, Sign.APPLIED_TINT, Sign.CLOTH_FIRST, Sign.FACE_FIRST)]
)
def test_a_sign_without_a_link_to_a_direction_is_kept_and_says_nothing(sit, sign):
    told = sit(PairJudgement("D063", "D064", Answer.LEFT, signs=(f"D063:{sign}",), region="jaw"))
    assert told.probabilities() == sit(SAID[0]).probabilities()
    assert told.entries[0].judgement.signs == (Seen("D063", sign),)


# -- how much the rest weighs --------------------------------------------------------------------------------------


def moved(sitting, axis=Axis.UNDERTONE):
    return sitting.estimates()[axis].mean


@pytest.mark.parametrize("view", [View.SPLIT, View.PHOTOGRAPH])
@pytest.mark.parametrize("pair", [("D063", "D064"), ("D071", "D072"), ("D076", "D078")])
def test_two_half_views_weigh_what_one_full_view_does(sit, view, pair):
    # A half weight is the square root of the likelihood, so two of them multiply to the whole of it.
    halves = [PairJudgement(*pair, Answer.LEFT, 2, view=view)] * 2
    whole = PairJudgement(*pair, Answer.LEFT, 2)
    ours, theirs = sit(*halves).probabilities(), sit(whole).probabilities()
    assert list(ours.values()) == pytest.approx(list(theirs.values()), abs=1e-6)


def test_exchanged_half_views_weigh_in_full(sit):
    views = [
        PairJudgement("D063", "D064", Answer.LEFT, view="split"),
        PairJudgement("D064", "D063", Answer.RIGHT, view="split"),
    ]
    plain = [dataclasses.replace(v, view=View.ALTERNATE) for v in views]
    ours, theirs = sit(*views).probabilities(), sit(*plain).probabilities()
    assert list(ours.values()) == pytest.approx(list(theirs.values()), abs=1e-6)


@pytest.mark.parametrize("answer", [Answer.LEFT, Answer.RIGHT])
def test_half_views_whose_winner_follows_the_side_weigh_nothing(sit, answer):
    views = [PairJudgement(*p, answer, view="split") for p in (("D063", "D064"), ("D064", "D063"))]
    assert list(sit(SAID[1], *views).probabilities().values()) == pytest.approx(
        list(sit(SAID[1]).probabilities().values()), abs=1e-12
    )


@pytest.mark.parametrize("answers", [(Answer.BOTH_GOOD,) * 2, (Answer.NOTHING_SEEN,) * 2])
def test_equal_half_views_follow_no_side(sit, answers):
    views = [
        PairJudgement(*p, a, view="split") for p, a in zip((("D063", "D064"), ("D064", "D063")), answers, strict=True)
    ]
    before = sit().estimates()[Axis.UNDERTONE]
    after = sit(*views).estimates()[Axis.UNDERTONE]
    assert after.high - after.low < before.high - before.low


@pytest.mark.parametrize("winner", ["warm", "cool"])
@pytest.mark.parametrize("count", [1, 3, 12])
def test_metals_together_move_the_odds_by_at_most_a_factor_of_two(sit, winner, count):
    answer = Answer.LEFT if winner == "warm" else Answer.RIGHT
    metals = [PairJudgement("D089", "D090", answer, 3, signs=(f"{'D089' if winner == 'warm' else 'D090'}:blends",))]
    change = warm_odds(sit(*SAID, *metals * count)) - warm_odds(sit(*SAID))
    assert (change > 0) == (winner == "warm")
    assert abs(change) <= np.log(2) + 0.02  # the fine grid may move


def test_a_metal_beside_a_cloth_on_both_sides_is_not_what_is_judged(sit):
    # The foil is worn with either cloth: the cloths decide, and the cap on metals does not apply.
    worn = [PairJudgement(("D089", warm), ("D089", cool), Answer.LEFT, 3) for warm, cool in CLOTH_PAIRS]
    assert warm_odds(sit(*worn)) - warm_odds(sit()) > np.log(2)


CLOTH_PAIRS = [("D063", "D064"), ("D065", "D066"), ("D071", "D072"), ("D061", "D062")]


@pytest.mark.parametrize(
    ("word", "axis", "sign"),
    [
        ("warmer", Axis.UNDERTONE, 1),
        ("cooler", Axis.UNDERTONE, -1),
        ("lighter", Axis.DEPTH, 1),
        ("deeper", Axis.DEPTH, -1),
        ("brighter", Axis.CLARITY, 1),
        ("softer", Axis.CLARITY, -1),
    ],
)
def test_an_own_garment_that_is_better_bounds_its_axis(sit, word, axis, sign):
    before = moved(sit(), axis)
    better, worse = (moved(sit(GarmentJudgement("D035", (word,), b)), axis) for b in (True, False))
    assert (better - before) * sign > 0
    assert (better - worse) * sign > 0
