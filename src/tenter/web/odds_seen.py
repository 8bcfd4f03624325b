"""What replayed sittings came to: kept as each is replayed, in a file of its own in the data folder.

Odds are kept under the checksum of all that they follow from (`replays.checksum`), so that they are true wherever those
entries come from. Beside that it is kept up to which entry each sitting of this studio was replayed, so that what is
still to be replayed can be counted without reading an entry. Nothing is lost with the file but the time of replaying.
"""

import sqlite3
import time
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from tenter.web.data_dir import data_dir
from tenter.web.replays import program

_FILE, _FILE_BEFORE = "odds-seen.sqlite3", "odds-seen.json"
_TABLES = """
pragma secure_delete = on;
create table if not exists odds (checksum text primary key, digest text not null, at real not null);
create table if not exists sitting (pk integer primary key, events integer, checksum text, program text);
"""
_KEPT_SECONDS = 86_400.0  # what belongs to no sitting here, for a backup that was looked at may be looked at again
_WAITS_SECONDS = 20.0


class OddsSeen:
    """What is known of the odds; whatever is kept is on the disk at once."""

    def __init__(self, rows: sqlite3.Connection) -> None:
        self._rows = rows

    def digest(self, checksum: str) -> str | None:
        """Return what a sitting of a checksum came to, or None where that is not known."""
        found = self._rows.execute("select digest from odds where checksum = ?", (checksum,)).fetchone()
        return str(found[0]) if found else None

    def keep(self, checksum: str, digest: str) -> None:
        """Keep what a sitting of a checksum came to."""
        with self._rows:
            self._rows.execute("insert or replace into odds values (?, ?, ?)", (checksum, digest, time.time()))

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

    def noted_by_any(self) -> list[int]:
        """Return the sittings that were seen to by this program or another."""
        return [pk for (pk,) in self._rows.execute("select pk from sitting")]

    def forget(self, checksums: Iterable[str]) -> None:
        """Forget what sittings of these checksums came to, and that they were seen to."""
        with self._rows:
            for table in ("odds", "sitting"):
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
        yield OddsSeen(rows)


def _opened(path: Path) -> sqlite3.Connection:
    rows = sqlite3.connect(path, timeout=_WAITS_SECONDS)
    try:
        rows.executescript(_TABLES)
        rows.execute("select count(*) from odds, sitting limit 1").fetchone()
    except sqlite3.DatabaseError:
        rows.close()
        raise
    return rows
