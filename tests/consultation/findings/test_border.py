"""The border check: how far two parties' means must differ to count, whichever of them had more cloths."""

import numpy as np
import pytest

from tenter.consultation.findings.border import BorderCheck, _check, _How, _Party, _Told

TURNED = {
    BorderCheck.AGREES: BorderCheck.CONTRADICTS,
    BorderCheck.CONTRADICTS: BorderCheck.AGREES,
    BorderCheck.LEVEL: BorderCheck.LEVEL,
}


def told(*scores, weight=1.0):
    return [_Told(_How.ALONE, _Party.OTHERS, score, weight, n) for n, score in enumerate(scores, 1)]


@pytest.mark.parametrize("many", [1, 2, 5, 40])
@pytest.mark.parametrize("score", np.linspace(-1, 1, 21).round(1))
def test_parties_exchanged_turn_the_check_round_and_a_cloth_is_as_uncertain_on_either_side(score, many):
    one, others = told(score), told(*[0.0] * many)
    check = _check([(one, others)])
    assert _check([(others, one)]) is TURNED[check]
    error = 0.7 * np.sqrt(1 + 1 / many)  # 0.7 is the spread of what one entry tells
    assert (check is BorderCheck.LEVEL) == (abs(score) <= error)
    if check is not BorderCheck.LEVEL:
        assert (check is BorderCheck.AGREES) == (score > 0)


def test_more_ways_of_judging_that_say_the_same_say_it_more_surely():
    slight = told(0.6), told(0.0)
    assert _check([slight]) is BorderCheck.LEVEL
    assert _check([slight] * 4) is BorderCheck.AGREES


def test_a_way_with_few_cloths_on_either_side_hardly_counts_beside_one_with_many():
    many_say, few_say = (told(*[0.5] * 20), told(*[0.0] * 20)), (told(-1.0, weight=0.5), told(*[1.0] * 20))
    assert _check([many_say, few_say]) is _check([few_say, many_say]) is BorderCheck.AGREES
    assert _check([few_say[::-1], many_say[::-1]]) is BorderCheck.CONTRADICTS


def test_nothing_to_compare_is_untested():
    assert _check([]) is BorderCheck.UNTESTED
