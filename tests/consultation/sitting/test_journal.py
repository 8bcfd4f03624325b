"""The journal: what was acknowledged survives, in the order it came."""

import json

import pytest

import tenter
from tenter.consultation.sitting.journal import Journal, judgement_document, judgement_from

JUDGEMENTS = [
    tenter.PairJudgement("D063", "D064", "left", 3, flags=("D064:too-cool",), signs=("D064:blotchy",), region="cheek"),
    tenter.PairJudgement(("D040", "D003"), ("D040", "D013"), "both-good", minute=3.5),
    tenter.FanJudgement(("D074", ("D073", "D075"))),
    tenter.FanJudgement((tenter.Group(("D001", "D002")), "D003", tenter.Group(("D004", "D005")))),
    tenter.DrapeJudgement("D092", "fails", view="photograph"),
    tenter.GarmentJudgement("D074", ("brighter",), True, "own scarf"),
    tenter.Preference("D066", "D065", source="client"),
    tenter.VoidEntry(("D065", "D067"), note="wrong cloth lifted"),
    tenter.EarlierResult("light spring", "another method"),
    tenter.ConsultantVerdict("soft summer", "four-by-three", note="muted colours evened the cheeks"),
]


@pytest.mark.parametrize("judgement", JUDGEMENTS, ids=lambda j: type(j).__name__)
def test_a_judgement_comes_back_as_it_went(judgement):
    assert judgement_from(json.loads(json.dumps(judgement_document(judgement)))) == judgement


def written(path, sitting):
    journal = Journal(path)
    for event in sitting.events:
        journal.append(event)
    return journal


def test_a_sitting_comes_back_with_void_undo_and_missing_cloths(sit, tmp_path):
    sitting = sit(*JUDGEMENTS)
    sitting.void(1, "lamp was off")
    sitting.set_aside("D001")
    sitting.record(tenter.PairJudgement("D073", "D075", "right"))
    sitting.undo()
    again = sit()
    assert written(tmp_path / "s.jsonl", sitting).replay(again) == len(sitting.events)
    assert again.entries == sitting.entries
    assert again.held.missing == {"D001"}
    assert again.probabilities() == sitting.probabilities()


def test_a_torn_last_line_is_cut_off_and_the_rest_kept(sit, tmp_path):
    path = tmp_path / "s.jsonl"
    written(path, sit(*JUDGEMENTS[:3]))
    whole = path.read_text()
    path.write_text(whole + '{"event": "recor')
    again = sit()
    assert Journal(path).replay(again) == 3
    assert path.read_text() == whole


def test_a_line_torn_at_any_byte_is_cut_off_there_and_nothing_before_it_is_touched(sit, tmp_path):
    path = tmp_path / "s.jsonl"
    noted = tenter.VoidEntry(("D065",), note="Tücher – nächstes Mal 布")
    written(path, sit(JUDGEMENTS[0], noted))
    content = path.read_bytes()
    first = content.index(b"\n") + 1
    for cut in range(first + 1, len(content)):
        path.write_bytes(content[:cut])
        assert Journal(path).replay(sit()) == 1
        assert path.read_bytes() == content[:first]
    path.write_bytes(content)
    assert Journal(path).replay(sit()) == 2
    assert path.read_bytes() == content


def test_a_file_that_cannot_be_read_is_left_as_it_is(sit, tmp_path):
    path = tmp_path / "s.jsonl"
    content = b'nonsense\n{"event": "recor'
    path.write_bytes(content)
    with pytest.raises(tenter.TenterError, match="line 1"):
        Journal(path).replay(sit())
    assert path.read_bytes() == content
    with pytest.raises(tenter.TenterError, match="cannot be opened"):
        Journal(tmp_path).replay(sit())


DEEP = "[" * 100_000
DAMAGED = [
    "nonsense",
    "[]",
    '{"event": "danced"}',
    '{"event": "recorded", "judgement": {}}',
    "5",
    "null",
    DEEP,
    "\u0661",
]
DAMAGED += ['{"event": "voided", "number": Infinity, "reason": ""}', '{"event": ["undone"]}', "1" * 5000]


@pytest.mark.parametrize("line", DAMAGED, ids=range(len(DAMAGED)))
def test_a_line_that_is_no_event_is_named(sit, tmp_path, line):
    path = tmp_path / "s.jsonl"
    written(path, sit(JUDGEMENTS[0]))
    path.write_text(path.read_text() + line + "\n", encoding="utf-8")
    with pytest.raises(tenter.TenterError, match="line 2"):
        Journal(path).replay(sit())
