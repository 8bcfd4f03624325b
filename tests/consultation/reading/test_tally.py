"""What became of every entry: counted, weighing nothing, void, taken back, or kept apart."""

import pytest

from tenter import Answer, Kit, Method, PairJudgement, Sitting, View
from tenter.consultation.findings.contradictions import ContradictionKind
from tenter.consultation.reading.tally import tally
from tenter.consultation.record.no_evidence import EarlierResult
from tenter.report.reading.why import contradicts
from tenter.report.words.made import made

PAIRS = [("D063", "D064"), ("D061", "D062"), ("D065", "D066"), ("D071", "D072"), ("D073", "D075")]


@pytest.fixture
def sitting():
    found = Sitting(Kit.demo(), Method.bundled(), seed=7)
    return found.record_all(PairJudgement(left, right, Answer.LEFT) for left, right in PAIRS)


def halves(sitting, left, right, answers):
    sitting.record(PairJudgement(left, right, answers[0], view=View.SPLIT))
    sitting.record(PairJudgement(right, left, answers[1], view=View.SPLIT))


def test_an_undone_entry_is_not_called_void(sitting):
    sitting.void(2, "the light changed")
    for _ in range(2):
        sitting.record(PairJudgement("D082", "D083", Answer.LEFT))
        sitting.undo()
    found = tally(sitting.entries)
    assert (found.counted, found.void, found.undone, found.weightless, found.apart) == (4, 1, 2, 0, 0)
    assert made(found) == "4 comparisons counted, 1 void entry and 2 taken back"


def test_half_faces_that_follow_the_side_are_not_counted(sitting):
    halves(sitting, "D082", "D083", (Answer.LEFT, Answer.LEFT))
    found = tally(sitting.entries)
    assert (found.counted, found.weightless) == (5, 2)
    assert "2 on half a face not counted, as the same side won both ways round" in made(found)


def test_half_faces_that_follow_the_cloth_are_counted(sitting):
    halves(sitting, "D082", "D083", (Answer.LEFT, Answer.RIGHT))
    assert tally(sitting.entries).counted == 7


def test_the_parts_add_up_to_all_entries(sitting):
    sitting.record(EarlierResult("soft autumn"))
    sitting.void(1, "hair in the face")
    sitting.undo()
    found = tally(sitting.entries)
    assert found.counted + found.weightless + found.void + found.undone + found.apart == len(sitting.entries)


def test_each_kind_of_disagreement_has_a_sentence_of_its_own(sitting):
    halves(sitting, "D082", "D083", (Answer.LEFT, Answer.LEFT))
    followed = [c for c in sitting.verdict().contradictions if c.kind is ContradictionKind.SIDE]
    assert [c.number for c in followed] == [6, 7]
    for found in followed:
        assert "%" not in contradicts(found)
        assert "count nothing" in contradicts(found)
