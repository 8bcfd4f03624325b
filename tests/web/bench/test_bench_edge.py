"""What stands at the bench's edge: time, enough, what to reach for, whose face it is; and own choice as it is typed."""

import html
import re
from datetime import timedelta

import pytest
from django.utils import timezone

from tenter import Answer, PairJudgement
from tenter.consultation.reading.phases import DONE
from tenter.consultation.record.no_evidence import VoidEntry
from tenter.web.bench import bench_state
from tenter.web.bench.bench_clock import BenchClock, bench_clock
from tenter.web.bench.bench_words import REASONS
from tenter.web.models import Appointment, Client, KitRecord, StudioName
from tenter.web.store import store
from tests.support import entering
from tests.support.pseudo import TAG, pseudo, write_catalogue
from tests.web.conftest import browser_of

PRESS = r'data-keys-of="([^"]+)"><td><kbd>[^<]*</kbd></td><td>([^<]+)</td>'


@pytest.fixture
def row(owner):
    return store.start_sitting(Client.objects.first(), owner, KitRecord.objects.get(), seed=7)


@pytest.fixture
def look(owner, row):
    browser = browser_of(owner)
    return lambda query="", part="state": browser.get(f"/sittings/{row.pk}/bench/{part}{query}").json()


def test_the_clock_goes_by_the_next_appointment_of_the_same_consultant_and_else_by_the_usual_length(owner, row):
    row.started = timezone.localtime().replace(hour=12, minute=0)  # a day's middle: no midnight comes between
    now = row.started + timedelta(minutes=30)
    assert bench_clock(row, now) == BenchClock(30, 60)
    other = Client.objects.exclude(pk=row.client_id).first()
    Appointment.objects.create(client=row.client, begins=row.started, minutes=45, by=owner)
    assert bench_clock(row, now) == BenchClock(30, 15)
    Appointment.objects.create(client=other, begins=now + timedelta(minutes=5), by=owner)
    assert bench_clock(row, now) == BenchClock(30, 5)
    store.start_sitting(other, owner, row.kit)  # who sits already does not come any more
    assert bench_clock(row, now) == BenchClock(30, 15)
    assert bench_clock(row, row.started + timedelta(hours=9)) is None
    row.ended = now
    assert bench_clock(row, now) is None


def test_the_edge_says_the_time_and_how_far_the_phase_is(look):
    stage = look()["stage"]
    assert "0 min used, 90 left" in stage
    assert "Comparison 1 of 4 to 6 in this phase" in stage
    assert 'id="enough"' not in stage


def test_enough_is_said_at_the_edge_in_words_alone(look, owner, row, monkeypatch):
    monkeypatch.setattr(bench_state, "hardly_changes", lambda *_: True)  # also where the sitting is finished
    assert look(part="ahead")["enough"] is True
    with store.load(row) as live:
        monkeypatch.setattr(type(live), "phase", DONE)
    hidden = '<span class="edge enough" id="enough" hidden>'
    assert hidden in look()["stage"]  # until the cloths are on the screen
    whole = browser_of(owner).get(f"/sittings/{row.pk}/bench").text
    assert '<span class="edge enough" id="enough">The answer would hardly change now</span>' in whole
    assert look("?cloths=38+39", part="state")["chosen"]
    assert look(part="ahead")["enough"] is False


def test_what_comes_next_is_shown_ahead_and_told_apart_from_the_cloths_that_are_held(look, row):
    before = row.events.count()
    told = look(part="ahead")
    held = {cloth["id"] for cloth in look()["cloths"]}
    assert told["version"] == look()["version"]
    assert 1 <= len(told["pairs"]) <= 2
    assert all(set(pair) != held for pair in told["pairs"])
    look("?cloths=38+39+40")
    assert len(look(part="ahead")["pairs"]) == 1  # after a fan the plan's own pair is next
    assert row.events.count() == before


@pytest.mark.parametrize(
    ("said", "held"),
    [
        ("38", ["D038"]),
        ("d038+d039", ["D038", "D039"]),
        ("honeycomb+38", ["D007", "D038"]),
        ("61%2B90+62", ["D061+D090", "D062"]),
    ],
)
def test_cloths_of_ones_own_choice_are_named_as_one_likes(look, row, said, held):
    assert [cloth["id"] for cloth in look(f"?cloths={said}")["cloths"]] == held
    row.refresh_from_db()
    assert row.held == " ".join(held)


def test_a_word_that_fits_several_cloths_is_answered_with_which(look):
    assert "D022 Cold Berry" in look("?cloths=cold")["problem"]


def test_two_faces_swap_by_a_key_and_keep_their_records_apart(owner, row, look):
    assert "On the bench" not in look()["stage"]
    daughter = Client.objects.exclude(pk=row.client_id).first()
    second = store.start_sitting(daughter, owner, row.kit)
    assert f"On the bench: <strong>{row.client.name}</strong>" in look()["stage"]
    browser = browser_of(owner)
    page = browser.get(f"/sittings/{second.pk}/bench").text
    assert f"On the bench: <strong>{daughter.name}</strong>" in page
    assert f'href="/sittings/{row.pk}/bench" data-swap data-keys="z"' in page
    now = browser.get(f"/sittings/{second.pk}/bench/state").json()
    ids = [cloth["id"] for cloth in now["cloths"]]
    said = {"key": "one", "seen": 0, "kind": "pair", "cloths": " ".join(ids), "answer": f"{ids[0]} 1"}
    browser.post(f"/sittings/{second.pk}/bench/entry", said)
    assert (row.events.count(), second.events.count()) == (0, 1)
    second.ended = timezone.now()
    second.save()
    assert "On the bench" not in look()["stage"]


def test_the_page_to_try_a_pedal_says_of_each_key_what_the_bench_says(visitor, look):
    tried = visitor.get("/account/presses").text
    told = {keys: html.unescape(words) for keys, words in re.findall(PRESS, tried)}
    on_bench = re.findall(r'data-keys="([^"]+)"(?: aria-label="[^"]*")? data-said="([^"]+)"', look()["stage"])
    unfit = {"f", "e", "r", "z"}  # of a fan, of own choice, of half a face, of two faces: not always there
    assert told == {keys: words for keys, words in on_bench if keys not in unfit}


def test_what_is_kept_in_english_of_an_entry_is_read_in_the_studios_language(owner, row, look, tmp_path, settings):
    settings.LOCALE_PATHS, settings.LANGUAGES = [write_catalogue(tmp_path)], [("en", "en"), (TAG, TAG)]
    StudioName.objects.update_or_create(owner=owner, defaults={"name": "North", "language": TAG})
    store.change_sitting(row, "one", lambda live: live.record(VoidEntry("D001", note=VoidEntry.PASSED_OVER)))
    assert look()["last"].endswith(pseudo(VoidEntry.PASSED_OVER))
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT), "two")
    for number, reason in enumerate((*REASONS, store.LEFT_TO_ODDS)):
        store.change_sitting(row, f"void-{number}", lambda live, reason=reason: live.void(2, reason))
        assert row.events.last().payload["reason"] == reason
        assert look()["last"].endswith(pseudo(reason))
        store.change_sitting(row, f"undo-{number}", lambda live: live.undo())
