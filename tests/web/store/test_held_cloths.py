"""What a sitting has held is read from its events once, and again only when there are more of them."""

import pytest
from django.db import DatabaseError

from tenter import PairJudgement
from tenter.web.models import Client, KitRecord, Sitting, SittingCloths
from tenter.web.store import held_cloths, store
from tenter.web.store.held_cloths import cloths_held


@pytest.fixture
def row(owner):
    row = store.start_sitting(Client.objects.first(), owner, KitRecord.objects.get(), seed=7)
    answer(row, "D063", "D064")
    return row


def answer(row, *cloths):
    store.change_sitting(row, "-".join(cloths), lambda live: live.record(PairJudgement(*cloths, "left")))


def test_the_cloths_of_each_sitting_are_those_of_its_events(row):
    rows = Sitting.objects.all()
    held = cloths_held(rows)
    assert held[row.pk] == {"D063", "D064"}
    assert set(held) == {one.pk for one in rows if one.events.exists()}
    for pk, cloths in held.items():
        with store.load(Sitting.objects.get(pk=pk)) as live:
            assert cloths == {cloth for entry in live.entries for cloth in entry.judgement.cloths}


def test_only_what_is_new_is_read_again(row, monkeypatch):
    before, read = cloths_held(Sitting.objects.all()), []
    real = held_cloths.judgement_from
    monkeypatch.setattr(held_cloths, "judgement_from", lambda document: read.append(1) or real(document))
    assert cloths_held(Sitting.objects.all()) == before
    assert read == []
    answer(row, "D001", "D002")
    assert cloths_held(Sitting.objects.all())[row.pk] == {"D063", "D064", "D001", "D002"}
    assert len(read) == 2
    assert SittingCloths.objects.get(sitting=row).events == 2


def test_what_cannot_be_kept_is_told_all_the_same(row, monkeypatch):
    def full(*_said, **_more):
        raise DatabaseError

    monkeypatch.setattr(type(SittingCloths.objects.all()), "bulk_create", full)
    assert cloths_held(Sitting.objects.filter(pk=row.pk)) == {row.pk: {"D063", "D064"}}
    assert not SittingCloths.objects.exists()
