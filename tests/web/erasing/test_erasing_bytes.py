"""After a client is erased no byte of theirs is in the data folder or the database's files, while the server runs."""

import os
import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.request import Request

import psycopg
import pytest

from studies.web.live_studio import LiveStudio, Visitor
from tests.support.photo_studio import CARD, day_ahead, portrait

# Words that stand nowhere else, each in another place.
NAME, NOTE, EARLIER_NOTE, MAIL = "Zephyrinette", "quartzbramble", "oldmossgrove", "zq.vellum@example.org"
LETTER, WISH, PIECE, REASON = "letterwoldgate", "wishfennimore", "peplumcorvix", "reasonbriarwick"
PLANTED = (NAME, NOTE, EARLIER_NOTE, MAIL, LETTER, WISH, PIECE, REASON)


@contextmanager
def _database() -> Iterator[tuple[str, list[Path]]]:
    """Give the URL of a database for one test, none for SQLite, and the folders that it writes to."""
    url = os.environ.get("DATABASE_URL", "")
    if not url:
        yield "", []
        return
    name = f"erasing_{os.getpid()}"
    with closing(psycopg.connect(url, autocommit=True)) as server:
        # As docs/how-to/data.md advises: a segment of the write-ahead log that is done with is removed and not used
        # again.
        server.execute("ALTER SYSTEM SET wal_recycle = off")
        server.execute("SELECT pg_reload_conf()")
        server.execute(f"CREATE DATABASE {name}")
        [folder] = server.execute("SHOW data_directory").fetchone() or ("",)
        try:
            yield f"{url.rsplit('/', 1)[0]}/{name}", [Path(folder)]
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
            server.execute("ALTER SYSTEM RESET wal_recycle")


def found_in(folders: list[Path], words: tuple[str, ...]) -> dict[str, set[str]]:
    """Return the words that stand in the bytes of any file, each with the files' names."""
    found: dict[str, set[str]] = {}
    for path in (path for folder in folders for path in folder.rglob("*") if path.is_file()):
        try:
            content = path.read_bytes()
        except FileNotFoundError:  # removed since it was listed
            continue
        for word in words:
            if word.encode("ascii") in content:
                found.setdefault(word, set()).add(path.name)
    return found


def send_photograph(visitor: Visitor) -> None:
    """Send a portrait by the form of the first client's page."""
    visitor.get("/people/1/photographs")
    fields = CARD | {"deletes_on": day_ahead()}
    parts = [f'--x\r\nContent-Disposition: form-data; name="{k}"\r\n\r\n{v}\r\n'.encode() for k, v in fields.items()]
    head = b'--x\r\nContent-Disposition: form-data; name="picture"; filename="p.jpg"\r\n\r\n'
    body = b"".join(parts) + head + portrait() + b"\r\n--x--\r\n"
    headers = {"X-CSRFToken": visitor._token, "Origin": visitor.studio.address}
    headers["Content-Type"] = "multipart/form-data; boundary=x"
    status, page = visitor._ask(Request(f"{visitor.studio.address}/people/1/photographs", body, headers))
    assert (status, re.search(r"/photographs/\d+$", visitor.at) is not None) == (200, True), page


def plant(visitor: Visitor) -> None:
    """Have the first client of the demo studio say something in every place there is, and change some of it."""
    visitor.get("/people/1/edit")
    visitor.post("/people/1/edit", {"name": "Old Name", "note": EARLIER_NOTE})
    visitor.post("/people/1/edit", {"name": NAME, "note": f"{NOTE}, writes from {MAIL}"})
    visitor.post("/people/1/letter", {"text": f"Dear {NAME}, {LETTER}", "language": "en"})
    visitor.post("/people/1/wishes", {"kind": "loved", "about": "teal", "why": WISH})
    visitor.post("/people/1/wardrobe", {"name": PIECE, "kind": "top", "colour": "navy", "role": "near_face"})
    _, page = visitor.get("/sittings/1/evidence")
    [category] = re.findall(r'<option value="([^"]+)" selected', page)[:1]
    visitor.post("/sittings/1/name", {"category": category, "reason": REASON, "key": "k" * 32})
    visitor.fetch("/sittings/1/papers.pdf")
    visitor.get("/people/1/consents")
    visitor.post("/people/1/consents", {"purposes": "measure"})
    send_photograph(visitor)


def erased(visitor: Visitor, number: int = 1) -> str:
    """Erase a client by the page's form, and return what is said of it."""
    visitor.get(f"/people/{number}/erase")
    status, page = visitor.post(f"/people/{number}/erase", {"sure": "on"})
    assert (status, visitor.at.endswith("/people")) == (200, True), page
    return page


@pytest.mark.django_db
def test_no_byte_of_an_erased_client_is_left_while_the_server_runs(tmp_path, monkeypatch):
    monkeypatch.setenv("TENTER_PHOTO_PASSPHRASE", "four plain words here")
    with _database() as (url, folders):
        studio = LiveStudio(tmp_path, url).start()
        try:
            visitor, everywhere = Visitor(studio), [tmp_path, *folders]
            visitor.open_studio()
            plant(visitor)
            assert set(found_in(everywhere, PLANTED)) == set(PLANTED)  # they can be found where they are
            assert len([*(tmp_path / "data" / "photographs").iterdir()]) == 1
            visitor.get("/people/1/letter")
            visitor.post("/people/1/letter/erase", {})
            if not url:  # PostgreSQL keeps it until it tidies up by itself, or a client is erased
                assert LETTER not in found_in(everywhere, PLANTED)
            page = erased(visitor)
            assert "Nothing of it is left in the data folder." in page
            assert found_in(everywhere, PLANTED) == {}
            assert [*(tmp_path / "data" / "photographs").iterdir()] == []
            assert studio.is_running
            assert visitor.get("/people/1")[0] == 404
            assert visitor.get("/people?q=varnholt")[0] == 200
        finally:
            studio.stop()


@contextmanager
def reading(url: str, folder: Path) -> Iterator[Callable[[], str]]:
    """Have somebody see the database as it is now for a while; give what tells the first client's name as they see it.

    On PostgreSQL they have no table locked: it is what they may still see that keeps deleted rows.
    """
    opened = psycopg.connect(url) if url else sqlite3.connect(folder / "data" / "tenter.sqlite3", isolation_level=None)
    with closing(opened) as reader:
        reader.execute("BEGIN ISOLATION LEVEL REPEATABLE READ" if url else "BEGIN")
        reader.execute("SELECT 1" if url else "SELECT count(*) FROM tenter_client")
        yield lambda: (reader.execute("SELECT name FROM tenter_client WHERE id = 1").fetchone() or ("",))[0]


@pytest.mark.django_db
def test_while_somebody_reads_it_is_said_and_what_is_left_goes_at_the_next_start(tmp_path):
    with _database() as (url, folders):
        studio = LiveStudio(tmp_path, url).start(hurried=True)  # they read longer than that
        try:
            visitor, everywhere = Visitor(studio), [tmp_path, *folders]
            visitor.open_studio()
            visitor.get("/people/1/edit")
            visitor.post("/people/1/edit", {"name": NAME, "note": NOTE})
            with reading(url, tmp_path) as name_seen:
                page = erased(visitor)
                assert name_seen() == NAME
                assert "still holds some of its bytes on the disk" in page
                assert set(found_in(everywhere, (NAME, NOTE))) == {NAME, NOTE}
            studio.kill()  # nothing is tidied by its end
            studio.start()
            assert found_in(everywhere, (NAME, NOTE)) == {}
        finally:
            studio.stop()
