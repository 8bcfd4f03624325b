"""The end of a sitting: nothing more is written down, nothing is lost, and a reading apart stays as it is."""

import pytest
from asgiref.sync import async_to_sync
from django.utils import timezone

from tenter import Answer, PairJudgement
from tenter.web.bench.bench_stream import event_numbers
from tenter.web.models import Access, AuditEntry, Client, KitRecord, Sitting
from tenter.web.store import store
from tests.support import entering
from tests.web.conftest import agreed, browser_of

PAIR = {"kind": "pair", "cloths": "D001 D002", "answer": "D001 2", "seen": "0"}
JSON = {"accept": "application/json"}


@pytest.fixture
def row(owner):
    return store.start_sitting(
        agreed(Client.objects.create(owner=owner, name="Ada")), owner, KitRecord.objects.get(), seed=7
    )


@pytest.fixture
def desk(owner):
    return browser_of(owner)


def ended(row):
    row.refresh_from_db()
    return row.ended


def said(*actions):
    return list(AuditEntry.objects.filter(action__in=actions).order_by("pk").values_list("action", flat=True))


def test_an_ended_sitting_refuses_entries_and_takes_them_once_it_is_open_again(desk, row):
    entry = f"/sittings/{row.pk}/bench/entry"
    assert desk.post(entry, PAIR | {"key": "first"}, headers=JSON).status_code == 200
    assert desk.post(f"/sittings/{row.pk}/end").url == f"/sittings/{row.pk}"
    late = PAIR | {"key": "late", "cloths": "D003 D004", "answer": "D004 1"}
    refused = desk.post(entry, late, headers=JSON)
    assert refused.status_code == 409
    told = refused.json()
    assert told["ended"]
    assert f"ended at {timezone.localtime(ended(row)):%H:%M}" in told["problem"]
    assert "D001 2" not in told["stage"]
    plain = desk.post(entry, late)
    assert plain.status_code == 409
    assert "nothing was saved" in plain.text
    assert "Open it again" in plain.text
    for act in ("undo", "missing D001", "skip"):
        assert desk.post(entry, PAIR | {"key": act, "seen": "1", "act": act}, headers=JSON).status_code == 409
    assert row.events.count() == 1
    again = desk.post(entry, PAIR | {"key": "first"}, headers=JSON)  # whose acknowledgement was lost
    assert again.status_code == 200
    desk.post(f"/sittings/{row.pk}/open")
    assert desk.post(entry, late, headers=JSON).json()["moved"]
    assert list(row.events.values_list("key", flat=True)) == ["first", "late"]


def test_ending_twice_is_ending_once(desk, row):
    for _ in range(2):
        desk.post(f"/sittings/{row.pk}/end")
        since = ended(row)
    assert ended(row) == since
    assert said("sitting ended") == ["sitting ended"]
    for _ in range(2):
        desk.post(f"/sittings/{row.pk}/open")
    assert ended(row) is None
    assert said("sitting ended", "sitting opened again") == ["sitting ended", "sitting opened again"]


@pytest.mark.parametrize("place", ["bench", "sitting", "evidence"])
def test_each_page_has_the_button_and_says_when_it_ended(desk, row, place):
    address = f"/sittings/{row.pk}" + ("" if place == "sitting" else f"/{place}")
    assert "End the sitting" in desk.get(address).text
    sent = desk.post(f"/sittings/{row.pk}/end", {"back": place})
    assert sent.url == address
    shown = desk.get(address).text
    assert f" at {timezone.localtime(ended(row)):%H:%M} and takes no more entries" in shown
    assert "Open it again" in shown
    assert "End the sitting" not in shown
    assert desk.post(f"/sittings/{row.pk}/open", {"back": "//elsewhere"}).url == f"/sittings/{row.pk}"


def test_the_cloths_that_an_address_names_are_held_once_it_is_open_again(desk, row):
    desk.post(f"/sittings/{row.pk}/end")
    bench = f"/sittings/{row.pk}/bench"
    shown = desk.get(bench, {"cloths": "D001+D090 D002"}).text
    assert 'name="cloths" value="D001+D090 D002"' in shown
    sent = desk.post(f"/sittings/{row.pk}/open", {"back": "bench", "cloths": "D001+D090 D002"})
    assert sent.url == f"{bench}?cloths=D001%2BD090+D002"
    assert 'data-cloth="D001+D090"' in desk.get(sent.url).text
    row.refresh_from_db()
    assert row.held == "D001+D090 D002"
    desk.post(f"/sittings/{row.pk}/end")
    assert desk.post(f"/sittings/{row.pk}/open", {"back": "sitting", "cloths": "D001"}).url == f"/sittings/{row.pk}"


def test_the_verdict_and_the_sheet_stay_readable(desk, owner):
    row = Sitting.objects.get(client__name="Maren Tolliver")
    assert row.ended
    shown = desk.get(f"/sittings/{row.pk}/evidence").text
    assert "This sitting ended on" in shown
    assert "autumn" in shown
    assert desk.get(f"/sittings/{row.pk}/sheet.pdf").status_code == 200


def test_a_sitting_that_ended_unrevealed_can_be_revealed(desk, row):
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT, 2), "a")
    entering.record_judgement(row, PairJudgement("D077", "D078", Answer.RIGHT, 2), "b")
    desk.post(f"/sittings/{row.pk}/end")
    assert desk.post(f"/sittings/{row.pk}/reveal").status_code == 302
    assert desk.get(f"/sittings/{row.pk}/sheet.pdf").status_code == 200


def test_only_the_analyst_ends_it(row, stranger):
    Access.objects.create(client=row.client, user=stranger)
    browser = browser_of(stranger)
    assert "End the sitting" not in browser.get(f"/sittings/{row.pk}").text
    for word in ("end", "open"):
        assert browser.post(f"/sittings/{row.pk}/{word}").status_code == 404
        assert browser.get(f"/sittings/{row.pk}/{word}").status_code == 405
    assert ended(row) is None


def test_the_other_device_learns_of_it(desk, row, monkeypatch):
    monkeypatch.setattr("tenter.web.bench.bench_stream._EVERY_SECONDS", 0)
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT, 2), "a")
    state = f"/sittings/{row.pk}/bench/state"

    async def heard(looks):
        return [line async for line in event_numbers(row.pk, looks)]

    for turn, word in enumerate(("end", "open", "end"), start=2):
        desk.post(f"/sittings/{row.pk}/{word}")
        now = desk.get(state).json()
        assert (now["version"], now["ended"]) == (turn, word == "end")
        assert async_to_sync(heard)(2) == [f"data: {turn}\n\n"]
    assert desk.get(state, {"cloths": "D001 D002"}).json()["cloths"] == []  # nothing is held any more
    row.refresh_from_db()
    assert row.held == ""


# -- readings apart ----------------------------------------------------------------------------------------------------


@pytest.fixture
def reader(person):
    return person("Bea Thorn")


@pytest.fixture
def second(row, reader):
    Access.objects.create(client=row.client, user=reader)
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT, 2), "first")
    second = store.start_sitting(row.client, reader, row.kit, row.method, blind_to=row)
    entering.record_judgement(second, PairJudgement("D063", "D064", Answer.LEFT, 2), "a")
    entering.record_judgement(second, PairJudgement("D077", "D078", Answer.RIGHT, 2), "b")
    return second


def test_both_readings_ended_are_compared_by_a_button_without_any_odds_seen(desk, row, second, reader):
    blind = browser_of(reader)
    assert blind.get(f"/sittings/{row.pk}").status_code == 404
    blind.post(f"/sittings/{second.pk}/end")
    assert "nothing to compare" in blind.get(f"/sittings/{second.pk}/agreement").text
    desk.post(f"/sittings/{row.pk}/end")
    for browser, own in ((desk, row), (blind, second)):
        page = browser.get(f"/sittings/{own.pk}/agreement").text
        assert "Compare the two readings" in page
        assert "undertone" not in page
    assert blind.get(f"/sittings/{row.pk}").status_code == 404, "hidden until they are compared"
    assert desk.get(f"/sittings/{second.pk}").status_code == 404
    for _ in range(2):
        assert blind.post(f"/sittings/{second.pk}/agreement").status_code == 302
    for browser in (desk, blind):
        page = browser.get(f"/sittings/{second.pk}/agreement").text
        assert "undertone" in page
        assert "nothing to compare" not in page
        assert browser.get(f"/sittings/{row.pk}").status_code == 200
    assert {row.revealed_at, Sitting.objects.get(pk=second.pk).revealed_at} == {None}
    assert said("two readings compared") == ["two readings compared"]
    assert desk.post(f"/sittings/{row.pk}/open").status_code == 409
    assert blind.post(f"/sittings/{second.pk}/open").status_code == 409
    assert ended(row)
    assert ended(second)


def test_whoever_ended_one_by_mistake_opens_it_again_and_stays_blind(desk, row, second, reader):
    blind = browser_of(reader)
    desk.post(f"/sittings/{row.pk}/end")
    blind.post(f"/sittings/{second.pk}/end")
    assert "Open it again" in blind.get(f"/sittings/{second.pk}").text
    assert blind.get(f"/sittings/{row.pk}").status_code == 404
    assert blind.post(f"/sittings/{second.pk}/open").status_code == 302
    entry = blind.post(f"/sittings/{second.pk}/bench/entry", PAIR | {"key": "more", "seen": "2"}, headers=JSON)
    assert entry.status_code == 200
    assert desk.post(f"/sittings/{row.pk}/agreement").status_code == 302, "nothing is compared while one goes on"
    assert Sitting.objects.get(pk=row.pk).compared_at is None
    assert "nothing to compare" in desk.get(f"/sittings/{row.pk}/agreement").text
    assert desk.post(f"/sittings/{row.pk}/open").status_code == 302
    assert ended(row) is None
    for browser, own in ((desk, row), (blind, second)):
        browser.post(f"/sittings/{own.pk}/end")
    desk.post(f"/sittings/{row.pk}/agreement")
    assert second.events.count() == 3
    assert "undertone" in blind.get(f"/sittings/{second.pk}/agreement").text


def test_a_blind_analyst_does_not_go_on_once_the_odds_were_seen(row, second, reader):
    blind = browser_of(reader)
    blind.post(f"/sittings/{second.pk}/reveal")
    assert blind.get(f"/sittings/{row.pk}").status_code == 200  # the first is open to her
    assert ended(second)
    refused = blind.post(f"/sittings/{second.pk}/open")
    assert refused.status_code == 409
    assert "can no longer be changed" in refused.text
    assert "Open it again" not in blind.get(f"/sittings/{second.pk}").text
    entry = blind.post(f"/sittings/{second.pk}/bench/entry", PAIR | {"key": "late"}, headers=JSON)
    assert entry.status_code == 409
    assert ended(second)
    assert second.events.count() == 2


def test_nor_does_the_first_analyst_once_she_has_seen_her_odds(desk, row, second):
    entering.record_judgement(row, PairJudgement("D077", "D078", Answer.RIGHT, 2), "second")
    desk.post(f"/sittings/{row.pk}/reveal")
    desk.post(f"/sittings/{row.pk}/end")
    assert desk.get(f"/sittings/{second.pk}").status_code == 200  # the second is open to her
    assert desk.post(f"/sittings/{row.pk}/open").status_code == 409
    assert ended(row)


def test_nobody_else_compares_them(row, second, desk, reader, stranger):
    desk.post(f"/sittings/{row.pk}/end")
    browser_of(reader).post(f"/sittings/{second.pk}/end")
    for number in (row.pk, second.pk):
        assert browser_of(stranger).get(f"/sittings/{number}/agreement").status_code == 404
        assert browser_of(stranger).post(f"/sittings/{number}/agreement").status_code == 404
    assert not Sitting.objects.exclude(compared_at=None).exists()


def test_a_blind_reading_that_was_revealed_before_an_end_could_be_said_is_closed_too(row, second, reader):
    Sitting.objects.filter(pk=second.pk).update(revealed_at=row.started)
    blind = browser_of(reader)
    assert blind.post(f"/sittings/{second.pk}/bench/entry", PAIR | {"key": "x"}, headers=JSON).status_code == 409
    assert "This sitting ended on" in blind.get(f"/sittings/{second.pk}/bench").text
