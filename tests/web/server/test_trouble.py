"""A machine's trouble is said in words, and what breaks leaves a trace that names no one."""

import logging
import sqlite3
from contextlib import closing

import pytest
from django.db import OperationalError, connection
from django.test import Client as Browser

from tenter.web.models import Client, KitRecord, SittingEvent
from tenter.web.rules import audit
from tenter.web.server import error_log, trouble
from tenter.web.store import store

SECRET = "Wenna Castrall's cousin"


@pytest.fixture
def outside(owner):
    """A browser that is answered as the server answers it, whatever breaks."""
    browser = Browser(raise_request_exception=False)
    browser.force_login(owner)
    return browser


def breaking(monkeypatch, error):
    def note(*_):
        raise error

    monkeypatch.setattr(audit, "note", note)


NAMED = {"name": "Orla Venn", "note": ""}


@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        (OSError(28, "No space left on device"), 507, "The disk is full"),
        (OSError(30, "Read-only file system"), 503, "The data folder cannot be written"),
        (OperationalError("database is locked"), 503, "data are busy"),
        (OperationalError("attempt to write a readonly database"), 503, "cannot be written"),
        (OperationalError("connection to server at 127.0.0.1 failed"), 503, "The database does not answer"),
        (ValueError(SECRET), 500, "errors.log"),
        (OperationalError("no such table"), 500, "errors.log"),
        (OSError(2, "No such file"), 500, "errors.log"),
    ],
)
def test_what_broke_is_said_in_words(outside, monkeypatch, error, status, said):
    breaking(monkeypatch, error)
    answer = outside.post("/people/add", NAMED)
    assert (answer.status_code, said in answer.content.decode()) == (status, True)
    assert SECRET not in answer.content.decode()


def test_an_error_that_came_of_a_trouble_is_that_trouble():
    error = RuntimeError("the sitting could not be kept")
    error.__cause__ = OSError(28, "No space left on device")
    assert trouble.trouble_of(error) is trouble.FULL


@pytest.mark.one_database
def test_an_entry_on_a_full_disk_is_kept_by_the_page_and_said(owner, outside):
    sitting = store.start_sitting(Client.objects.first(), owner, KitRecord.objects.get(), seed=7)
    before = SittingEvent.objects.count()
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA page_count")
        full = cursor.fetchone()[0]
        cursor.execute(f"PRAGMA max_page_count = {full}")
        try:
            answers = [
                outside.post(
                    f"/sittings/{sitting.pk}/bench/entry",
                    {
                        "key": f"k{n}",
                        "act": "record",
                        "kind": "single",
                        "cloths": f"D{n:03}",
                        "answer": "works",
                        "note": "x" * 1900,
                    },
                    headers={"accept": "application/json"},
                )
                for n in range(1, 41)
            ]
        finally:
            cursor.execute("PRAGMA max_page_count = 1073741823")
    refused = [answer for answer in answers if answer.status_code != 200]
    assert refused
    assert {answer.status_code for answer in refused} == {507}
    assert refused[0].json()["problem"].startswith("The disk is full. This change was not saved")
    assert SittingEvent.objects.count() == before + len(answers) - len(refused)


@pytest.mark.one_database
def test_what_sqlite_says_is_understood(tmp_path):
    path = tmp_path / "a.sqlite3"
    with closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as one:
        one.execute("create table t (x)")
        one.execute("begin immediate")
        with closing(sqlite3.connect(path, timeout=0)) as two, pytest.raises(sqlite3.OperationalError) as locked:
            two.execute("insert into t values (1)")
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as shut, pytest.raises(sqlite3.Error) as readonly:
        shut.execute("insert into t values (1)")
    assert trouble.trouble_of(OperationalError(str(locked.value))) is trouble.HELD_ELSEWHERE
    assert trouble.trouble_of(OperationalError(str(readonly.value))) is trouble.SHUT


def record_of(error):
    try:
        raise error
    except type(error) as raised:
        told = (type(raised), raised, raised.__traceback__)
        return logging.LogRecord("django.request", logging.ERROR, "x.py", 1, "%s", (SECRET,), told)


def test_the_log_says_where_it_broke_and_names_no_one(tmp_path):
    log = error_log.ErrorLog(tmp_path)
    log.emit(record_of(ValueError(SECRET)))
    log.close()
    said = (tmp_path / "errors.log").read_text()
    assert "builtins.ValueError" in said
    assert "web/server/test_trouble.py:" in said
    assert "record_of" in said
    assert SECRET not in said


def test_what_breaks_on_a_page_is_in_the_log_with_the_pages_pattern(outside, monkeypatch, tmp_path):
    log = error_log.ErrorLog(tmp_path)
    monkeypatch.setattr(logging.getLogger(), "handlers", [log])
    breaking(monkeypatch, ValueError(SECRET))
    outside.post("/people/add?who=Wenna", NAMED)
    log.close()
    said = (tmp_path / "errors.log").read_text()
    assert "ERROR django.request POST people/add\n" in said
    assert "Wenna" not in said
    assert "Orla" not in said


def test_the_log_keeps_to_its_size_and_is_silent_where_it_cannot_be_written(tmp_path, capsys):
    log = error_log.ErrorLog(tmp_path)
    log.maxBytes = 2000
    for _ in range(40):
        log.emit(record_of(ValueError()))
    log.close()
    files = sorted(path.name for path in tmp_path.iterdir())
    assert files == ["errors.log", "errors.log.1", "errors.log.2"]
    assert all(path.stat().st_size <= 2000 for path in tmp_path.iterdir())
    nowhere = error_log.ErrorLog(tmp_path / "none")
    nowhere.emit(record_of(ValueError()))
    assert capsys.readouterr().err == ""
