"""What a database keeps on the disk of rows that were deleted, and how it is made to let go of it.

SQLite is told to overwrite what it deletes (`PRAGMA secure_delete`, in the settings). That is not all: the write-ahead
log holds pages as they were, and so may the unused part of a page. So the file is written anew and the log is cut to
nothing. PostgreSQL keeps deleted rows until its tables are written anew, their values in its statistics, and both in
its write-ahead log; what of that it may do depends on what the account may do, and on how the server is set.

Sources: sqlite.org, pragma.html#pragma_secure_delete, #pragma_wal_checkpoint, lang_vacuum.html; PostgreSQL manual,
VACUUM, CHECKPOINT, and 28.5, WAL configuration.
"""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from enum import Enum
from pathlib import Path

from django.apps import apps
from django.contrib.sessions.models import Session
from django.db import DatabaseError, connection
from django.db.backends.utils import CursorWrapper

from tenter import durable
from tenter.web.server.data_dir import data_dir

_DUE = "cleaning-due"
_PATIENCE_SECONDS, _AGAIN_SECONDS = 4.0, 0.1
_BUSY_MS = 500
_READERS_SECONDS = 15.0  # a photograph that is being measured may hold what it has read for so long


class Left(Enum):
    """What a database may still hold on the disk of what was deleted."""

    NOTHING = 1
    WITH_THE_SERVER = 2  # PostgreSQL's own log or statistics, which this account or the server's setting leaves as is
    MORE = 3  # somebody is reading all the while: it is tried again


def clean() -> Left:
    """Have the database let go of what was deleted; return what it may hold on to.

    Where somebody reads all the while, that is noted, and `finish_cleaning` tries again. Not to be called inside a
    transaction.
    """
    _note_due()
    return finish_cleaning()


def cut_log() -> None:
    """Cut SQLite's write-ahead log to nothing after something small was erased, now or, where somebody reads, soon.

    The log alone still holds it: in the file it is overwritten already. Nothing is done inside a transaction.
    """
    if connection.vendor != "sqlite" or connection.in_atomic_block:
        return
    try:
        with connection.cursor() as cursor, _waiting_little(cursor):
            done = _log_is_empty(cursor)
    except DatabaseError:
        done = False
    if not done:
        _note_due()


def finish_cleaning() -> Left:
    """Clean what is still to be cleaned; return what the database may hold on to."""
    if not _place().exists():
        return Left.NOTHING
    if connection.in_atomic_block:
        return Left.MORE
    try:
        left = _clean_sqlite() if connection.vendor == "sqlite" else _clean_postgresql()
    except DatabaseError:  # held by others, or the disk is full
        return Left.MORE
    if left is not Left.MORE:
        _place().unlink(missing_ok=True)
    return left


def _note_due() -> None:
    durable.write(_place(), b"", durable.PRIVATE)


def _place() -> Path:
    return data_dir() / _DUE


# -- SQLite ------------------------------------------------------------------------------------------------------------


def _clean_sqlite() -> Left:
    with connection.cursor() as cursor, _waiting_little(cursor):
        cursor.execute("VACUUM")
        deadline = time.monotonic() + _PATIENCE_SECONDS
        while not _log_is_empty(cursor):
            if time.monotonic() > deadline:
                return Left.MORE
            time.sleep(_AGAIN_SECONDS)
    return Left.NOTHING


def _log_is_empty(cursor: CursorWrapper) -> bool:
    cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    busy, _, _ = cursor.fetchone()
    return not busy


@contextmanager
def _waiting_little(cursor: CursorWrapper) -> Iterator[None]:
    """Wait for others for a short while at a time: the log is asked for again and again."""
    cursor.execute("PRAGMA busy_timeout")
    [usual] = cursor.fetchone()
    cursor.execute(f"PRAGMA busy_timeout={_BUSY_MS}")
    try:
        yield
    finally:
        cursor.execute(f"PRAGMA busy_timeout={int(usual)}")


# -- PostgreSQL --------------------------------------------------------------------------------------------------------


def _clean_postgresql() -> Left:
    with connection.cursor() as cursor, _waiting_for_locks(cursor):
        if not _no_one_reads_from_before(cursor):
            return Left.MORE  # a table that is written anew keeps what somebody may still see
        tables = [model._meta.db_table for model in apps.get_app_config("tenter").get_models()]
        for table in (Session._meta.db_table, *tables):
            cursor.execute(f"VACUUM (FULL, ANALYZE) {connection.ops.quote_name(table)}")
        if not _is_administrator(cursor):  # the server tidies its statistics and its log in its own time
            return Left.WITH_THE_SERVER
        for statement in ("VACUUM FULL pg_catalog.pg_statistic", "SELECT pg_switch_wal()", "CHECKPOINT"):
            cursor.execute(statement)
        cursor.execute("SHOW wal_recycle")  # where it is on, a segment that is done with keeps its bytes for a while
        return Left.NOTHING if cursor.fetchone() == ("off",) else Left.WITH_THE_SERVER


def _is_administrator(cursor: CursorWrapper) -> bool:
    cursor.execute("SELECT rolsuper FROM pg_roles WHERE rolname = current_user")
    return bool(cursor.fetchone() == (True,))


def _no_one_reads_from_before(cursor: CursorWrapper) -> bool:
    """Wait for whoever still sees the database as it was before this moment; return whether they have ended.

    A transaction that has written counts in whatever database of the server it runs: until it has ended, whoever
    begins to read or to write a table anew sees what was there before it.
    """
    cursor.execute("SELECT pg_current_xact_id()::text")
    [now] = cursor.fetchone()
    deadline = time.monotonic() + _READERS_SECONDS
    while True:
        cursor.execute(
            "SELECT pg_snapshot_xmin(pg_current_snapshot()) < %s::xid8 OR EXISTS (SELECT FROM pg_stat_activity "
            "WHERE (datname = current_database() OR datname IS NULL) AND pid <> pg_backend_pid() "
            "AND age(backend_xmin) > age(%s::xid8::xid))",
            [now, now],
        )
        [reading] = cursor.fetchone()
        if not reading or time.monotonic() > deadline:
            return not reading
        time.sleep(_AGAIN_SECONDS)


@contextmanager
def _waiting_for_locks(cursor: CursorWrapper) -> Iterator[None]:
    cursor.execute(f"SET lock_timeout = '{int(_PATIENCE_SECONDS)}s'")
    try:
        yield
    finally:
        cursor.execute("RESET lock_timeout")
