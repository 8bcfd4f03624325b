"""What waits is measured whatever becomes of a worker, once; and what is due is deleted."""

import io
import json
import os
import subprocess
import sys
import threading
import time
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from studies.web.live_studio import Visitor
from tenter.web.models import AuditEntry, Client, MeasuredFace, Photograph
from tenter.web.pictures import measuring, pictures, queue, tries
from tenter.web.sweeping import photo_sweep
from tests.support.photo_studio import portrait, sent
from tests.support.running import new_studio
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def row(owner):
    return sent(browser_of(owner), Client.objects.first())


def again(row):
    row.refresh_from_db()
    return row


# -- the worker --------------------------------------------------------------------------------------------------------


def test_what_a_killed_worker_left_is_measured_at_the_next_start(row):
    Photograph.objects.filter(pk=row.pk).update(state="measuring", progress=20, result="")
    assert queue.put_all_in_line() == 1
    assert (again(row).state, row.progress, row.turn) == ("done", 100, 2)
    assert queue.put_all_in_line() == 0


def test_a_task_that_comes_twice_measures_once(row, monkeypatch):
    times = []
    monkeypatch.setattr(measuring, "_measured", lambda *said: times.append(said))
    for turn in (row.turn, row.turn - 1, 99):
        measuring.measure_photograph(row.pk, turn)
    measuring.measure_photograph(10**6, 1)
    assert times == []


def test_a_worker_that_was_given_up_on_writes_nothing(row, monkeypatch):
    whole = measuring._measured

    def slow(row, mine):
        result = whole(row, mine)
        Photograph.objects.filter(pk=row.pk).update(turn=7, state="queued")
        return result

    turn = tries.ask_again(Photograph, row.pk)
    monkeypatch.setattr(measuring, "_measured", slow)
    measuring.measure_photograph(row.pk, turn)
    assert (again(row).state, row.turn) == ("queued", 7)


def test_a_fault_of_ours_is_told_plainly(row, monkeypatch):
    def fault(*_said):
        raise ZeroDivisionError

    monkeypatch.setattr(measuring, "_measured", fault)
    turn = tries.ask_again(Photograph, row.pk)
    with pytest.raises(ZeroDivisionError):
        measuring.measure_photograph(row.pk, turn)
    assert again(row).state == "failed"
    assert "could not be measured" in row.problem


def test_a_photograph_whose_file_is_gone_says_so(owner, row):
    pictures.remove_picture(row.name)
    queue.put_in_line(row)
    assert again(row).state == "failed"
    assert "not in the data folder" in browser_of(owner).get(f"/photographs/{row.pk}").text


@pytest.mark.django_db(transaction=True)
def test_a_worker_beside_the_server_takes_what_comes(owner):
    queue.queue.immediate = False
    queue.queue.flush()
    consumer = queue.start_worker()
    try:
        waiting = sent(browser_of(owner), Client.objects.first())
        deadline = time.monotonic() + 20
        while again(waiting).waits and time.monotonic() < deadline:
            time.sleep(0.05)
    finally:
        consumer.stop(graceful=True)
        queue.queue.immediate = True
    assert waiting.state == "done"
    assert not any(thread.name.startswith("Worker-") for thread in threading.enumerate())


@pytest.mark.browser
def test_a_photograph_survives_the_kill_of_the_server(tmp_path):
    (tmp_path / "killed").mkdir()
    studio = new_studio.started(tmp_path / "killed")
    try:
        visitor = Visitor(studio)
        visitor.open_studio()
        program = (
            "import django; django.setup(); import sys; "
            "from tenter.web.pictures import pictures; from tenter.web.models import *; "
            "from django.contrib.auth import get_user_model; "
            "row = Photograph(client=Client.objects.first(), by=get_user_model().objects.get(), chart='classic24'); "
            "row.state, row.turn = 'measuring', 1; "
            "pictures.keep_picture(row.name, sys.stdin.buffer.read()); row.save(); print(row.pk)"
        )
        environment = {
            **os.environ,
            "TENTER_DATA_DIR": str(studio.folder / "data"),
            "DJANGO_SETTINGS_MODULE": "tenter.web.settings",
            "TENTER_PHOTO_PASSPHRASE": "linen on the line",  # the one of a `LiveStudio`
        }
        environment.pop("DATABASE_URL", None)
        done = subprocess.run(
            [sys.executable, "-c", program], input=portrait(), env=environment, capture_output=True, check=True
        )
        number = int(done.stdout)
        studio.kill()
        studio.start()
        deadline = time.monotonic() + 30
        while (told := json.loads(visitor.get(f"/photographs/{number}/state")[1]))["waits"]:
            assert time.monotonic() < deadline, told
            time.sleep(0.2)
        assert told == {"state": "done", "progress": 100, "waits": False}
    finally:
        studio.stop()


# -- deleted -----------------------------------------------------------------------------------------------------------


def test_on_the_date_promised_nothing_of_it_is_left(owner, row, folder):
    other = sent(browser_of(owner), Client.objects.first(), "p2a.jpg")
    tomorrow = timezone.localdate() + timedelta(days=1)
    Photograph.objects.filter(pk=row.pk).update(deletes_on=tomorrow)
    assert photo_sweep.sweep().photographs == 0
    Photograph.objects.filter(pk=row.pk).update(deletes_on=timezone.localdate())
    call_command("sweep", stdout=io.StringIO())
    assert list(Photograph.objects.all()) == [other]
    assert [file.name for file in (folder / "photographs").iterdir()] == [other.name]
    line = AuditEntry.objects.first()
    assert (line.action, line.subject, line.user) == ("photograph deleted on its date", f"photograph {row.pk}", None)


def test_files_that_belong_to_nobody_are_removed_unless_they_have_just_come(row, folder):
    old, young = folder / "photographs" / ("a" * 32), folder / "photographs" / ("b" * 32)
    for file in (old, young):
        file.write_bytes(b"x")
    hour_ago = time.time() - 3600
    os.utime(old, (hour_ago, hour_ago))
    os.utime(folder / "photographs" / row.name, (hour_ago, hour_ago))
    assert photo_sweep.sweep().strays == 1
    assert {file.name for file in (folder / "photographs").iterdir()} == {row.name, young.name}


def test_a_button_erases_at_once_and_another_all_of_a_client(owner, row, folder):
    visitor, client = browser_of(owner), row.client
    kept = sent(visitor, Client.objects.filter(minor=False).exclude(pk=client.pk).first())
    sent(visitor, client)
    face = MeasuredFace.objects.create(sitting=client.sittings.get(), photograph=row, by=owner, colours={})
    assert visitor.post(f"/photographs/{row.pk}/erase")["Location"] == f"/people/{client.pk}/photographs"
    assert visitor.get(f"/photographs/{row.pk}").status_code == 404
    face.refresh_from_db()
    assert face.photograph is None, "colours that were given stay until they are taken out"
    sent(visitor, client)
    assert visitor.post(f"/people/{client.pk}/photographs/erase").status_code == 302
    assert list(Photograph.objects.all()) == [kept]
    assert [file.name for file in (folder / "photographs").iterdir()] == [kept.name]
    assert AuditEntry.objects.filter(action="photograph erased").count() == 3


def test_the_day_is_changed_by_hand(owner, row):
    visitor = browser_of(owner)
    day = timezone.localdate() + timedelta(days=7)
    assert visitor.post(f"/photographs/{row.pk}/date", {"deletes_on": day.isoformat()}).status_code == 302
    assert again(row).deletes_on == day
    assert visitor.post(f"/photographs/{row.pk}/date", {"deletes_on": "2020-01-01"}).status_code == 422
    assert again(row).deletes_on == day


def test_sweeping_tells_how_much(row, capsys):
    call_command("sweep")
    assert capsys.readouterr().out == "0 photographs deleted by date, 0 files that belonged to none removed\n"
