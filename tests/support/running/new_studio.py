"""A server on a folder of its own, whose empty tables are made by the first and then the next ones' too.

To make them takes a server as long as all else that it does before it answers. How they are made and changed is tested
by tests/web/server; what is tested of the bytes on a disk begins with a server that made its own.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from studies.web.live_studio import LiveStudio, Visitor

_made: list[bytes] = []  # the file that the first server of this process made, before anybody wrote to it


def started(folder: Path) -> LiveStudio:
    """Start a server with its data, none yet, in a folder."""
    studio = LiveStudio(folder)
    file = folder / "data" / "tenter.sqlite3"
    if _made:
        file.parent.mkdir(mode=0o700)
        file.touch(mode=0o600)
        file.write_bytes(_made[0])
    studio.start()
    if not _made:
        with closing(sqlite3.connect(file)) as there:
            _made.append(there.serialize())
    return studio


def opened(folder: Path) -> Iterator[LiveStudio]:
    """Serve a demo studio in a folder for as long as a fixture lasts."""
    studio = started(folder)
    Visitor(studio).open_studio()
    yield studio
    studio.stop()
