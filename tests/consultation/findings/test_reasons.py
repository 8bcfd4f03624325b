"""What an entry speaks for: the category that gains most by it, among those worth speaking of."""

from types import SimpleNamespace

import numpy as np
import pytest

from tenter import Answer, DrapeJudgement, FanJudgement, PairJudgement, Suits
from tenter.consultation.findings.reasons import _gaining_most, _Words
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.record.history import Entry
from tenter.consultation.words.flags import Flag, Flagged

NAMES = ("one", "other", "third")


def gaining(whole, rest):
    """Return the category that gains most by entries 3 and 4, by the odds with all entries and without these two."""
    masses = {(): np.array(whole), (3, 4): np.array(rest)}
    leave_out = SimpleNamespace(category_masses=lambda gone: masses[tuple(gone)])
    sitting = SimpleNamespace(without=lambda: leave_out, method=SimpleNamespace(categories=NAMES))
    return _gaining_most(sitting, (3, 4))


@pytest.mark.parametrize(
    ("whole", "rest", "most"),
    [
        ((0.6, 0.3, 0.1), (0.7, 0.25, 0.05), "third"),  # doubled, where another gained more in percent
        ((0.6, 0.3, 0.1), (0.2, 0.5, 0.3), "one"),
        ((0.5, 0.3, 0.2), (0.6, 0.3, 0.1), "third"),
        ((0.6, 0.35, 0.05), (0.7, 0.3, 0.0), "third"),  # nothing else speaks for it at all
        ((0.6, 0.396, 0.004), (0.7, 0.3, 0.0), "other"),  # of the third nothing is worth saying
        ((0.0, 0.6, 0.4), (0.0, 0.7, 0.3), "third"),
        ((0.5, 0.3, 0.2), (0.5, 0.3, 0.2), "one"),  # of equals the first
    ],
)
def test_an_entry_speaks_for_the_category_whose_odds_it_multiplies_most(whole, rest, most):
    assert gaining(whole, rest) == most


# -- what was seen, in words ---------------------------------------------------------------------------------------

WARM, COOL, DEEP = "D061", "D062", "D066"


@pytest.fixture
def tell(demo_kit, bundled):
    """Tell one answer beside a category, where the client's place is drawn along the axes by so much."""

    def words(judgement, pull=(0.0, 0.0, 0.0), speaks_for=True, category="warm autumn"):
        prototype = np.array(bundled.region(category).prototype)
        found = _Words(bench_of(demo_kit, bundled), prototype, np.array(pull), speaks_for, category)
        return str(found.answer(Entry(1, judgement)))

    return words


@pytest.mark.parametrize(("answer", "better", "worse"), [(Answer.LEFT, WARM, COOL), (Answer.RIGHT, COOL, WARM)])
def test_the_cloth_that_won_is_told_first_and_the_other_is_what_it_was_better_than(
    tell, demo_kit, answer, better, worse
):
    for pull in ((0.0, 0.0, 0.0), (0.8, 0.0, 0.0), (-0.8, 0.0, 0.0)):
        for speaks_for in (True, False):
            told = tell(PairJudgement(WARM, COOL, answer, 2), pull, speaks_for)
            assert told.startswith(demo_kit[better].name)
            assert f"better than {demo_kit[worse].name}" in told


@pytest.mark.parametrize(("strength", "much"), [(1, "a little"), (2, "clearly"), (3, "strongly")])
def test_how_much_better_is_told_as_it_was_said_and_a_little_as_no_more_than_that_where_nothing_is_named(
    tell, strength, much
):
    judgement = PairJudgement(WARM, COOL, Answer.LEFT, strength)
    named, unnamed = tell(judgement, (0.8, 0.0, 0.0)), tell(judgement)
    assert "the warmer cloth" in named
    assert f"was {much} better" in named
    assert "warmer" not in unnamed
    assert f"was {'only a little' if strength == 1 else much} better" in unnamed


def test_each_kind_of_answer_is_told_of_its_own_cloths(tell, demo_kit):
    warm, cool, deep = (demo_kit[c].name for c in (WARM, COOL, DEEP))
    assert f"{warm} and {cool} were equally good" in tell(PairJudgement(WARM, COOL, Answer.BOTH_GOOD))
    assert tell(DrapeJudgement(WARM, Suits.FAILS)) == f"{warm} on its own did not work"
    order = tell(FanJudgement((COOL, (WARM, DEEP))))
    assert order.endswith(f"{cool}, then {warm} level with {deep}")


@pytest.mark.parametrize(
    ("flag", "said"), [(Flag.UNDERTONE_RIGHT, "had the right undertone"), (Flag.TOO_DARK, "was too dark")]
)
def test_what_was_right_of_a_cloth_is_told_as_what_it_had(tell, demo_kit, flag, said):
    told = tell(DrapeJudgement(WARM, Suits.FAILS, flags=(Flagged(WARM, flag),)))
    assert told.endswith(f"; {demo_kit[WARM].name} {said}")


def test_where_and_how_it_was_seen_is_told_where_it_was_said_and_only_there(tell):
    plain = PairJudgement(WARM, COOL, Answer.LEFT)
    assert "seen" not in tell(plain)
    assert "in a half-face view" in tell(PairJudgement(WARM, COOL, Answer.LEFT, view="split"))
    assert "seen" in tell(PairJudgement(WARM, COOL, Answer.LEFT, region="jaw"))


@pytest.mark.parametrize(
    ("suits", "word"), [(Suits.WORKS, ", although"), (Suits.TOLERABLE, ", although"), (Suits.FAILS, ";")]
)
def test_what_was_off_about_a_cloth_limits_that_it_worked_and_stands_beside_that_it_did_not(tell, suits, word):
    assert f"{word} " in tell(DrapeJudgement(WARM, suits, flags=(f"{WARM}:too-bright",)))
