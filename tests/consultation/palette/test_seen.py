"""What counted answers showed of each cloth, whose answers count, and that the last word holds."""

import pytest

import tenter
from tenter import Answer, DrapeJudgement, FanJudgement, PairJudgement, Preference, Showing, Suits, Worth
from tenter.consultation.palette.seen import NOTHING_SEEN_OF_IT, counted_entries, seen_on_client
from tenter.consultation.record.judgements import GarmentJudgement, Group
from tenter.consultation.record.no_evidence import VoidEntry
from tenter.consultation.words.flags import Flag

RED, ROSE, LEAF, LAKE = "D011", "D021", "D009", "D010"


@pytest.fixture
def seen(demo_kit, bundled):
    """Return what judgements showed of a cloth."""

    def of(cloth, *judgements, flags=frozenset(Flag)):
        sitting = tenter.Sitting(demo_kit, bundled, seed=7).record_all(judgements)
        return seen_on_client(sitting.entries, demo_kit, flags).get(cloth, NOTHING_SEEN_OF_IT)

    return of


def test_a_flag_holds_until_the_next_direct_answer(seen):
    too = PairJudgement(RED, ROSE, Answer.RIGHT, flags=(f"{RED}:too-bright",))
    assert seen(RED, too).too == (Flag.TOO_BRIGHT,)
    assert seen(ROSE, too).too == ()
    again = seen(RED, too, PairJudgement(RED, LEAF, Answer.LEFT))
    assert (again.too, again.off, again.ever_off) == ((), False, True)


def test_a_flag_that_says_right_or_that_the_method_leaves_out_is_none(seen):
    told = DrapeJudgement(RED, Suits.TOLERABLE, flags=(f"{RED}:clarity-right", f"{RED}:too-dark"))
    assert seen(RED, told).too == (Flag.TOO_DARK,)
    assert not seen(RED, told, flags=frozenset({Flag.TOO_WARM})).ever_off


@pytest.mark.parametrize(
    "wrong", [DrapeJudgement(RED, Suits.FAILS), PairJudgement(RED, ROSE, Answer.BOTH_WRONG)], ids=["alone", "both"]
)
def test_what_failed_fails_until_it_does_well(seen, wrong):
    assert seen(RED, wrong).failed
    assert seen(RED, wrong, PairJudgement(RED, LEAF, Answer.LEFT)).failed  # better than another is not yet good
    assert not seen(RED, wrong, PairJudgement(RED, LEAF, Answer.BOTH_GOOD)).failed
    assert not seen(RED, wrong, DrapeJudgement(RED, Suits.WORKS)).failed


def test_the_last_showing_of_a_pair_holds(seen):
    first, again = PairJudgement(RED, ROSE, Answer.RIGHT), PairJudgement(ROSE, RED, Answer.RIGHT)
    assert (seen(RED, first).lost_to, seen(RED, first).won_over) == ((ROSE,), ())
    assert (seen(RED, first, again).lost_to, seen(RED, first, again).won_over) == ((), (ROSE,))
    assert seen(ROSE, first, again).lost_to == (RED,)
    assert seen(RED, first, PairJudgement(RED, ROSE, Answer.NOTHING_SEEN)).lost_to == ()


@pytest.mark.parametrize(
    ("answer", "level"), [(Answer.BOTH_GOOD, (ROSE,)), (Answer.BOTH_WRONG, ()), (Answer.NOTHING_SEEN, ())]
)
def test_only_two_that_are_both_good_are_level(seen, answer, level):
    assert seen(RED, PairJudgement(RED, ROSE, answer)).level_with == level


def test_a_fan_compares_every_two_of_its_cloths(seen):
    fan = FanJudgement(((RED, ROSE), LEAF, LAKE))
    assert (seen(RED, fan).level_with, seen(RED, fan).won_over) == ((ROSE,), (LEAF, LAKE))
    assert (seen(LEAF, fan).lost_to, seen(LEAF, fan).won_over) == ((RED, ROSE), (LAKE,))
    lower = FanJudgement((RED, (LEAF, LAKE), Group((ROSE, "D022"))))
    assert seen(LEAF, lower).level_with == ()  # passed over alike
    assert seen(ROSE, lower).lost_to == ()  # a group is judged as one


# common practice, no source. W6: two cloths worn together are judged as a pair.
@pytest.mark.parametrize(
    "together",
    [
        PairJudgement((LEAF, RED), (LAKE, RED), Answer.LEFT),
        PairJudgement((LEAF, RED), (LAKE, RED), Answer.BOTH_WRONG),
        DrapeJudgement((LEAF, LAKE), Suits.FAILS),
    ],
    ids=["better", "both-wrong", "fails"],
)
def test_what_two_did_together_is_said_of_neither(seen, together):
    for cloth in (LEAF, LAKE):
        found = seen(cloth, together)
        assert found.words
        assert (found.off, found.won_over, found.lost_to, found.level_with) == (False, (), (), ())


def test_a_showing_is_the_last_word_until_a_direct_answer(seen):
    fails, best = DrapeJudgement(RED, Suits.FAILS, flags=(f"{RED}:too-dark",)), Showing(Worth.BEST, RED)
    shown = seen(RED, fails, best)
    assert (shown.shown, shown.off, shown.ever_off, shown.words[-1]) == (
        Worth.BEST,
        False,
        True,
        "among your best when shown",
    )
    assert seen(RED, Showing(Worth.NO, RED)).off
    assert (seen(RED, best, fails).shown, seen(RED, best, fails).off) == (None, True)
    assert seen(RED, best, Showing(Worth.AWAY, RED)).shown is Worth.AWAY


def test_a_flag_speaks_of_its_cloth_in_company_too(seen):
    together = PairJudgement((RED, LEAF), (RED, LAKE), Answer.LEFT, flags=(f"{LAKE}:too-cool",))
    assert seen(LAKE, together).too == (Flag.TOO_COOL,)


def test_a_garment_says_nothing_of_the_cloth_but_by_a_flag(seen):
    assert seen(RED, GarmentJudgement(RED, ("softer",), better=True)) == NOTHING_SEEN_OF_IT
    flagged = GarmentJudgement(RED, ("softer",), better=True, flags=(f"{RED}:too-bright",))
    assert seen(RED, flagged).too == (Flag.TOO_BRIGHT,)


def split(left, right):
    return PairJudgement(left, right, Answer.LEFT, view="split", flags=(f"{right}:too-dark",))


@pytest.mark.parametrize(
    "judgements",
    [
        (DrapeJudgement(RED, Suits.FAILS, source="client"),),
        (DrapeJudgement(RED, Suits.FAILS, source="third"),),
        (Preference(ROSE, RED),),
        (Showing(Worth.BEST, RED, source="client"),),
        (Showing(Worth.BEST, brought="garment", name="blazer"),),
        (VoidEntry((RED, ROSE), note="wrong cloth"),),
        (split(ROSE, RED), split(RED, ROSE)),  # the winner followed the side of the face
    ],
    ids=["client", "third", "preference", "shown to the client", "brought", "void", "weightless"],
)
def test_what_does_not_count_shows_nothing(demo_kit, bundled, judgements):
    sitting = tenter.Sitting(demo_kit, bundled, seed=7).record_all(judgements)
    assert counted_entries(sitting.entries) == ()
    assert seen_on_client(sitting.entries, demo_kit, bundled.flags) == {}


def test_what_was_voided_or_undone_shows_nothing(demo_kit, bundled):
    sitting = tenter.Sitting(demo_kit, bundled, seed=7)
    sitting.void(sitting.record(DrapeJudgement(RED, Suits.FAILS)), "another light")
    sitting.record(DrapeJudgement(RED, Suits.FAILS))
    sitting.undo()
    assert counted_entries(sitting.entries) == ()
    assert seen_on_client(sitting.entries, demo_kit, bundled.flags) == {}
