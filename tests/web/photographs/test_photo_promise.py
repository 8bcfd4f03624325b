"""What a client is told about how long a photograph is kept: until a day, or from the end of the sitting on."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tenter.web.models import AuditEntry, Client, KitRecord, Photograph, Sitting
from tenter.web.store import store
from tenter.web.sweeping import photo_sweep
from tests.support.photo_studio import day_ahead, sent
from tests.web.conftest import agreed

pytestmark = pytest.mark.usefixtures("folder")

FROM_END = {"counted": "end", "days": "30"}


@pytest.fixture
def sitting(owner):
    return store.start_sitting(
        agreed(Client.objects.create(owner=owner, name="Ada")), owner, KitRecord.objects.get(), seed=7
    )


@pytest.fixture
def row(visitor, sitting):
    row = sent(visitor, sitting.client, sitting=str(sitting.pk))
    assert visitor.post(f"/photographs/{row.pk}/date", FROM_END).status_code == 302
    AuditEntry.objects.filter(action="photograph's date changed").delete()
    return row


def today(days=0):
    return timezone.localdate() + timedelta(days=days)


def told(visitor, row):
    """Return whether list and page say the same, and what."""
    page = visitor.get(f"/photographs/{row.pk}").text
    words = page.split('class="meta">')[1].split("</p>")[0].split(" · ")[-1]
    assert words in visitor.get(f"/people/{row.client_id}/photographs").text
    return words


def dated(row):
    row.refresh_from_db()
    return row.deletes_on


def test_it_is_counted_from_the_end_of_the_sitting(visitor, sitting, row):
    assert (dated(row), row.days_after_end) == (today(365), 30)
    assert told(visitor, row) == (
        f"deleted 30 days after the end of the sitting, on {today(365):%-d %B %Y} at the latest"
    )
    visitor.post(f"/sittings/{sitting.pk}/end")
    assert dated(row) == today(30)
    assert told(visitor, row) == f"deleted on {today(30):%-d %B %Y}, counted from the end of the sitting"
    line = AuditEntry.objects.first()
    assert (line.action, line.subject, line.user) == (
        "photograph's date changed",
        f"photograph {row.pk}",
        sitting.analyst,
    )
    visitor.post(f"/sittings/{sitting.pk}/open")
    assert dated(row) == today(365)
    visitor.post(f"/sittings/{sitting.pk}/end")
    assert AuditEntry.objects.filter(action="photograph's date changed").count() == 3


def test_a_late_end_does_not_keep_it_beyond_a_year(visitor, sitting, row):
    Photograph.objects.filter(pk=row.pk).update(taken_at=timezone.now() - timedelta(days=350))
    visitor.post(f"/sittings/{sitting.pk}/end")
    assert dated(row) == today(15)


def test_one_kept_until_a_day_does_not_move_with_the_sitting(visitor, sitting):
    row = sent(visitor, sitting.client, sitting=str(sitting.pk))
    before = dated(row)
    visitor.post(f"/sittings/{sitting.pk}/end")
    assert dated(row) == before
    assert told(visitor, row) == f"deleted on {before:%-d %B %Y}"
    assert not AuditEntry.objects.filter(action="photograph's date changed").exists()


def test_the_sweep_keeps_the_promise(visitor, sitting, row):
    visitor.post(f"/sittings/{sitting.pk}/end")
    Sitting.objects.filter(pk=sitting.pk).update(ended=timezone.now() - timedelta(days=30))
    assert photo_sweep.sweep().photographs == 0, "the day that was told stands"
    Photograph.objects.filter(pk=row.pk).update(deletes_on=today())
    assert photo_sweep.sweep().photographs == 1


def test_one_is_changed_into_the_other_and_the_log_says_so(visitor, sitting, row):
    address = f"/photographs/{row.pk}/date"
    visitor.post(address, {"counted": "day", "deletes_on": today(9).isoformat(), "days": "30"})
    assert (dated(row), row.days_after_end) == (today(9), None)
    visitor.post(f"/sittings/{sitting.pk}/end")
    assert dated(row) == today(9)
    visitor.post(address, {"counted": "end", "days": "5"})
    assert (dated(row), row.days_after_end) == (today(5), 5)
    assert AuditEntry.objects.filter(action="photograph's date changed").count() == 2


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"days": ""}, "days"),
        ({"days": "0"}, "days"),
        ({"days": "366"}, "days"),
        ({"counted": "never"}, "counted"),
        ({"counted": "day"}, "deletes_on"),
        ({"counted": "day", "deletes_on": day_ahead(0)}, "deletes_on"),
        ({"counted": "day", "deletes_on": day_ahead(400)}, "deletes_on"),
    ],
)
def test_a_promise_that_is_none_is_refused(visitor, row, said, field):
    answer = visitor.post(f"/photographs/{row.pk}/date", FROM_END | said)
    assert answer.status_code == 422
    assert field in answer.context["date_form"].errors
    assert (dated(row), row.days_after_end) == (today(365), 30)


def test_a_day_that_has_passed_is_refused(visitor, sitting, row):
    Sitting.objects.filter(pk=sitting.pk).update(ended=timezone.now() - timedelta(days=40))
    answer = visitor.post(f"/photographs/{row.pk}/date", FROM_END)
    assert "has passed" in " ".join(answer.context["date_form"].errors["days"])


def test_without_a_sitting_there_is_a_day_alone(visitor, sitting):
    row = sent(visitor, sitting.client)
    page = visitor.get(f"/photographs/{row.pk}").text
    assert 'name="counted"' not in page
    assert visitor.post(f"/photographs/{row.pk}/date", {"counted": "end", "days": "5"}).status_code == 422
