"""What a sitting came to is remembered under everything that it follows from, and under nothing less."""

import json

import pytest

from tenter.errors import TenterError
from tenter.web import replays, store
from tenter.web.backup import backup_bytes, histories_of, label, tables
from tenter.web.models import Client, KitRecord, Sitting, SittingEvent
from tenter.web.replays import checksum, digest, histories, remembered_digests

pytestmark = pytest.mark.one_database


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """The data folder of this test alone."""
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path))
    return tmp_path


@pytest.fixture
def owner(owner):
    """The owner with two short sittings: a replay takes its time, and what is remembered of five is no different."""
    kept = [row.client_id for row in sorted(Sitting.objects.all(), key=lambda row: row.events.count())[:2]]
    Client.objects.exclude(pk__in=kept).delete()
    return owner


@pytest.fixture
def replayed(owner, monkeypatch):
    """The numbers of the sittings that are replayed from here on."""
    seen = []
    whole = store.replayed
    monkeypatch.setattr(store, "replayed", lambda row, events: seen.append(row.pk) or whole(row, events))
    return seen


def now():
    return histories_of({label(model): list(model._default_manager.all()) for model in tables()})


def add_event(row):
    last = row.events.last()
    SittingEvent.objects.create(
        sitting=row, number=last.number + 1, kind="undone", payload={"event": "undone"}, key="z"
    )


def test_a_second_backup_replays_what_is_new_alone(replayed):
    first = remembered_digests(now())
    assert sorted(replayed) == sorted(Sitting.objects.values_list("pk", flat=True))
    replayed.clear()
    assert remembered_digests(now()) == first
    assert replayed == []
    row = Sitting.objects.first()
    add_event(row)
    second = remembered_digests(now())
    assert replayed == [row.pk]
    assert {number for number in first if first[number] != second[number]} == {str(row.pk)}


def test_what_is_remembered_is_what_a_replay_gives(owner):
    remembered_digests(now())
    assert remembered_digests(now()) == {history.number: digest(history) for history in now()}


@pytest.mark.parametrize("part", ["events", "seed", "method", "kit", "name"])
def test_a_checksum_follows_from_each_part(owner, part):
    row = Sitting.objects.select_related("kit").first()
    payloads = tuple(row.events.values_list("payload", flat=True))
    before = checksum(replays.History(row, payloads))
    if part == "events":
        payloads = payloads[:-1]
    elif part == "seed":
        row.seed += 1
    elif part == "method":
        row.method = "four-seasons"
    elif part == "kit":
        row.kit.csv += "\n"
    else:
        row.kit.name += "x"
    assert checksum(replays.History(row, payloads)) != before


def test_another_program_remembers_nothing(replayed, monkeypatch):
    remembered_digests(now())
    replayed.clear()
    monkeypatch.setattr(replays, "_program", lambda: "the next version")
    remembered_digests(now())
    assert len(replayed) == Sitting.objects.count()


@pytest.mark.parametrize("content", ["", "{", "[]", '{"a": 1}', "\u00e9"])
def test_a_memory_that_is_torn_is_none(replayed, folder, content):
    whole = remembered_digests(now())
    (folder / "odds-seen.json").write_text(content, encoding="utf-8")
    replayed.clear()
    assert remembered_digests(now()) == whole
    assert len(replayed) == Sitting.objects.count()
    assert len(json.loads((folder / "odds-seen.json").read_text())) == Sitting.objects.count()


def test_a_sitting_that_is_gone_is_remembered_no_more(owner, folder):
    backup_bytes()
    Sitting.objects.last().delete()
    backup_bytes()
    assert len(json.loads((folder / "odds-seen.json").read_text())) == Sitting.objects.count()


def test_events_are_replayed_by_number(owner):
    row = Sitting.objects.first()
    events = list(row.events.order_by("number"))
    (one,), (other,) = (histories([row], found, KitRecord.objects.all(), []) for found in (events, events[::-1]))
    assert one.events == other.events == tuple(event.payload for event in events)


def test_a_sitting_that_cannot_be_replayed_is_named(owner):
    row = Sitting.objects.select_related("kit").first()
    with pytest.raises(TenterError, match=rf"sitting {row.pk} cannot be replayed"):
        digest(replays.History(row, ({"event": "danced"},)))
