"""What is read off the chances of each answer given all the others: surprise, misfit, a side that wins, fatigue."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import ttest_ind

from tenter import Answer, DrapeJudgement, PairJudgement
from tenter.consultation.findings.diagnostics import _fatigue, _left_right, _position_bias, misfit, surprises
from tenter.consultation.reading.evidence import _first
from tenter.consultation.record.history import Entry

CAME = {Answer.LEFT: 2, Answer.RIGHT: 0}  # of the three outcomes right, equal, left; any other answer is the middle one


def came_first(answer, right, equal, left):
    """Return chances as predictions have them: the one of what came, then the others in order."""
    return _first(np.array([right, equal, left]), CAME.get(answer, 1))


# -- surprise ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("chances", [(0.2, 0.3, 0.5), (0.1, 0.1, 0.8), (1 / 3, 1 / 3, 1 / 3)])
def test_a_surprise_is_the_chance_of_what_came_or_of_anything_as_rare(chances):
    for came, own in enumerate(chances):
        found = surprises({7: _first(np.array(chances), came)})
        assert found == {7: pytest.approx(sum(c for c in chances if c <= own))}


def test_outcomes_that_are_equally_rare_but_for_the_last_bit_are_counted_alike():
    for nudge in (-1e-16, 0, 1e-16):
        assert surprises({1: np.array([0.3, 0.3 + nudge, 0.4])})[1] == pytest.approx(0.6)


# -- misfit --------------------------------------------------------------------------------------------------------


def test_misfit_is_the_share_of_sittings_that_would_be_as_surprising():
    rng, chances = np.random.default_rng(3), np.array([0.55, 0.3, 0.15])
    drawn = rng.choice(3, size=(20_000, 60), p=chances)
    told = -np.log(chances)[drawn].sum(axis=1)
    for sitting in drawn[:20]:
        share = np.mean(told >= -np.log(chances)[sitting].sum() - 1e-9)
        assert misfit([_first(chances, came) for came in sitting]) == pytest.approx(share, abs=0.05)


def test_nothing_is_a_misfit_where_nothing_was_predicted_or_whatever_came_would_be_as_surprising():
    assert misfit([]) == 1
    for count in range(1, 30):
        assert misfit([np.full(3, 1 / 3)] * count) == 1


# -- a side that wins ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("answer", Answer)
def test_the_chances_of_left_and_right_are_found_whatever_came(answer):
    assert _left_right(answer, came_first(answer, 0.2, 0.3, 0.5)) == (0.5, 0.2)


def side_bias(answers, right=0.3, equal=0.1, left=0.6, beside=()):
    entries = [Entry(n, PairJudgement("D061", "D062", answer)) for n, answer in enumerate(answers, 1)]
    predicted = {n: came_first(answer, right, equal, left) for n, answer in enumerate(answers, 1)}
    return _position_bias(SimpleNamespace(evidence=[*entries, *beside]), predicted)


MIXED = [Answer.LEFT, Answer.LEFT, Answer.NOTHING_SEEN, Answer.RIGHT, Answer.LEFT, Answer.BOTH_GOOD]


def test_sides_exchanged_turn_the_tendency_round():
    other = {Answer.LEFT: Answer.RIGHT, Answer.RIGHT: Answer.LEFT}
    found = side_bias(MIXED, right=0.4, left=0.35, equal=0.25)
    turned = side_bias([other.get(a, a) for a in MIXED], right=0.35, left=0.4, equal=0.25)
    assert found.size > 0
    assert (found.size, found.z) == pytest.approx((-turned.size, -turned.z))


def test_answers_that_come_as_predicted_show_no_side():
    answers = [Answer.LEFT] * 6 + [Answer.NOTHING_SEEN] + [Answer.RIGHT] * 3
    found = side_bias(answers)
    assert (found.size, found.z) == pytest.approx((0, 0), abs=1e-12)


def test_a_side_that_always_wins_has_the_share_beyond_the_expected_and_the_error_of_that_many_draws():
    found = side_bias([Answer.LEFT] * 8, right=0.5, equal=0.0, left=0.5)
    assert (found.size, found.z) == pytest.approx((1, 8 / np.sqrt(8)))
    rarer = side_bias([Answer.LEFT] * 8, right=0.7, equal=0.1, left=0.2)
    assert rarer.size == pytest.approx(1.5)


def test_a_side_takes_four_pairs_to_show_and_a_cloth_alone_has_none():
    alone = Entry(9, DrapeJudgement("D061", "works"))
    assert side_bias([Answer.LEFT] * 3) is None
    assert side_bias([Answer.LEFT] * 3, beside=[alone]) is None
    assert side_bias([Answer.LEFT] * 4) == side_bias([Answer.LEFT] * 4, beside=[alone]) is not None


def test_what_was_sure_to_come_shows_no_side():
    assert side_bias([Answer.LEFT] * 5, right=0.0, equal=0.0, left=1.0) is None


# -- fatigue -------------------------------------------------------------------------------------------------------


def surprise_beyond(chances):
    """Return by how many nats what came was more surprising than an answer was expected to be."""
    return -np.log(chances[0]) + chances @ np.log(chances)


@pytest.mark.parametrize("count", [10, 13, 30])
def test_fatigue_is_the_rise_from_the_first_half_to_the_second_in_its_standard_errors(count):
    rng = np.random.default_rng(count)
    predicted = list(rng.dirichlet((2, 1, 2), size=count))
    excess = [surprise_beyond(p) for p in predicted]
    early, late = excess[: count // 2], excess[count // 2 :]
    found = _fatigue(predicted)
    assert found.size == pytest.approx(np.mean(late) - np.mean(early))
    assert found.z == pytest.approx(ttest_ind(late, early, equal_var=False).statistic)  # Welch's


def test_answers_that_grow_worse_are_fatigue_and_those_that_grow_better_are_none():
    likely, rare = np.array([0.6, 0.3, 0.1]), np.array([0.1, 0.3, 0.6])
    worse = [likely] * 7 + [rare] + [likely] * 2 + [rare] * 6
    assert _fatigue(worse).z > 2
    assert _fatigue(worse[::-1]).z < -2
    assert_allclose(_fatigue(worse).size, -_fatigue(worse[::-1]).size)


def test_few_entries_and_entries_that_are_all_alike_say_nothing_of_fatigue():
    predicted = list(np.random.default_rng(1).dirichlet((2, 1, 2), size=9))
    assert _fatigue(predicted) is None
    for count in range(10, 40):  # a mean of so many is another one in the last bit
        assert _fatigue([np.array([0.62, 0.27, 0.11])] * count) is None
