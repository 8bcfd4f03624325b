"""The database is the one that was asked for, set so that an acknowledged entry is on the disk."""

import os

from django.db import connection


def test_the_database_asked_for(db):
    assert connection.vendor == (
        "postgresql" if os.environ.get("DATABASE_URL", "").startswith("postgres") else "sqlite"
    )


def test_an_acknowledged_entry_is_on_the_disk(db):
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            found = cursor.execute("PRAGMA synchronous").fetchone()
            assert found == (2,)  # FULL, https://www.sqlite.org/pragma.html#pragma_synchronous
        else:
            cursor.execute("SHOW synchronous_commit")
            assert cursor.fetchone() == ("on",)
