"""What replayed sittings came to: kept as each is replayed, in a file of its own in the data folder.

Odds are kept under the checksum of all that they follow from (`replays.checksum`), so that they are true wherever those
entries come from. Under the same checksum it is kept which sittings were read, every entry of them, and not replayed.
Beside that it is kept up to which entry each sitting of this studio was replayed, so that what is still to be replayed
can be counted without reading an entry. Nothing is lost with the file but the time of replaying and reading.
"""

import sqlite3
import time
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from tenter.web.replays.replays import program
from tenter.web.server.data_dir import data_dir

_FILE, _FILE_BEFORE = "odds-seen.sqlite3", "odds-seen.json"
_TABLES = """
pragma secure_delete = on;
create table if not exists odds (checksum text primary key, digest text not null, at real not null);
create table if not exists entries_read (checksum text primary key, at real not null);
create table if not exists sitting (pk integer primary key, events integer, checksum text, program text);
"""
_NAMES = ("odds", "entries_read", "sitting")
_KEPT_SECONDS = 86_400.0  # what belongs to no sitting here, for a backup that was looked at may be looked at again
_READ_SECONDS = 7 * _KEPT_SECONDS  # a sitting that was read is replayed long before, where the studio is ever open
_READ_AT_ONCE = 500  # sittings: each is waited for until the disk has it where it is kept by itself
_WAITS_SECONDS = 20.0


class OddsSeen:
    """What is known of the odds; whatever is kept is on the disk at once, but for what was only read."""

    def __init__(self, rows: sqlite3.Connection) -> None:
        self._rows = rows
        self._read: list[str] = []  # not on the disk yet

    def digest(self, checksum: str) -> str | None:
        """Return what a sitting of a checksum came to, or None where that is not known."""
        found = self._rows.execute("select digest from odds where checksum = ?", (checksum,)).fetchone()
        return str(found[0]) if found else None

    def keep(self, checksum: str, digest: str) -> None:
        """Keep what a sitting of a checksum came to."""
        with self._rows:
            self._rows.execute("insert or replace into odds values (?, ?, ?)", (checksum, digest, time.time()))

    def was_read(self, checksum: str) -> bool:
        """Whether every entry of a sitting of a checksum was read and found to be one."""
        return self._rows.execute("select 1 from entries_read where checksum = ?", (checksum,)).fetchone() is not None

    def keep_read(self, checksum: str) -> None:
        """Keep that a sitting of a checksum was read; it is on the disk with others, and by `write_read` at last."""
        self._read.append(checksum)
        if len(self._read) >= _READ_AT_ONCE:
            self.write_read()

    def write_read(self) -> None:
        """Write what was read to the disk."""
        with self._rows:
            said = [(checksum, time.time()) for checksum in self._read]
            self._rows.executemany("insert or replace into entries_read values (?, ?)", said)
        self._read.clear()

    def note(self, sitting: int, events: int, checksum: str) -> None:
        """Note that a sitting of this studio was seen to with so many events."""
        with self._rows:
            said = (sitting, events, checksum, program())
            self._rows.execute("insert or replace into sitting values (?, ?, ?, ?)", said)

    def noted(self) -> dict[int, int]:
        """Return up to how many events each sitting was seen to by this very program."""
        found = self._rows.execute("select pk, events from sitting where program = ?", (program(),))
        return dict(found.fetchall())

    def forget_but(self, sittings: Iterable[int]) -> None:
        """Forget every sitting but these, and the odds that belong to none of them and were not seen today."""
        with self._rows:
            gone = set(self.noted_by_any()) - set(sittings)
            self._rows.executemany("delete from sitting where pk = ?", [(pk,) for pk in gone])
            self._rows.execute("delete from sitting where program <> ?", (program(),))
            self._rows.execute(
                "delete from odds where at < ? and checksum not in (select checksum from sitting)",
                (time.time() - _KEPT_SECONDS,),
            )
            self._rows.execute(
                "delete from entries_read where at < ? or checksum in (select checksum from odds)",
                (time.time() - _READ_SECONDS,),
            )

    def noted_by_any(self) -> list[int]:
        """Return the sittings that were seen to by this program or another."""
        return [pk for (pk,) in self._rows.execute("select pk from sitting")]

    def forget(self, checksums: Iterable[str]) -> None:
        """Forget what sittings of these checksums came to, and that they were read and seen to."""
        with self._rows:
            for table in _NAMES:
                self._rows.executemany(f"delete from {table} where checksum = ?", [(one,) for one in checksums])

    def forget_sittings(self) -> None:
        """Forget which sittings were seen to, for others are in their place; what the odds of entries are stays."""
        with self._rows:
            self._rows.execute("delete from sitting")


@contextmanager
def odds_seen() -> Iterator[OddsSeen]:
    """Open what is known of the odds; a file that is torn is none."""
    path = data_dir() / _FILE
    (data_dir() / _FILE_BEFORE).unlink(missing_ok=True)
    try:
        rows = _opened(path)
    except sqlite3.DatabaseError:
        path.unlink()
        rows = _opened(path)
    with closing(rows):
        seen = OddsSeen(rows)
        yield seen
        seen.write_read()


def _opened(path: Path) -> sqlite3.Connection:
    rows = sqlite3.connect(path, timeout=_WAITS_SECONDS)
    try:
        rows.executescript(_TABLES)
        for table in _NAMES:
            rows.execute(f"select count(*) from {table}").fetchone()
    except sqlite3.DatabaseError:
        rows.close()
        raise
    return rows
