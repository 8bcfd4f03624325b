"""The way through the phases: it hangs on what stands alone, and what is known of it is not weighed again."""

from itertools import combinations, islice

import pytest

from tenter import PairJudgement
from tenter.consultation.reading.evidence_set import EvidenceSet
from tenter.consultation.reading.phases import DONE

_FIRST = [
    PairJudgement("D063", "D064", "left", 3),
    PairJudgement("D073", "D075", "right", 2),
    PairJudgement("D064", "D063", "right", 2),
]


@pytest.fixture
def weighed(monkeypatch):
    """The numbers of the last entry at each weighing."""
    counts, whole = [], EvidenceSet.posterior

    def counted(evidence, entries):
        counts.append(entries[-1].number)
        return whole(evidence, entries)

    monkeypatch.setattr(EvidenceSet, "posterior", counted)
    return counts


def _many(kit, count):
    ids = [drape.id for drape in kit.drapes if not drape.is_metal]
    return [PairJudgement(one, other, "left") for one, other in islice(combinations(ids, 2), count)]


def _change(sitting):
    """Void, undo and go on, so that what stands is another at each step; yields after each."""
    sitting.void(1, "lipstick")
    yield
    sitting.record(PairJudgement("D063", "D064", "left", 3))
    yield
    sitting.undo()
    yield
    sitting.undo()
    yield
    sitting.record(PairJudgement("D073", "D075", "left", 1))
    yield


def test_the_phases_are_the_same_whether_asked_after_each_step_or_at_the_end(sit):
    asked, left = sit(*_FIRST), sit(*_FIRST)
    for _ in _change(asked):
        assert asked.phase != DONE
    list(_change(left))
    assert left.phase == asked.phase
    standing = [entry.number for entry in left.evidence]
    assert [left.phase_of(n) for n in standing] == [asked.phase_of(n) for n in standing]
    assert left.probabilities() == asked.probabilities()


def test_a_repeat_belongs_to_the_phase_of_what_it_repeats(sit, demo_kit):
    sitting = sit(PairJudgement("D063", "D064", "left", 3), *_many(demo_kit, 60))
    number = sitting.record(PairJudgement("D064", "D063", "right", 3))
    assert sitting.phase == DONE
    assert sitting.phase_of(number) == sitting.phase_of(1) == sitting.method.phases[0].id
    assert sitting.phase_of(number - 1) == DONE


def test_after_the_last_phase_nothing_is_weighed_to_find_the_phase(sit, demo_kit, weighed):
    sitting = sit(*_many(demo_kit, 120))
    assert sitting.phase == DONE
    before = [n for n in range(1, 121) if sitting.phase_of(n) != DONE]
    assert weighed == before
    assert len(before) <= sum(phase.most for phase in sitting.method.phases) < 120


def test_an_undo_weighs_nothing_again_that_stands_before_it(sit, weighed):
    sitting = sit(*_FIRST)
    assert sitting.phase != DONE
    weighed.clear()
    sitting.undo()
    sitting.record(PairJudgement("D073", "D075", "left", 1))
    assert sitting.phase != DONE
    assert weighed == [4]


def test_an_entry_that_does_not_stand_has_no_phase(sit):
    sitting = sit(*_FIRST)
    sitting.void(2, "lipstick")
    with pytest.raises(Exception, match="entry 2 is not valid evidence"):
        sitting.phase_of(2)
