"""A backup put back from the page Studio: looked at first, then in the place of everything, or nothing is changed."""

import pytest
from django.contrib.sessions.models import Session
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.db import DatabaseError
from django.db.models import QuerySet
from django.test import Client as Browser

from tenter import Answer, PairJudgement
from tenter.errors import TenterError
from tenter.web.backups import restore as restores
from tenter.web.backups.backup import write_backup
from tenter.web.backups.backup_file import read_backup
from tenter.web.backups.checking import Checked
from tenter.web.backups.restore import put_back
from tenter.web.models import AuditEntry, Client, KitRecord, Photograph, Sitting, SittingEvent
from tenter.web.pictures import pictures
from tenter.web.replays.backup_rows import label, line_of, tables
from tenter.web.server.server_lock import alone, serving
from tenter.web.store import outcomes, store
from tests.support import entering
from tests.web.backups.test_backup import everything, members_of, sealed_anew, with_manifest
from tests.web.conftest import PASSWORD, browser_of

pytestmark = pytest.mark.usefixtures("replayed_once")
FOUND = Checked(2, 0, None, 2)
CONFIRM = {"password": PASSWORD, "word": "replace"}


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """The data folder of this test alone."""
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path / "data"))
    (tmp_path / "data").mkdir()
    return tmp_path / "data"


@pytest.fixture
def keeper(owner):
    owner.is_superuser = True
    owner.save()
    few = list(Client.objects.values_list("pk", flat=True)[2:])
    Client.objects.filter(pk__in=few).delete()
    return owner


@pytest.fixture
def saved(keeper, tmp_path):
    path = tmp_path / "all.zip"
    write_backup(path)
    return path


@pytest.fixture
def visitor(keeper):
    return browser_of(keeper)


def sent(visitor, path):
    file = SimpleUploadedFile(path.name, path.read_bytes(), "application/zip")
    return visitor.post("/studio/restore", {"file": file})


def without_log(rows):
    """Everything but the log and the moment of the last login."""
    users = [row | {"last_login": None} for row in rows["auth.user"]]
    return rows | {"tenter.auditentry": None, "auth.user": users}


def drop_entries(path):
    sealed_anew(path, "tenter.sittingevent.jsonl", b"", 0)


# -- two steps ---------------------------------------------------------------------------------------------------------


def test_a_backup_is_looked_at_and_then_put_back(visitor, keeper, saved, folder):
    before = everything()
    Client.objects.create(owner=keeper, name="Newer")
    changed = everything()
    assert "Put a backup back" in visitor.get("/studio").text
    answer = sent(visitor, saved)
    assert answer["Location"] == "/studio/restore/confirm"
    shown = visitor.get("/studio/restore/confirm")
    assert "all.zip" in shown.text
    assert "its odds are what they were" in shown.text
    backup, now = shown.context["columns"]
    assert (backup.clients, now.clients) == (2, 3)
    assert (backup.users, backup.kits, backup.sittings) == (1, 1, 2)
    assert backup.entries == SittingEvent.objects.filter(kind="recorded").count() == now.entries
    assert without_log(everything()) == without_log(changed), "looking changes nothing"
    done = visitor.post("/studio/restore/confirm", CONFIRM)
    assert done.status_code == 200
    assert without_log(everything()) == without_log(before)
    (safety,) = folder.glob("before-restore-*.zip")
    assert str(safety) in done.text
    assert "Newer" in [row.name for row in read_backup(safety).rows[label(Client)]]
    assert not (folder / "passing" / "restore-pending.zip").exists()
    line = AuditEntry.objects.first()
    assert (line.action, line.subject, line.user.username) == ("restored", safety.name, keeper.username)


def test_everybody_is_logged_out(visitor, keeper, saved, stranger):
    other = browser_of(stranger)
    sent(visitor, saved)
    done = visitor.post("/studio/restore/confirm", CONFIRM)
    assert "Log out" not in done.text
    assert not Session.objects.exists()
    assert visitor.get("/day")["Location"].startswith("/login")
    assert other.get("/day")["Location"].startswith("/login")
    assert Browser().post("/login", {"username": keeper.username, "password": PASSWORD})["Location"] == "/day"


@pytest.mark.parametrize(
    ("said", "match"),
    [
        ({"password": "cloth and daylight!"}, "not your password"),
        ({"word": "yes"}, "The word is"),
        ({"word": ""}, "required"),
        ({"password": ""}, "required"),
    ],
)
def test_without_password_and_word_nothing_is_changed(visitor, saved, folder, said, match):
    sent(visitor, saved)
    Client.objects.all().first().delete()
    before = everything()
    answer = visitor.post("/studio/restore/confirm", CONFIRM | said)
    assert match in answer.text
    assert everything() == before
    assert list(folder.glob("before-restore-*")) == []


def test_passwords_are_not_tried_without_end(visitor, saved):
    sent(visitor, saved)
    codes = [visitor.post("/studio/restore/confirm", CONFIRM | {"password": "x"}).status_code for _ in range(6)]
    assert codes == [200] * 5 + [429]
    assert visitor.post("/studio/restore/confirm", CONFIRM).status_code == 429, "nor with the right one then"
    assert Session.objects.exists()


def test_leaving_drops_the_file(visitor, saved, folder):
    sent(visitor, saved)
    assert (folder / "passing" / "restore-pending.zip").stat().st_mode & 0o777 == 0o600
    assert visitor.post("/studio/restore/leave")["Location"] == "/studio"
    assert not (folder / "passing" / "restore-pending.zip").exists()
    assert visitor.post("/studio/restore/confirm", CONFIRM)["Location"] == "/studio/restore"


def test_what_was_not_looked_at_is_not_put_back(visitor, keeper, saved, folder, tmp_path):
    sent(visitor, saved)
    write_backup(tmp_path / "other.zip")
    (tmp_path / "other.zip").replace(folder / "passing" / "restore-pending.zip")
    before = everything()
    assert visitor.post("/studio/restore/confirm", CONFIRM)["Location"] == "/studio/restore"
    assert browser_of(keeper).get("/studio/restore/confirm")["Location"] == "/studio/restore"
    assert without_log(everything()) == without_log(before)


def test_nobody_else_has_these_pages(saved, stranger):
    for address in ("/studio/restore", "/studio/restore/confirm", "/studio/restore/leave"):
        assert browser_of(stranger).post(address, CONFIRM).status_code == 404
        assert Browser().post(address, CONFIRM)["Location"].startswith("/login")
    assert browser_of(stranger).get("/studio/restore").status_code == 404


def test_odds_that_differ_are_shown_before_and_after(visitor, saved):
    number = Sitting.objects.last().pk
    digests = {str(row.pk): read_backup(saved).digests[str(row.pk)] for row in Sitting.objects.all()}
    with_manifest(saved, members_of(saved), digests=digests | {str(number): "0" * 64})
    sent(visitor, saved)
    assert f"The odds of sitting {number} are not what they were" in visitor.get("/studio/restore/confirm").text
    done = visitor.post("/studio/restore/confirm", CONFIRM)
    assert f"The odds of sitting {number} are not what they were" in done.text


def test_photographs_without_a_file_are_named_before_and_after(visitor, keeper, tmp_path, folder):
    client = Client.objects.first()
    here, gone = (Photograph.objects.create(client=client, by=keeper, state="done") for _ in range(2))
    pictures.put(here.name, b"sealed")
    write_backup(tmp_path / "some.zip")
    pictures.put(gone.name, b"sealed")
    sent(visitor, tmp_path / "some.zip")
    shown = visitor.get("/studio/restore/confirm")
    backup, now = shown.context["columns"]
    assert ((backup.photographs, backup.files), (now.photographs, now.files)) == ((2, 1), (2, 2))
    named = f"hotograph No. {gone.pk} of {client}"
    assert "1 photograph has no file in this backup" in shown.text
    assert named in shown.text
    assert named in visitor.post("/studio/restore/confirm", CONFIRM).text


def test_a_sitting_that_cannot_be_replayed_is_named_where_a_backup_is_asked_for(visitor, keeper):
    SittingEvent.objects.filter(number=1).update(payload={"event": "danced"})
    answer = visitor.post("/studio/backup", follow=True)
    assert "No backup was made: sitting" in answer.text
    assert "cannot be replayed" in answer.text


# -- what is refused ---------------------------------------------------------------------------------------------------


def damaged(path):
    whole = path.read_bytes()
    path.write_bytes(whole[:400] + bytes([whole[400] ^ 1]) + whole[401:])


def foreign(path):
    path.write_bytes(b"id,name,L,a,b\n")


def no_event(path):
    row = next(iter(read_backup(path).rows["tenter.sittingevent"]))
    row.payload["judgement"]["kind"] = "dance"
    sealed_anew(path, "tenter.sittingevent.jsonl", line_of(row).encode(), 1)


def no_kit(path):
    sealed_anew(path, "tenter.kitrecord.jsonl", b"", 0)


@pytest.mark.parametrize(
    ("spoil", "match"),
    [
        (damaged, "is damaged"),
        (foreign, "not a backup of Tenter"),
        (no_event, "cannot be replayed"),
        (no_kit, "do not fit together"),
    ],
)
def test_a_file_that_is_no_whole_backup_is_refused(visitor, saved, folder, spoil, match):
    spoil(saved)
    before = everything()
    answer = sent(visitor, saved)
    assert answer.status_code == 200
    assert match in answer.text
    assert "all.zip" in answer.text
    assert everything() == before
    assert [path.name for path in folder.iterdir() if path.suffix == ".zip"] == []


def test_a_file_that_is_too_large_is_not_read(visitor, saved, monkeypatch):
    monkeypatch.setattr("tenter.web.backups.forms.LARGEST_BACKUP", saved.stat().st_size - 1)
    assert "the most that this page accepts" in sent(visitor, saved).text


@pytest.mark.parametrize("model", [m for m in tables() if m in (Client, KitRecord, Sitting, SittingEvent)])
def test_a_failure_half_way_leaves_everything(visitor, saved, folder, monkeypatch, model):
    sent(visitor, saved)
    Client.objects.first().delete()
    before = everything()

    def fail(*_args, **_named):
        raise DatabaseError("the disk is full")

    monkeypatch.setattr(QuerySet, "bulk_create", failing_for(model, fail))
    answer = visitor.post("/studio/restore/confirm", CONFIRM)
    monkeypatch.undo()
    assert answer["Location"] == "/studio/restore"
    assert everything() == before
    assert list(folder.glob("before-restore-*")) == []
    assert "the disk is full" in visitor.get("/studio/restore").text, "and one is still logged in"


def failing_for(model, fail):
    whole = QuerySet.bulk_create
    return lambda self, *args, **named: fail() if self.model is model else whole(self, *args, **named)


def test_rows_that_the_database_did_not_keep_are_noticed(keeper, saved, folder, monkeypatch):
    backup = read_backup(saved)
    Client.objects.first().delete()
    before = everything()
    whole = restores._count_on_from_there

    def spoil():
        Client.objects.update(note="x")
        whole()

    monkeypatch.setattr(restores, "_count_on_from_there", spoil)
    with pytest.raises(TenterError, match=r"did not keep tenter\.client"):
        put_back(backup, FOUND, folder)
    assert everything() == before


# -- beside a sitting that goes on -------------------------------------------------------------------------------------


@pytest.mark.django_db(transaction=True)
def test_another_workers_live_sitting_is_no_truth_after_a_restore(keeper, monkeypatch, tmp_path, folder):
    row = store.start_sitting(Client.objects.first(), keeper, KitRecord.objects.get())
    entering.record_judgement(row, PairJudgement("D001", "D002", Answer.LEFT), "one")
    path = tmp_path / "all.zip"
    write_backup(path)
    entering.record_judgement(row, PairJudgement("D003", "D004", Answer.LEFT), "two")
    monkeypatch.setattr(store, "forget_sittings", lambda: None)  # as in a worker that does not know of it
    put_back(read_backup(path), FOUND, folder)
    entering.record_judgement(row, PairJudgement("D005", "D006", Answer.RIGHT), "three")
    with store.load(row) as live:
        assert [entry.judgement.left for entry in live.entries] == ["D001", "D005"]
    assert list(row.events.values_list("number", flat=True)) == [1, 2]


def test_outcomes_are_forgotten(keeper, saved, folder):
    row = Sitting.objects.first()
    outcomes._outcome(row.pk, row.token, 3)
    assert outcomes._outcome.cache_info().currsize
    put_back(read_backup(saved), FOUND, folder)
    assert outcomes._outcome.cache_info().currsize == 0


# -- by command --------------------------------------------------------------------------------------------------------


def test_a_restore_by_command_waits_for_no_running_server(saved, folder):
    before = everything()
    with serving(folder, 8123), pytest.raises(CommandError, match="Tenter is running at port 8123"):
        call_command("restore", str(saved), "--replace")
    assert everything() == before
    call_command("restore", str(saved), "--replace")
    assert len(list(saved.parent.glob("before-restore-*"))) == 1


def test_two_servers_may_share_and_no_server_starts_in_a_restore(folder):
    with serving(folder, 1), serving(folder, 2), pytest.raises(TenterError, match="port 2"), alone(folder):
        pass
    with alone(folder), pytest.raises(TenterError, match="being restored"), serving(folder, 3):
        pass


def test_a_lock_left_behind_is_forgiven(folder):
    (folder / "server.lock").write_text("999999 8000\n")
    with alone(folder), pytest.raises(TenterError, match="being restored"), serving(folder, 1):
        pass
