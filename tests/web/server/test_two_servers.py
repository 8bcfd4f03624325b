"""Two servers on one studio: a client erased on one is nowhere on the other, nor on the disk once both let go."""

import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from threading import Event

import psycopg
import pytest

from studies.web.live_studio import LiveStudio, Visitor
from tests.support.postgres import server
from tests.web.erasing.test_erasing_bytes import NAME, NOTE, PLANTED, erased, found_in, plant

# What the other server keeps in memory once it was opened: the sitting, its verdict, its palette, its papers.
OF_A_SITTING = ("", "/verdict", "/evidence", "/palette", "/bench")
OPENED = ("/people/1", *(f"/sittings/1{page}" for page in OF_A_SITTING), "/people", "/sittings")
BUSY = ("/people/2", *(f"/sittings/2{page}" for page in OF_A_SITTING), "/people", "/sittings")
OTHER = ("Yaroslavine", "flintbramble")
_FILE = re.compile(r"\.(pdf|zip|eml|png|csv|html|json|css|svg)\b|/static/|#|logout|/log\b|/events\b")
_MOST_PAGES = 60


@pytest.fixture(params=["SQLite", "PostgreSQL"])
def database(request) -> Iterator[tuple[str, list[Path]]]:
    """The URL of a database, none for SQLite, and the folders that it writes to."""
    if request.param == "SQLite":
        yield "", []
        return
    with server() as url:
        with closing(psycopg.connect(url, autocommit=True)) as administrator:
            administrator.execute("ALTER SYSTEM SET wal_recycle = off")  # as docs/how-to/data.md advises
            administrator.execute("SELECT pg_reload_conf()")
            [folder] = administrator.execute("SHOW data_directory").fetchone() or ("",)
        yield url, [Path(folder)]


@pytest.fixture
def two(database, tmp_path, monkeypatch) -> Iterator[tuple[Visitor, Visitor]]:
    """The owner at each of two servers on the same data; the first client of both has said something everywhere."""
    monkeypatch.setenv("TENTER_PHOTO_PASSPHRASE", "four plain words here")
    servers = [LiveStudio(tmp_path, database[0]) for _ in range(2)]
    try:
        here, there = (Visitor(one.start()) for one in servers)
        here.open_studio()
        there.log_in()
        plant(here)
        here.get("/people/2/edit")
        here.post("/people/2/edit", dict(zip(("name", "note"), OTHER, strict=True)))
        yield here, there
    finally:
        for one in servers:
            one.stop()


def crawled(visitor: Visitor) -> dict[str, str]:
    """Return every page that can be reached from the day by links, as far as there are not too many."""
    pages: dict[str, str] = {}
    waiting = ["/day", "/people?q=zephyrinette", "/studio/deletion", *OPENED, *BUSY]
    while waiting and len(pages) < _MOST_PAGES:
        address = waiting.pop(0)
        if address not in pages:
            _, pages[address] = visitor.get(address)
            links = re.findall(r'href="(/[^"]*)"', pages[address])
            waiting += [link for link in links if not _FILE.search(link)]
    return pages


def asked_all_the_while(visitor: Visitor, over: Event) -> list[int]:
    """Open the pages again and again until it is over; return by what each was answered."""
    answers: list[int] = []
    last = False
    while not last:
        last = over.is_set()  # and once more after that
        answers += [visitor.get(address)[0] for address in BUSY]
    return answers


def nowhere_on(visitor: Visitor, number: int, words: tuple[str, ...]) -> None:
    pages = crawled(visitor)
    assert len(pages) > len(OPENED)
    assert [address for address, text in pages.items() if any(word in text for word in words)] == []
    of_theirs = [address for address in pages if re.match(rf"/(people|sittings)/{number}(/|$)", address)]
    assert [address for address in of_theirs if visitor.get(address)[0] != 404] == []


def test_a_client_erased_on_one_server_is_nowhere_on_the_other_nor_on_the_disk(two, database, tmp_path):
    here, there = two
    everywhere = [tmp_path, *database[1]]
    seen = {address: there.get(address) for address in OPENED}
    assert all(status == 200 for status, _ in seen.values())
    assert NAME in seen["/sittings/1/verdict"][1]
    assert NOTE in seen["/people/1"][1]
    assert there.fetch("/sittings/1/papers.pdf").startswith(b"%PDF")
    assert set(found_in(everywhere, PLANTED)) == set(PLANTED)

    page = erased(here, 1)

    assert "Nothing of it is left in the data folder." in page
    assert found_in(everywhere, PLANTED) == {}  # while both run
    nowhere_on(there, 1, PLANTED)
    with pytest.raises(RuntimeError, match="404"):
        there.fetch("/sittings/1/papers.pdf")

    # Another client, while the other server shows them all the while.
    over = Event()
    with ThreadPoolExecutor(1) as beside:
        busy = beside.submit(asked_all_the_while, there, over)
        try:
            page = erased(here, 2)
        finally:
            over.set()
        answers = busy.result()
    assert set(answers) == {200, 404}, "no page broke"
    nowhere_on(there, 2, OTHER)
    if "still holds some of its bytes on the disk" in page:  # it is finished at the next start
        for one in (here.studio, there.studio):
            one.kill()
        here.studio.start()
    assert found_in(everywhere, OTHER) == {}
