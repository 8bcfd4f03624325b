"""Events replay to the same numbers as a sitting held in one hand; a key counts once."""

from datetime import timedelta
from threading import Thread

import pytest
from django.db import connection

import tenter
from tenter import Answer, PairJudgement
from tenter.consultation.record.history import Recorded
from tenter.consultation.sitting.journal import event_document
from tenter.web.models import Client, KitRecord, Sitting, SittingEvent
from tenter.web.store import store
from tests.support import entering


@pytest.fixture
def row(owner):
    return store.start_sitting(Client.objects.first(), owner, KitRecord.objects.get(), seed=7)


def by_hand(sit):
    direct = sit(PairJudgement("D001", "D002", Answer.LEFT), PairJudgement("D003", "D004", Answer.RIGHT, 2))
    direct.void(1, "the light moved")
    direct.set_aside("D010")
    direct.record(PairJudgement("D005", "D006", Answer.BOTH_GOOD))
    direct.undo()
    return direct


def by_rows(row):
    entering.record_judgement(row, PairJudgement("D001", "D002", Answer.LEFT), "a")
    entering.record_judgement(row, PairJudgement("D003", "D004", Answer.RIGHT, 2), "b")
    entering.void(row, 1, "the light moved", "c")
    entering.set_aside(row, "D010", "d")
    entering.record_judgement(row, PairJudgement("D005", "D006", Answer.BOTH_GOOD), "e")
    entering.undo(row, "f")


@pytest.mark.parametrize("kept", [True, False], ids=["live", "replayed"])
def test_rows_come_to_the_same_as_a_sitting_in_hand(row, sit, kept):
    direct = by_hand(sit)
    by_rows(row)
    if not kept:
        store.forget_sittings()
    with store.load(row) as live:
        assert live.events == direct.events
        assert live.probabilities() == direct.probabilities()
        assert live.propose() == direct.propose()
    kinds = ["recorded", "recorded", "voided", "missing", "recorded", "undone"]
    assert [(e.number, e.kind) for e in row.events.all()] == list(enumerate(kinds, start=1))


def test_the_demo_clients_come_to_the_demo_verdicts(owner, demo_sittings):
    for name, client in (("Maren Tolliver", "K5"), ("Georgi Amsel", "K4")):
        with store.load(Sitting.objects.get(client__name=name)) as live:
            assert live.probabilities() == demo_sittings[client].probabilities()


def test_the_same_key_counts_once(row):
    judgement = PairJudgement("D001", "D002", Answer.LEFT)
    first, again = entering.record_judgement(row, judgement, "k"), entering.record_judgement(row, judgement, "k")
    assert first is not None
    assert first == again
    assert row.events.count() == 1
    with store.load(row) as live:
        assert len(live.entries) == 1


def test_a_cloth_set_aside_twice_is_one_event(row):
    assert entering.set_aside(row, "D010", "a") is not None
    assert entering.set_aside(row, "D010", "b") is None
    assert row.events.count() == 1


def test_a_refused_change_leaves_no_trace(row):
    entering.record_judgement(row, PairJudgement("D001", "D002", Answer.LEFT), "a")
    with pytest.raises(tenter.TenterError, match="no cloth in this kit"):
        entering.record_judgement(row, PairJudgement("D001", "NONE", Answer.LEFT), "b")
    with pytest.raises(tenter.TenterError, match="needs a reason"):
        entering.void(row, 1, " ", "c")
    with store.load(row) as live:
        assert len(live.events) == 1
    assert row.events.count() == 1


def test_a_failed_write_leaves_the_live_sitting_behind_no_row(row, monkeypatch):
    def fail(**_):
        raise OSError("disk full")

    entering.record_judgement(row, PairJudgement("D001", "D002", Answer.LEFT), "a")
    monkeypatch.setattr(SittingEvent.objects, "create", fail)
    with pytest.raises(OSError, match="disk full"):
        entering.record_judgement(row, PairJudgement("D003", "D004", Answer.LEFT), "b")
    with store.load(row) as live:
        assert len(live.entries) == 1


def test_another_workers_event_is_seen(row):
    with store.load(row) as live:
        assert live.entries == ()
    payload = event_document(Recorded(1, PairJudgement("D001", "D002", Answer.LEFT)))
    SittingEvent.objects.create(sitting=row, number=1, kind="recorded", payload=payload, key="theirs")
    with store.load(row) as live:
        assert len(live.entries) == 1


@pytest.mark.django_db(transaction=True)
def test_two_devices_at_once_lose_nothing(row):
    faults = []

    def device(name):
        try:
            for i in range(4):
                entering.record_judgement(row, PairJudgement("D001", "D002", Answer.LEFT), f"{name}-{i}")
                entering.record_judgement(row, PairJudgement("D003", "D004", Answer.RIGHT), f"both-{i}")
        except Exception as error:
            faults.append(error)
        finally:
            connection.close()

    devices = [Thread(target=device, args=(name,)) for name in "xy"]
    for thread in devices:
        thread.start()
    for thread in devices:
        thread.join()
    assert faults == []
    assert [e.number for e in row.events.all()] == list(range(1, 13))
    with store.load(row) as live:
        assert len(live.entries) == 12


def test_a_kit_with_a_fault_is_not_kept(owner):
    with pytest.raises(tenter.TenterError, match="row 2, column L"):
        store.add_kit(owner, "Bad", "id,name,L,a,b,illuminant,observer\nA,a,x,0,0,D65,10\n")
    assert KitRecord.objects.count() == 1


@pytest.mark.parametrize("other", ["key", "at"])
def test_an_event_in_the_place_of_one_that_was_seen_is_no_part_of_what_was_replayed(row, other):
    # As after a restore: events of a ledger have the same keys in every studio, and numbers count from one in each.
    entering.record_judgement(row, PairJudgement("D001", "D002", "left"), "one")
    with store.load(row) as live:
        assert [e.judgement.left for e in live.entries] == ["D001"]
    seen = row.events.get()
    document = event_document(Recorded(1, PairJudgement("D003", "D004", "left")))
    changed = {"key": "another"} if other == "key" else {"at": seen.at - timedelta(days=1)}
    row.events.filter(pk=seen.pk).update(payload=document, **changed)
    with store.load(row) as live:
        assert [e.judgement.left for e in live.entries] == ["D003"]
