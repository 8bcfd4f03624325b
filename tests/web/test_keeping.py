"""Until when things are kept: the studio's months or a day of their own; the list of what is due, and its one click."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from tenter.web import believed_clock, due_erasing, keeping
from tenter.web.keeping import Kind
from tenter.web.models import (
    AuditEntry,
    Client,
    ClientWish,
    HandedPaper,
    KeepingTimes,
    KeptUntil,
    Photograph,
    Sitting,
    StudioText,
    WardrobePiece,
)
from web.conftest import browser_of
from web.photo_studio import sent

pytestmark = pytest.mark.usefixtures("folder")


def today(days=0):
    return timezone.localdate() + timedelta(days=days)


def ago(months, days=0):
    """A moment from which so many months have passed as of so many days ahead."""
    return timezone.now() + timedelta(days=days) - timedelta(days=round(months * 30.44))


@pytest.fixture
def full(owner, client_row):
    """A client with one of each thing, all of them from today, but for the sitting."""
    row = client_row.sittings.get()
    HandedPaper.objects.create(sitting=row, events=3, edits=0, by=owner)
    ClientWish.objects.create(client=client_row, kind="loved", about="teal", by=owner)
    WardrobePiece.objects.create(client=client_row, name="scarf", kind="top", colour="teal", by=owner)
    StudioText.objects.create(owner=owner, client=client_row, number=1, topic="letter", text="Dear", by=owner)
    return client_row


def days_of(client):
    return {thing.kind: thing.day for thing in keeping.things_of(client)}


def test_months_are_counted_on_the_calendar():
    assert keeping.later_by(date(2026, 1, 31), 1) == date(2026, 2, 28)
    assert keeping.later_by(date(2024, 2, 29), 36) == date(2027, 2, 28)
    assert keeping.later_by(date(2026, 11, 30), 14) == date(2028, 1, 30)
    assert keeping.end_of_next_month(date(2026, 12, 5)) == date(2027, 1, 31)


def test_each_thing_has_a_day_counted_from_when_it_was_last_of_use(visitor, full):
    row = full.sittings.get()
    Client.objects.filter(pk=full.pk).update(created=row.started - timedelta(days=400))
    full.refresh_from_db()
    shot = sent(visitor, full)
    sitting = keeping.later_by(timezone.localdate(row.started), 36)
    fresh = keeping.later_by(today(), 36)
    assert days_of(full) == {
        Kind.CLIENT: sitting,
        Kind.SITTING: sitting,
        Kind.NOTES: sitting,
        Kind.PAPERS: fresh,
        Kind.WISHES: fresh,
        Kind.WARDROBE: fresh,
        Kind.PICTURE: shot.deletes_on,
    }
    page = visitor.get(f"/people/{full.pk}/kept").text
    assert f"due on {sitting:%-d %B %Y}" in page
    assert f"deleted by itself on {shot.deletes_on:%-d %B %Y}" in page


def test_the_studio_says_for_how_long(visitor, owner, full):
    sent_times = {str(kind): "12" for kind in Kind if kind is not Kind.PICTURE} | {"wishes": "2"}
    assert visitor.post("/studio/deletion/times", sent_times | {"wishes": "0"}).status_code == 422
    assert visitor.post("/studio/deletion/times", sent_times).status_code == 302
    found = days_of(full)
    assert found[Kind.WISHES] == keeping.later_by(today(), 2)
    assert found[Kind.PAPERS] == keeping.later_by(today(), 12)
    assert not KeepingTimes.objects.get(owner=owner).by_itself


def test_one_thing_is_kept_longer_with_a_reason_and_by_the_months_again_without_a_day(visitor, full):
    address = f"/people/{full.pk}/kept/change?kind=wishes&of=0"
    before = days_of(full)[Kind.WISHES]
    assert visitor.post(address, {"day": today(9).isoformat()}).status_code == 422  # why?
    assert visitor.post(address, {"day": today().isoformat(), "reason": "tax"}).status_code == 422
    assert visitor.post(address, {"day": today(9).isoformat(), "reason": "comes back"}).status_code == 302
    [wishes] = [thing for thing in keeping.things_of(full) if thing.kind is Kind.WISHES]
    assert (wishes.day, wishes.reason) == (today(9), "comes back")
    assert AuditEntry.objects.first().subject == f"wishes of client {full.pk}"
    visitor.post(address, {"day": "", "reason": ""})
    assert days_of(full)[Kind.WISHES] == before
    assert not KeptUntil.objects.exists()


@pytest.mark.parametrize("kind", [Kind.PAPERS, Kind.WISHES, Kind.WARDROBE, Kind.NOTES, Kind.SITTING])
def test_one_thing_is_erased_and_the_others_stay(visitor, full, kind):
    [thing] = [thing for thing in keeping.things_of(full) if thing.kind is kind]
    before = set(days_of(full))
    visitor.post(f"/people/{full.pk}/kept/erase", {"kind": str(kind), "of": str(thing.number)})
    full.refresh_from_db()
    gone = {kind, Kind.PAPERS} if kind is Kind.SITTING else {kind}
    assert before - set(days_of(full)) == gone
    if kind is Kind.NOTES:
        assert (full.note, StudioText.objects.get(client=full).text) == ("", "")


def test_the_list_holds_what_is_due_this_month_and_next_and_one_click_erases_what_is_due(visitor, owner, full):
    Client.objects.exclude(pk=full.pk).update(created=ago(37))
    Sitting.objects.exclude(client=full).update(started=ago(37))
    gone = Client.objects.exclude(pk=full.pk).count()
    keeping.keep_until(next(t for t in keeping.things_of(full) if t.kind is Kind.WISHES), today(), "asked for", owner)
    shot = sent(visitor, full)
    Photograph.objects.filter(pk=shot.pk).update(deletes_on=today(1))
    page = visitor.get("/studio/deletion").text
    assert f"Erase {gone + 1} things" in page
    assert "deleted by itself on" in page
    assert "sitting of" not in page  # it goes with its client, who is listed
    assert visitor.post("/studio/deletion/erase", {"count": "1"}).status_code == 302
    assert Client.objects.count() == gone + 1  # the list had changed: nothing is erased
    visitor.post("/studio/deletion/erase", {"count": str(gone + 1)})
    assert list(Client.objects.all()) == [full]
    assert not ClientWish.objects.exists()
    assert WardrobePiece.objects.exists()
    assert Photograph.objects.exists()
    assert keeping.due(owner) == []


def test_nothing_is_erased_without_a_click_unless_the_studio_chose_so_and_nothing_by_a_doubtful_clock(
    visitor, owner, client_row, monkeypatch
):
    Client.objects.update(created=ago(37))
    Sitting.objects.update(started=ago(37))
    count = len(keeping.due(owner))
    assert count == Client.objects.count() > 0
    times = KeepingTimes.objects.create(owner=owner)
    assert due_erasing.erase_by_itself() == 0
    times.by_itself = True
    times.save()
    monkeypatch.setattr(believed_clock, "doubt", lambda: believed_clock.Doubt(timezone.now(), timezone.now()))
    assert due_erasing.erase_by_itself() == 0
    visitor.post("/studio/deletion/erase", {"count": str(count)})
    assert Client.objects.count() == count
    monkeypatch.undo()
    assert due_erasing.erase_by_itself() == count
    assert not Client.objects.exists()


def test_it_is_the_owners_alone(stranger, owner, full):
    browser = browser_of(stranger)
    for address in ("kept", "kept/change?kind=wishes&of=0"):
        assert browser.get(f"/people/{full.pk}/{address}").status_code == 404
    assert browser.post(f"/people/{full.pk}/kept/erase", {"kind": "wishes", "of": "0"}).status_code == 404
    assert "Ilse" not in browser.get("/studio/deletion").text
    assert ClientWish.objects.exists()


def test_a_sitting_with_a_day_of_its_own_is_listed_however_young_and_one_due_at_the_end_of_next_month_too(owner, full):
    end = keeping.end_of_next_month(today())
    row = full.sittings.get()
    started = timezone.now() - (today() - keeping.later_by(end, -36))  # 36 months before that day
    Sitting.objects.filter(pk=row.pk).update(started=started)
    day = keeping.later_by(timezone.localdate(started), 36)
    assert [(thing.kind, thing.day) for thing in keeping.coming(owner, end)] == [(Kind.SITTING, day)]
    Sitting.objects.filter(pk=row.pk).update(started=timezone.now())
    assert keeping.coming(owner, end) == []
    keeping.keep_until(next(t for t in keeping.things_of(full) if t.kind is Kind.SITTING), today(3), "asked", owner)
    assert [(thing.kind, thing.day) for thing in keeping.coming(owner, end)] == [(Kind.SITTING, today(3))]
