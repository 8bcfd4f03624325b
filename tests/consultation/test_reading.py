"""What a reading says beside its odds: what they would be were an earlier result counted, as it never is."""

import pytest

from tenter import EarlierResult, PairJudgement


@pytest.mark.parametrize("category", ["soft autumn", "bright winter"])
def test_an_earlier_result_would_raise_its_own_category_and_rule_nothing_out(sit, category):
    answers = [PairJudgement("D063", "D064", "left", 2), PairJudgement("D073", "D075", "left")]
    plain, told = sit(*answers), sit(*answers, EarlierResult(category))
    without = plain.probabilities()
    assert told.probabilities() == pytest.approx(without)
    assert plain.with_earlier_results() == pytest.approx(without, abs=1e-6)
    counted = told.with_earlier_results()
    assert sum(counted.values()) == pytest.approx(1)
    assert counted[category] > 1.2 * without[category]
    assert all(counted[c] > 0.3 * without[c] for c in without)
