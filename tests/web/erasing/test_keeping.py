"""Until when things are kept: the studio's months or a day of their own; the list of what is due, and its one click."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from tenter.consultation.client.consent import Purpose
from tenter.web.erasing import due_erasing
from tenter.web.models import (
    AuditEntry,
    Client,
    ClientWish,
    Consent,
    HandedPaper,
    KeepingTimes,
    KeptUntil,
    Photograph,
    Sitting,
    StudioText,
    WardrobePiece,
)
from tenter.web.rules import consents, keeping
from tenter.web.rules.keeping import DatedKind
from tenter.web.server import believed_clock
from tests.support.photo_studio import sent
from tests.web.conftest import browser_of

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
        DatedKind.CLIENT: sitting,
        DatedKind.SITTING: sitting,
        DatedKind.NOTES: sitting,
        DatedKind.PAPERS: fresh,
        DatedKind.WISHES: fresh,
        DatedKind.WARDROBE: fresh,
        DatedKind.PICTURE: shot.deletes_on,
    }
    page = visitor.get(f"/people/{full.pk}/kept").text
    assert f"due on {sitting:%-d %B %Y}" in page
    assert f"deleted automatically on {shot.deletes_on:%-d %B %Y}" in page


def test_the_studio_says_for_how_long(visitor, owner, full):
    sent_times = {str(kind): "12" for kind in DatedKind if kind is not DatedKind.PICTURE} | {"wishes": "2"}
    sent_times["photograph_days"] = "60"
    assert visitor.post("/studio/deletion/times", sent_times | {"photograph_days": "366"}).status_code == 422
    assert visitor.post("/studio/deletion/times", sent_times | {"wishes": "0"}).status_code == 422
    assert visitor.post("/studio/deletion/times", sent_times).status_code == 302
    found = days_of(full)
    assert found[DatedKind.WISHES] == keeping.later_by(today(), 2)
    assert found[DatedKind.PAPERS] == keeping.later_by(today(), 12)
    assert not KeepingTimes.objects.get(owner=owner).by_itself
    assert keeping.photograph_day(full) == today(60)


def test_one_thing_is_kept_longer_with_a_reason_and_by_the_months_again_without_a_day(visitor, full):
    address = f"/people/{full.pk}/kept/change?kind=wishes&of=0"
    before = days_of(full)[DatedKind.WISHES]
    assert visitor.post(address, {"day": today(9).isoformat()}).status_code == 422  # why?
    assert visitor.post(address, {"day": today().isoformat(), "reason": "tax"}).status_code == 422
    assert visitor.post(address, {"day": today(9).isoformat(), "reason": "comes back"}).status_code == 302
    [wishes] = [thing for thing in keeping.things_of(full) if thing.kind is DatedKind.WISHES]
    assert (wishes.day, wishes.reason) == (today(9), "comes back")
    assert AuditEntry.objects.first().subject == f"wishes of client {full.pk}"
    visitor.post(address, {"day": "", "reason": ""})
    assert days_of(full)[DatedKind.WISHES] == before
    assert not KeptUntil.objects.exists()


@pytest.mark.parametrize(
    "kind", [DatedKind.PAPERS, DatedKind.WISHES, DatedKind.WARDROBE, DatedKind.NOTES, DatedKind.SITTING]
)
def test_one_thing_is_erased_and_the_others_stay(visitor, full, kind):
    [thing] = [thing for thing in keeping.things_of(full) if thing.kind is kind]
    before = set(days_of(full))
    visitor.post(f"/people/{full.pk}/kept/erase", {"kind": str(kind), "of": str(thing.number)})
    full.refresh_from_db()
    gone = {kind, DatedKind.PAPERS} if kind is DatedKind.SITTING else {kind}
    assert before - set(days_of(full)) == gone
    if kind is DatedKind.NOTES:
        assert (full.note, StudioText.objects.get(client=full).text) == ("", "")


def test_the_list_holds_what_is_due_this_month_and_next_and_one_click_erases_what_is_due(visitor, owner, full):
    Client.objects.exclude(pk=full.pk).update(created=ago(37))
    Sitting.objects.exclude(client=full).update(started=ago(37))
    gone = Client.objects.exclude(pk=full.pk).count()
    keeping.keep_until(
        next(t for t in keeping.things_of(full) if t.kind is DatedKind.WISHES), today(), "asked for", owner
    )
    shot = sent(visitor, full)
    Photograph.objects.filter(pk=shot.pk).update(deletes_on=today(1))
    page = visitor.get("/studio/deletion").text
    assert f"Erase {gone + 1} items" in page
    assert "deleted automatically on" in page
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
    monkeypatch.setattr(believed_clock, "doubt", lambda: believed_clock.ClockDoubt(timezone.now(), timezone.now()))
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
    assert [(thing.kind, thing.day) for thing in keeping.coming(owner, end)] == [(DatedKind.SITTING, day)]
    Sitting.objects.filter(pk=row.pk).update(started=timezone.now())
    assert keeping.coming(owner, end) == []
    keeping.keep_until(
        next(t for t in keeping.things_of(full) if t.kind is DatedKind.SITTING), today(3), "asked", owner
    )
    assert [(thing.kind, thing.day) for thing in keeping.coming(owner, end)] == [(DatedKind.SITTING, today(3))]
    keeping.keep_until(keeping.things_of(full)[0], today(2), "asked", owner)
    assert [(thing.kind, thing.day) for thing in keeping.coming(owner, end)] == [(DatedKind.CLIENT, today(2))]


# -- the proof of consents ---------------------------------------------------------------------------------------------


def answer(owner, client, purpose, months_ago, *, given=True, until=None):
    said = {"given": given, "until": until, "wording": "words", "version": 1, "guardian": "Orla Venn", "by": owner}
    return Consent.objects.create(client=client, purpose=purpose, at=ago(months_ago), **said)


def ended(client):
    return [thing for thing in keeping.things_of(client) if thing.kind is DatedKind.CONSENTS]


def test_the_proof_of_a_consent_is_due_so_long_after_it_ended_and_one_that_holds_is_kept(visitor, owner, full):
    full.consents.all().delete()
    answer(owner, full, "analysis", 60)  # replaced by the next, which holds
    answer(owner, full, "analysis", 38)
    answer(owner, full, "sheet", 50)
    back = answer(owner, full, "sheet", 20, given=False)
    last = today(-3)
    answer(owner, full, "compare", 12, until=last)
    answer(owner, full, "measure", 40, until=today(9))
    replaced, taken_back = (timezone.localdate(at) for at in (ago(38), back.at))
    assert {thing.what: thing.day for thing in ended(full)} == {
        f"answers about consents that ended on {day:%-d %B %Y}": keeping.later_by(day, 36)
        for day in (replaced, taken_back, last)
    }
    assert [thing.number for thing in keeping.due(owner)] == [replaced.toordinal()]
    KeepingTimes.objects.create(owner=owner, consents=19)
    assert [thing.number for thing in keeping.due(owner)] == [replaced.toordinal(), taken_back.toordinal()]
    page = visitor.get("/studio/deletion").text
    assert f"answers about consents that ended on {replaced:%-d %B %Y}" in page
    assert "Answers about consents, in months after the consent ended" in visitor.get("/studio/deletion/times").text


def test_erased_proof_leaves_neither_words_nor_guardian_and_lets_nothing_be_done_again(visitor, owner, full):
    full.consents.all().delete()
    answer(owner, full, "analysis", 60)
    answer(owner, full, "sheet", 50)
    answer(owner, full, "sheet", 37, given=False)
    holds = answer(owner, full, "analysis", 37)
    visitor.post("/studio/deletion/erase", {"count": "1"})
    rows = {row.purpose: (row.given, row.wording, row.guardian) for row in full.consents.all()}
    assert rows == {"sheet": (False, "", ""), "analysis": (True, "words", "Orla Venn")}
    assert full.consents.count() == 2
    assert consents.may(full, Purpose.ANALYSIS)
    assert str(consents.ended(full, Purpose.SHEET)).endswith("Ask the client and record the answer on their card")
    assert "taken back on" in str(consents.ended(full, Purpose.SHEET))
    assert ended(full) == []
    assert "Its words were erased." in visitor.get(f"/people/{full.pk}/consents/proof").text
    consents.give_consent(full, [Purpose.SHEET], None, owner)
    assert [row.given for row in full.consents.filter(purpose="sheet")] == [True]
    holds.refresh_from_db()


def test_ended_answers_with_a_day_of_their_own_are_listed_however_young(owner, full):
    consents.take_back_consent(full, Purpose.SHEET, owner)
    [thing] = ended(full)
    assert keeping.coming(owner, keeping.end_of_next_month(today())) == []
    keeping.keep_until(thing, today(), "asked", owner)
    assert [one.number for one in keeping.due(owner)] == [today().toordinal()]
