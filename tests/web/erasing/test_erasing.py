"""A client erased: nothing of them in any row, file or cache; and what an older backup holds of them goes again."""

import os
import time
from datetime import timedelta

import pytest
from django.utils import timezone

from tenter.web.archives import client_rows
from tenter.web.backups import pending
from tenter.web.backups.backup import write_backup
from tenter.web.backups.checking import check_backup
from tenter.web.backups.restore import put_back
from tenter.web.erasing import client_erasing
from tenter.web.models import (
    Access,
    Appointment,
    Associate,
    AuditEntry,
    Client,
    ErasedMark,
    Photograph,
    Sitting,
    SittingEvent,
)
from tenter.web.papers import handed
from tenter.web.replays import catching_up, odds_seen, replays
from tenter.web.rules import erased_marks
from tenter.web.rules.audit import Action
from tenter.web.server import temporary_files
from tenter.web.store import sheets, store
from tenter.web.sweeping import kept_memory
from tests.support.photo_studio import sent
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


def test_the_page_says_what_is_erased_and_asks_once(visitor, client_row):
    address = f"/people/{client_row.pk}/erase"
    Appointment.objects.create(client=client_row, begins=timezone.now(), visit="palette", by=client_row.owner)
    page = visitor.get(address).text
    assert "<li>1 appointment</li>" in page
    entries = SittingEvent.objects.filter(sitting__client=client_row).count()
    assert "<li>1 sitting</li>" in page
    assert f"<li>{entries} entries</li>" in page
    answer = visitor.post(address, {})
    assert answer.status_code == 422
    assert "Nothing was erased" in answer.text
    assert Client.objects.filter(pk=client_row.pk).exists()


def test_what_is_erased_leaves_no_row_no_file_and_no_name_in_the_log(visitor, owner, client_row):
    shot = sent(visitor, client_row)
    file = kept_memory.data_dir() / "photographs" / shot.name
    assert file.exists()
    others = Client.objects.exclude(pk=client_row.pk).count()
    went = client_rows.rows_with(client_row)
    assert {Client, Sitting, SittingEvent, Photograph} <= set(went)
    assert visitor.post(f"/people/{client_row.pk}/erase", {"sure": "on"}).url == "/people"
    for kind, rows in went.items():
        assert not kind._default_manager.filter(pk__in=[row.pk for row in rows]).exists(), kind
    assert not file.exists()
    assert Client.objects.count() == others
    line = AuditEntry.objects.first()
    assert (line.action, line.subject, line.user) == ("client erased", f"client {client_row.pk}", owner)
    assert not [e for e in AuditEntry.objects.all() if "Ilse" in e.subject]


def test_only_the_owner_erases(owner, stranger, client_row):
    Associate.objects.create(owner=owner, user=stranger)
    Access.objects.create(client=client_row, user=stranger)
    browser = browser_of(stranger)
    assert browser.get(f"/people/{client_row.pk}").status_code == 200
    for name in ("erase", "archive", "kept"):
        assert browser.get(f"/people/{client_row.pk}/{name}").status_code == 404
    assert browser.post(f"/people/{client_row.pk}/erase", {"sure": "on"}).status_code == 404
    assert Client.objects.filter(pk=client_row.pk).exists()


def test_memory_is_let_go_of_here_and_by_every_other_server_at_its_next_request(visitor, owner, client_row):
    row = client_row.sittings.get()

    def remembered():
        sheets.screen_of(row)
        with store.load(row):
            pass
        return sheets._screen.cache_info().currsize, len(store._kept)

    kept_memory.follow()
    assert min(remembered()) > 0
    kept_memory.follow()
    assert sheets._screen.cache_info().currsize > 0  # nothing was erased: what is kept stays
    # Another server, which has a memory of its own, erases something.
    (kept_memory.data_dir() / "erased").write_text("by another", encoding="ascii")
    visitor.get("/account/password")
    assert (sheets._screen.cache_info().currsize, len(store._kept)) == (0, 0)
    assert min(remembered()) > 0
    client_erasing.erase_client(client_row, owner)
    assert (sheets._screen.cache_info().currsize, len(store._kept), handed._made.cache_info().currsize) == (0, 0, 0)


def test_what_a_backup_remembers_of_a_sitting_is_forgotten(owner, client_row, replayed_once):
    catching_up.catch_up(99)
    row = client_row.sittings.get()
    checksum = replays.checksum(replays.history_of(row))
    with odds_seen.odds_seen() as seen:
        assert (seen.digest(checksum) is None, row.pk in seen.noted()) == (False, True)
        seen.keep_read(checksum)
        others = len(seen.noted()) - 1
    client_erasing.erase_client(client_row, owner)
    with odds_seen.odds_seen() as seen:
        assert (seen.digest(checksum), seen.was_read(checksum), row.pk in seen.noted()) == (None, False, False)
        assert len(seen.noted()) == others


def test_safety_copies_go_where_that_is_asked_for(visitor, owner, client_row):
    owner.is_superuser = True
    owner.save()
    copy = kept_memory.data_dir() / "before-restore-20260101-120000-000000.zip"
    copy.write_bytes(b"PK")
    assert "Delete 1 safety copy in the data folder too" in visitor.get(f"/people/{client_row.pk}/erase").text
    visitor.post(f"/people/{client_row.pk}/erase", {"sure": "on"})
    assert copy.exists()
    other = Client.objects.first()
    visitor.post(f"/people/{other.pk}/erase", {"sure": "on", "copies": "on"})
    assert not copy.exists()


def test_a_backup_that_waits_and_what_was_left_half_way_are_removed(owner, client_row):
    pending.keep_backup(kept_memory.data_dir(), [b"PK"], lambda path: None)
    passing = temporary_files.folder_in(kept_memory.data_dir())
    for name in ("half.zip", "being-written.zip"):
        (passing / name).write_bytes(b"PK")
    os.utime(passing / "half.zip", (time.time() - 7200,) * 2)
    client_erasing.erase_client(client_row, owner)
    assert [path.name for path in passing.iterdir()] == ["being-written.zip"]


# -- an older backup ---------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("replayed_once")
def test_an_older_backup_brings_nobody_back(visitor, owner, client_row):
    number, shot = client_row.pk, sent(visitor, client_row)
    other = Client.objects.exclude(pk=client_row.pk).first()
    kept = sent(visitor, other)
    older = write_backup(kept_memory.data_dir() / "older.zip")
    client_erasing.erase_client(client_row, owner)
    [seen] = erased_marks.among(older.rows["tenter.client"], erased_marks.kept())
    assert seen.pk == number
    done = put_back(older, check_backup(older), kept_memory.data_dir())
    assert done.erased == 1
    assert "1 client erased since the backup was made left out" in str(done)
    assert not Client.objects.filter(name="Ilse Varnholt").exists()
    assert not Sitting.objects.filter(client=number).exists()
    files = {path.name for path in (kept_memory.data_dir() / "photographs").iterdir()}
    assert (shot.name in files, kept.name in files) == (False, True)
    # What was erased stays known, so that the next old backup is treated alike.
    assert ErasedMark.objects.filter(kind="client").count() == 1
    assert put_back(older, check_backup(older), kept_memory.data_dir()).erased == 1


@pytest.mark.usefixtures("replayed_once")
def test_a_photograph_and_a_sitting_erased_alone_stay_erased_too(visitor, owner, client_row):
    shot, kept = sent(visitor, client_row), sent(visitor, client_row)
    row = client_row.sittings.get()
    older = write_backup(kept_memory.data_dir() / "older.zip")
    visitor.post(f"/photographs/{shot.pk}/erase")
    client_erasing.erase_rows([row], owner, Action.SITTING_ERASED)
    assert put_back(older, check_backup(older), kept_memory.data_dir()).erased == 0
    assert [one.name for one in Photograph.objects.all()] == [kept.name]
    assert Client.objects.get(pk=client_row.pk).sittings.count() == 0


def test_a_mark_tells_no_name_and_knows_a_row_by_number_and_moment(owner, client_row):
    erased_marks.mark(client_row)
    said = ErasedMark.objects.values_list("kind", "key", "digest").get()
    assert not [word for word in said if "Ilse" in word or str(client_row.pk) == word]
    later = Client(pk=client_row.pk, created=client_row.created + timedelta(microseconds=1))
    other = Client(pk=client_row.pk + 1, created=client_row.created)
    assert erased_marks.among([client_row, later, other], erased_marks.kept()) == [client_row]
