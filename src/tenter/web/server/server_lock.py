"""Who uses the studio's data at the moment: a server shares the lock, and a restore by command wants it alone.

The system lets go of the lock when its holder ends, however it ends, so that what is written in the file is never
believed of a server that is gone.
"""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tenter.durable import PRIVATE
from tenter.errors import TenterError

_NAME = "server.lock"


@contextmanager
def serving(folder: Path, port: int) -> Iterator[None]:
    """Say, for as long as it lasts, that a server runs on a folder's data.

    Raises `TenterError` while a restore is under way.
    """
    with _held(folder, fcntl.LOCK_SH) as file:
        if file is None:
            raise TenterError("A backup is being restored. Start Tenter again when that has ended")
        os.ftruncate(file, 0)
        os.pwrite(file, f"{os.getpid()} {port}\n".encode(), 0)
        yield


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Keep servers away from a folder's data for as long as it lasts; raises `TenterError` where one runs."""
    with _held(folder, fcntl.LOCK_EX) as file:
        if file is None:
            raise TenterError(f"Tenter is running{_told(folder)}, and nothing was changed. Stop it, then restore")
        yield


def port_of_server(folder: Path) -> int | None:
    """Return at which port a server runs on a folder's data; None where none does, or it has not said so."""
    with _held(folder, fcntl.LOCK_EX) as file:
        if file is not None:
            return None
        said = (folder / _NAME).read_text(encoding="ascii", errors="replace").split()
    return int(said[1]) if len(said) == 2 and said[1].isdecimal() else None


@contextmanager
def _held(folder: Path, how: int) -> Iterator[int | None]:
    file = os.open(folder / _NAME, os.O_RDWR | os.O_CREAT, PRIVATE)
    try:
        try:
            fcntl.flock(file, how | fcntl.LOCK_NB)
        except OSError:
            yield None
        else:
            yield file
    finally:
        os.close(file)


def _told(folder: Path) -> str:
    """Return where the server is that holds the lock, as far as it said so."""
    said = (folder / _NAME).read_text(encoding="ascii", errors="replace").split()
    return f" at port {said[1]} (process {said[0]})" if len(said) == 2 else ""
