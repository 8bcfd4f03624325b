"""When the answer would hardly change now: the rule, its threshold, and what it waits for."""

from types import SimpleNamespace

import numpy as np
import pytest

from tenter.consultation.reading.phases import DONE
from tenter.consultation.record.judgements import PairJudgement
from tenter.consultation.sitting import enough
from tenter.consultation.sitting.enough import HARDLY_A_MINUTE, change_a_minute, hardly_changes


@pytest.mark.parametrize(
    ("phase", "exchanges", "owes", "change", "cloths", "hardly"),
    [
        (DONE, (), False, HARDLY_A_MINUTE / 2, "AB", True),
        (DONE, (), False, HARDLY_A_MINUTE, "AB", False),
        ("undertone", (), False, 0.0, "AB", False),
        (DONE, (("A", "B"),), False, 0.0, "AB", False),
        (DONE, (), True, 0.0, "AB", False),
        (DONE, (), False, 0.0, "ABC", False),
    ],
)
def test_it_is_said_below_the_threshold_and_never_while_a_pair_is_owed(
    sit, monkeypatch, phase, exchanges, owes, change, cloths, hardly
):
    sitting = sit()
    monkeypatch.setattr(enough, "change_a_minute", lambda *_: change)
    monkeypatch.setattr(enough, "owes_pairs", lambda *_: owes)
    at = {name: getattr(sitting, name) for name in ("planning_posterior", "planning_frame", "method")}
    assert hardly_changes(SimpleNamespace(phase=phase, exchanges_owed=exchanges, **at), tuple(cloths)) is hardly


def test_a_client_whose_answers_all_agree_is_told_enough_late_and_as_the_expected_change_falls(sit, demo_kit, bundled):
    place = np.array(bundled.regions[0].prototype)
    away = np.linalg.norm(bundled.coordinates(demo_kit) - place, axis=1)
    sitting, said, changes = sit(), [], []
    for _ in range(20):
        pair = sitting.propose()
        said.append(hardly_changes(sitting, pair))
        changes.append(change_a_minute(sitting, pair))
        left, right = (away[demo_kit.row(cloth)] for cloth in pair)
        sitting.record(PairJudgement(*pair, "left" if left < right else "right", strength=3))
    assert not any(said[:8])
    assert said[-1]
    assert 0 < changes[-1] < HARDLY_A_MINUTE < changes[0] < 1
