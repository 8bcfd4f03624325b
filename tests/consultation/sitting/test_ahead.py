"""Which pairs are shown ahead."""

import pytest

import tenter
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.sitting.ahead import likely_next


@pytest.mark.parametrize("count", [0, 9])
def test_the_next_pair_is_one_of_those_shown_ahead_whichever_is_clearly_better(sit, count):
    for side in ("left", "right"):
        sitting = sit()
        for _ in range(count):
            sitting.record(PairJudgement(*sitting.propose(), "left"))
        pair, before = sitting.propose(), len(sitting.events)
        ahead = likely_next(sitting, pair)
        assert len(sitting.events) == before
        assert sitting.propose() == pair
        assert ahead == tuple(sorted(ahead))
        sitting.record(PairJudgement(*pair, side, strength=2))
        assert tuple(sorted(sitting.propose())) in ahead


def test_a_kit_that_is_used_up_has_nothing_ahead(bundled):
    kit = tenter.Kit.from_lab(["A", "B"], [[60, 30, 10], [60, 10, 30]], ["red", "red"])
    assert likely_next(tenter.Sitting(kit, bundled), ("A", "B")) == ()
