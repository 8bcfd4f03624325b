"""A studio whose PostgreSQL account is no superuser erases a client: from its own tables at least, and it says so."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import psycopg
import pytest

from studies.web.live_studio import LiveStudio, Visitor
from tests.support.postgres import server
from tests.web.erasing.test_erasing_bytes import NAME, NOTE, PLANTED, erased, found_in, plant, reading

_ACCOUNT = "studio"
_FILES = """
    SELECT pg_relation_filepath(c.oid) FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
    WHERE c.relkind IN ('r', 'i', 't') AND n.nspname IN ('public', 'pg_toast')
"""


@pytest.fixture
def administrator() -> Iterator[tuple[str, Any]]:
    """The URL of a database that belongs to an account without rights beyond it; and a superuser's connection to it."""
    with server() as url:
        host = url.removeprefix("postgres://tenter@").rsplit("/", 1)[0]
        with closing(psycopg.connect(url, autocommit=True)) as first:
            first.execute(f"CREATE ROLE {_ACCOUNT} LOGIN")
            first.execute(f"CREATE DATABASE {_ACCOUNT} OWNER {_ACCOUNT}")
        with closing(psycopg.connect(f"postgres://tenter@{host}/{_ACCOUNT}", autocommit=True)) as connection:
            yield f"postgres://{_ACCOUNT}@{host}/{_ACCOUNT}", connection


def in_tables(administrator: Any, words: tuple[str, ...]) -> set[str]:
    """Return the words that stand in the bytes of any table or index, once all of them are on the disk."""
    administrator.execute("CHECKPOINT")
    [folder] = administrator.execute("SHOW data_directory").fetchone()
    files = [Path(folder) / name for (name,) in administrator.execute(_FILES).fetchall() if name]
    content = b"".join(path.read_bytes() for path in files)
    return {word for word in words if word.encode("ascii") in content}


def rights(url: str) -> tuple[bool, ...]:
    with closing(psycopg.connect(url)) as plain:
        found = plain.execute(
            "SELECT rolsuper, pg_has_role(current_user, 'pg_read_all_stats', 'member') FROM pg_roles "
            "WHERE rolname = current_user"
        ).fetchone()
    assert found is not None
    return tuple(found)


def test_an_account_that_is_no_superuser_erases_a_client_from_its_tables_and_says_what_may_be_left(
    administrator, tmp_path, monkeypatch
):
    monkeypatch.setenv("TENTER_PHOTO_PASSPHRASE", "four plain words here")
    url, whole = administrator
    assert rights(url) == (False, False)
    studio = LiveStudio(tmp_path, url).start()
    try:
        visitor = Visitor(studio)
        visitor.open_studio()
        plant(visitor)
        assert in_tables(whole, PLANTED) == set(PLANTED)
        page = erased(visitor)
        assert "Nothing of it is left in the data folder or in a table." in page
        assert "PostgreSQL itself may hold some of its bytes" in page
        assert in_tables(whole, PLANTED) == set()
        assert found_in([tmp_path], PLANTED) == {}
        assert not (tmp_path / "data" / "cleaning-due").exists()
        assert visitor.get("/people/1")[0] == 404
    finally:
        studio.stop()


@contextmanager
def writing_elsewhere(url: str, _folder: Path) -> Iterator[None]:
    """Have somebody write in another database of the same server, and take their time."""
    with closing(psycopg.connect(f"{url.rsplit('/', 1)[0]}/postgres")) as writer:
        writer.execute("SELECT pg_current_xact_id()")
        yield


@pytest.mark.parametrize("somebody", [reading, writing_elsewhere])
def test_such_an_account_notices_who_is_at_work_and_finishes_at_the_next_start(administrator, tmp_path, somebody):
    url, whole = administrator
    studio = LiveStudio(tmp_path, url).start(hurried=True)  # who is at work outlasts it, as they would the usual wait
    try:
        visitor = Visitor(studio)
        visitor.open_studio()
        visitor.get("/people/1/edit")
        visitor.post("/people/1/edit", {"name": NAME, "note": NOTE})
        with somebody(url.replace(f"//{_ACCOUNT}@", "//tenter@"), tmp_path):
            page = erased(visitor)
            assert "still holds some of its bytes on the disk" in page
            assert in_tables(whole, (NAME, NOTE)) == {NAME, NOTE}
        studio.kill()
        studio.start()
        assert in_tables(whole, (NAME, NOTE)) == set()
    finally:
        studio.stop()
