"""A clock that has jumped deletes nothing, opens nothing that is past its day, and locks nobody out."""

import io
from datetime import timedelta

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from tenter.web.models import AuditEntry, Client, LoginAttempt, Photograph
from tenter.web.server import believed_clock, throttle
from tenter.web.sweeping import photo_sweep
from tests.support.photo_studio import sent
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")
REAL = timezone.now


@pytest.fixture
def ahead(monkeypatch):
    """Set the machine's clock so many days ahead."""

    def set_to(days):
        monkeypatch.setattr(timezone, "now", lambda: REAL() + timedelta(days=days))

    return set_to


@pytest.fixture
def row(owner):
    return sent(browser_of(owner), Client.objects.first())


@pytest.mark.parametrize("days", [-0.04, 0, 1, 42, 59.9])
def test_a_holiday_is_no_fault(ahead, owner, days):
    believed_clock.believe()
    ahead(days)
    assert believed_clock.doubt() is None


@pytest.mark.parametrize("days", [-400, -0.1, 60.1, 400])
def test_a_clock_that_jumped_is_doubted(ahead, owner, days):
    believed_clock.believe()
    ahead(days)
    assert round((believed_clock.doubt().now - believed_clock.doubt().last) / timedelta(days=1), 3) == days


@pytest.mark.parametrize("torn", [None, b"", b"\xff", b"2026-01-01", b"yesterday"])
def test_before_the_first_look_the_log_speaks(ahead, owner, folder, torn):
    AuditEntry.objects.all().delete()
    AuditEntry.objects.create(action="x", at=timezone.now())
    (folder / "clock").unlink(missing_ok=True)
    folder.mkdir(exist_ok=True)
    if torn is not None:
        (folder / "clock").write_bytes(torn)
    assert believed_clock.doubt() is None
    ahead(61)
    assert believed_clock.doubt() is not None
    AuditEntry.objects.all().delete()
    assert believed_clock.doubt() is None, "a new studio has nothing to lose"


def test_nothing_is_deleted_by_a_doubtful_clock_however_often_it_is_asked(ahead, row, folder):
    assert photo_sweep.sweep().doubt is None
    ahead(400)
    AuditEntry.objects.create(action="logged in", at=timezone.now())  # a line by the wrong clock proves nothing
    for _ in range(2):
        assert photo_sweep.sweep().photographs == 0
    assert (folder / "photographs" / row.name).exists()
    with pytest.raises(CommandError, match="Tenter last ran on") as refused:
        call_command("sweep")
    assert refused.value.returncode == 3


def test_set_right_again_the_clock_is_believed_without_a_question(ahead, row):
    photo_sweep.sweep()
    ahead(400)
    photo_sweep.sweep()
    ahead(1)
    assert photo_sweep.sweep().doubt is None
    assert Photograph.objects.filter(pk=row.pk).exists()


def test_on_the_owners_word_what_is_due_goes(ahead, owner, row):
    photo_sweep.sweep()
    ahead(400)
    owner.is_superuser = True
    owner.save()
    visitor = browser_of(owner)
    for page in ("/day", "/studio"):
        told = visitor.get(page).content.decode()
        assert "delete 1 photograph" in told
        assert "The date is right" in told
    assert visitor.post("/studio/date").status_code == 302
    assert not Photograph.objects.filter(pk=row.pk).exists()
    assert AuditEntry.objects.filter(action="computer's date confirmed", user=owner).exists()
    assert "The date is right" not in visitor.get("/day").content.decode()


def test_only_who_opened_the_studio_is_asked(ahead, owner, row):
    photo_sweep.sweep()
    ahead(400)
    visitor = browser_of(owner)
    assert "The date is right" not in visitor.get("/day").content.decode()
    assert visitor.post("/studio/date").status_code == 404
    assert Photograph.objects.filter(pk=row.pk).exists()


def test_the_word_can_be_given_by_command(ahead, row):
    photo_sweep.sweep()
    ahead(400)
    said = io.StringIO()
    call_command("sweep", "--date-is-right", stdout=said)
    assert said.getvalue().startswith("1 photograph deleted by date")


def test_what_is_past_its_day_stays_shut_until_it_is_gone(owner, row):
    visitor = browser_of(owner)
    address = f"/photographs/{row.pk}"
    assert visitor.get(f"{address}/picture").status_code == 200
    Photograph.objects.filter(pk=row.pk).update(deletes_on=timezone.localdate())
    for part in ("picture", "small", "part"):
        assert visitor.get(f"{address}/{part}").status_code == 404
    assert "day of deletion has passed" in visitor.get(address).content.decode()


def test_a_try_dated_in_the_future_locks_nobody_out(owner):
    for _ in range(throttle.MOST_TRIES):
        LoginAttempt.objects.create(name="owner", at=timezone.now() + timedelta(days=400))
    assert throttle.seconds_to_wait("owner", "127.0.0.1") == 0
    assert set(LoginAttempt.objects.values_list("name", flat=True)) == {"owner", "\t127.0.0.1/32"}
