"""What a sitting came to is known under all that it follows from, and under nothing less, and is kept as it goes."""

import time
from datetime import timedelta
from itertools import pairwise

import pytest
from django.utils import timezone

from tenter.errors import TenterError
from tenter.web.backups import checking
from tenter.web.backups.backup import write_backup
from tenter.web.backups.backup_file import read_backup
from tenter.web.backups.checking import check_backup
from tenter.web.erasing import by_the_clock
from tenter.web.models import Client, KitRecord, Sitting, SittingEvent
from tenter.web.replays import catching_up, odds_seen, replays
from tenter.web.replays.backup_rows import stored_rows
from tenter.web.replays.catching_up import catch_up, known_odds, progress
from tenter.web.replays.replays import checksum, digest, histories
from tenter.web.store import store
from tests.web.conftest import browser_of

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
    owner.is_superuser = True
    owner.save()
    return owner


@pytest.fixture
def replayed(owner, monkeypatch):
    """The numbers of the sittings that are replayed from here on; what one comes to is made up."""
    seen = []
    monkeypatch.setattr(
        replays, "digest", lambda history: seen.append(history.sitting.pk) or f"odds of {history.number}"
    )
    return seen


def numbers():
    return sorted(Sitting.objects.values_list("pk", flat=True))


def add_event(row):
    last = row.events.last()
    SittingEvent.objects.create(
        sitting=row, number=last.number + 1, kind="undone", payload={"event": "undone"}, key="z"
    )


# -- kept as it goes ---------------------------------------------------------------------------------------------------


def test_what_is_new_alone_is_replayed_the_latest_first(replayed):
    assert not catch_up(9)
    assert replayed == numbers()[::-1]
    replayed.clear()
    assert not catch_up(9)
    assert replayed == []
    row = Sitting.objects.first()
    add_event(row)
    assert row.pk not in map(int, known_odds())
    catch_up(9)
    assert replayed == [row.pk]
    assert sorted(map(int, known_odds())) == numbers()


def test_it_stops_where_it_is_told_to_and_goes_on_from_there(replayed):
    assert progress() == catching_up.Progress(0, 2)
    assert catch_up(1)
    assert progress() == catching_up.Progress(1, 2)
    assert not progress().complete
    assert "1 of 2 so far" in str(progress())
    assert not catch_up(1)
    assert len(replayed) == 2
    assert progress().complete
    assert catch_up(5, seconds=-1) is False, "nothing is left"


def test_what_was_replayed_before_it_was_stopped_is_kept(replayed, monkeypatch):
    made_up = replays.digest

    def stopped(history):
        if replayed:
            raise KeyboardInterrupt
        return made_up(history)

    monkeypatch.setattr(replays, "digest", stopped)
    with pytest.raises(KeyboardInterrupt):
        catch_up(9)
    assert progress().replayed == 1


def test_what_is_known_is_what_a_replay_gives(owner):
    catch_up(9)
    assert known_odds() == {history.number: digest(history) for history in histories(stored_rows)}


def test_another_program_knows_nothing(replayed, monkeypatch):
    catch_up(9)
    replayed.clear()
    for module in (replays, odds_seen):
        monkeypatch.setattr(module, "program", lambda: "the next version")
    assert progress().replayed == 0
    catch_up(9)
    assert len(replayed) == 2


@pytest.mark.parametrize("content", [b"", b"SQLite format 3\0 and no more", b"{}" * 3000])
def test_a_memory_that_is_torn_is_none(replayed, folder, content):
    catch_up(9)
    whole = known_odds()
    (folder / "odds-seen.sqlite3").write_bytes(content)
    replayed.clear()
    catch_up(9)
    assert known_odds() == whole
    assert len(replayed) == 2


def test_a_sitting_that_is_gone_is_noted_no_more(replayed):
    catch_up(9)
    Sitting.objects.last().delete()
    catch_up(9)
    with odds_seen.odds_seen() as seen:
        assert sorted(seen.noted()) == numbers()


def test_the_file_of_an_earlier_version_goes(replayed, folder):
    (folder / "odds-seen.json").write_text("{}")
    catch_up(9)
    assert not (folder / "odds-seen.json").exists()


def test_the_worker_replays_while_nobody_sits(replayed, monkeypatch):
    monkeypatch.setattr(by_the_clock, "_REPLAYS", 1)
    SittingEvent.objects.order_by("-pk")[:1].get()
    latest = SittingEvent.objects.latest("pk")
    SittingEvent.objects.filter(pk=latest.pk).update(at=timezone.now())
    by_the_clock.replay_sittings()
    assert replayed == [], "somebody sits"
    SittingEvent.objects.filter(pk=latest.pk).update(at=timezone.now() - timedelta(minutes=3))
    by_the_clock.replay_sittings()
    assert replayed == numbers()[::-1]


def test_the_studio_says_how_far_it_is(replayed, owner):
    catch_up(1)
    assert "so that it can check the odds when a backup is put back: 1 of 2 so far." in shown(owner)
    catch_up(1)
    assert "Every sitting has been worked out again" in shown(owner)


def shown(owner):
    return browser_of(owner).get("/studio").text


# -- a backup ----------------------------------------------------------------------------------------------------------


def test_a_backup_replays_no_more_than_it_is_told_and_reads_the_others(replayed, folder, monkeypatch):
    read = []
    monkeypatch.setattr(replays, "read_history", lambda history: read.append(history.sitting.pk))
    made = write_backup(folder / "b.zip", replays=1)
    assert (replayed, read) == ([numbers()[1]], [numbers()[0]])
    assert set(made.digests) == {str(numbers()[1])}


def test_a_check_says_how_many_sittings_it_compared(replayed, folder, monkeypatch):
    backup = write_backup(folder / "b.zip", replays=1)
    found = check_backup(backup)
    assert (found.sittings, found.compared, found.differing) == (2, 1, ())
    assert "Every entry was read, and 1 of 2 sittings were replayed: their odds are what they were" in str(found)
    assert sorted(replayed) == numbers(), "a small backup is replayed whole"
    monkeypatch.setattr(replays, "digest", lambda _: "other odds")
    on_another_machine(folder, monkeypatch)
    found = check_backup(read_backup(folder / "b.zip"))
    assert found.differing == (numbers()[1],)
    assert f"The odds of sitting {numbers()[1]} are not what they were" in str(found)


def test_a_second_check_replays_nothing(replayed, folder):
    backup = write_backup(folder / "b.zip")
    check_backup(backup)
    assert len(replayed) == 2
    assert check_backup(backup).compared == 2
    assert len(replayed) == 2


def test_a_large_backup_is_replayed_by_a_sample_and_read_for_the_rest(replayed, folder, monkeypatch):
    backup = write_backup(folder / "b.zip", replays=0)
    read = []
    monkeypatch.setattr(replays, "read_history", lambda history: read.append(history.sitting.pk))
    monkeypatch.setattr(checking, "AT_MOST", 1)
    monkeypatch.setattr(checking, "_LATEST", 1)
    on_another_machine(folder, monkeypatch)
    check_backup(backup)
    assert (replayed, read) == ([numbers()[1]], [numbers()[0]])


def on_another_machine(folder, monkeypatch):
    """Go on where nothing is known of any sitting."""
    (folder / "elsewhere").mkdir()
    monkeypatch.setenv("TENTER_DATA_DIR", str(folder / "elsewhere"))


@pytest.fixture
def read(owner, monkeypatch):
    """The numbers of the sittings whose entries are read from here on, and not replayed."""
    seen, whole = [], replays.read_history
    monkeypatch.setattr(replays, "read_history", lambda history: seen.append(history.sitting.pk) or whole(history))
    return seen


def test_what_was_read_is_not_read_again_until_an_entry_of_it_is_another(read, folder, monkeypatch):
    backup = write_backup(folder / "b.zip", replays=0)
    assert sorted(read) == numbers()
    known_odds()
    monkeypatch.setattr(checking, "_sample", lambda _: frozenset())
    assert check_backup(backup).compared == 0
    assert sorted(read) == numbers()
    event = SittingEvent.objects.filter(kind="recorded").first()
    event.payload["judgement"]["note"] = "by another light"
    event.save()
    known_odds()
    assert read[2:] == [event.sitting_id]


def test_a_sitting_that_cannot_be_read_is_refused_each_time(owner, monkeypatch):
    monkeypatch.setattr(odds_seen, "_READ_AT_ONCE", 1)
    row = Sitting.objects.first()
    row.events.filter(number=1).update(payload={"event": "danced"})
    for _ in range(2):
        with pytest.raises(TenterError, match=f"sitting {row.pk} cannot be replayed"):
            known_odds()


def test_many_that_were_read_are_on_the_disk_before_the_last_of_them(folder, monkeypatch):
    monkeypatch.setattr(odds_seen, "_READ_AT_ONCE", 2)
    with odds_seen.odds_seen() as seen:
        for checksum in ("one", "two", "three"):
            seen.keep_read(checksum)
        with odds_seen.odds_seen() as meanwhile:
            assert [meanwhile.was_read(checksum) for checksum in ("one", "two", "three")] == [True, True, False]
    with odds_seen.odds_seen() as seen:
        assert seen.was_read("three")


def test_what_was_read_is_forgotten_once_it_is_replayed_and_after_a_week(folder, monkeypatch):
    with odds_seen.odds_seen() as seen:
        for checksum in ("replayed", "read"):
            seen.keep_read(checksum)
        seen.write_read()
        seen.keep("replayed", "odds")
        seen.forget_but([])
        assert (seen.was_read("replayed"), seen.was_read("read")) == (False, True)
        monkeypatch.setattr(odds_seen.time, "time", lambda whole=time.time: whole() + 8 * 86_400)
        seen.forget_but([])
        assert not seen.was_read("read")


def test_a_sample_is_of_all_times():
    sample = checking._sample(list(range(1, 10_001)))
    assert len(sample) == 300
    assert set(range(9_901, 10_001)) <= sample
    early = sorted(sample)[:200]
    assert {late - soon for soon, late in pairwise(early)} == {49, 50}
    assert checking._sample([3, 1, 2]) == {1, 2, 3}


def test_many_numbers_are_named_by_the_first_of_them():
    assert checking.named_sittings((3, 1)) == "1, 3"
    assert checking.named_sittings(range(1, 2001)).endswith(", 20 and 1,980 more")


# -- what a sitting is made of -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("part", ["events", "seed", "method", "kit", "name"])
def test_a_checksum_follows_from_each_part(owner, part):
    row = Sitting.objects.select_related("kit").first()
    payloads = tuple(row.events.values_list("payload", flat=True))
    before = checksum(replays.SittingHistory(row, payloads))
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
    assert checksum(replays.SittingHistory(row, payloads)) != before


def test_events_are_replayed_by_number(owner):
    row = Sitting.objects.order_by("pk").first()
    events = list(row.events.order_by("number"))
    rows = {Sitting: [row], KitRecord: KitRecord.objects.all()}
    (one,), (other,) = (histories(lambda m: rows.get(m, ()), found) for found in (events, events[::-1]))
    assert one.events == other.events == tuple(event.payload for event in events)


def test_entries_of_no_sitting_are_refused(owner):
    first, second = Sitting.objects.order_by("pk")
    for there in (first, second):
        rows = {Sitting: [there], KitRecord: KitRecord.objects.all(), SittingEvent: stored_rows(SittingEvent)}
        with pytest.raises(TenterError, match="belong to none that is there"):
            list(histories(lambda m, rows=rows: rows.get(m, ())))


@pytest.mark.parametrize("what", [digest, replays.read_history])
@pytest.mark.parametrize(
    "event",
    [
        {"event": "danced"},
        {"event": "recorded", "judgement": {"kind": "dance"}},
        {"event": "recorded", "judgement": {"kind": "pair", "left": "D001", "right": "none", "answer": "left"}},
        {"event": "voided", "number": 3, "reason": "x"},
        {"event": "missing", "drape": "none"},
        {"event": "undone"},
    ],
)
def test_a_sitting_that_cannot_be_replayed_is_named_whether_it_is_replayed_or_read(owner, what, event):
    row = Sitting.objects.select_related("kit").first()
    with pytest.raises(TenterError, match=rf"sitting {row.pk} cannot be replayed"):
        what(replays.SittingHistory(row, (event,)))


def test_every_sitting_can_be_read(owner):
    for history in histories(stored_rows):
        replays.read_history(history)
        with store.load(history.sitting) as live:
            assert live.events
