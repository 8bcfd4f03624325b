"""Files written whole or not at all, and on the disk when the call returns: what stood there before, or what is new.

The way of POSIX systems: write beside, sync the file, put it in place by one step, sync the folder.
"""

import errno
import os
import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

PRIVATE, PRIVATE_FOLDER = 0o600, 0o700  # for its owner alone: a file, and a folder
_USUAL = 0o666  # less what the user's mask takes away
_HALF = ".half"


def write(path: Path, content: bytes, mode: int = _USUAL) -> None:
    """Put a file in the place of the one there is, if any; raises `OSError`, and then leaves that as it was."""
    beside = _beside(path, content, mode)
    try:
        beside.replace(path)
    except OSError:
        beside.unlink()
        raise
    _sync_folder(path.parent)


def write_new(path: Path, content: bytes, mode: int = _USUAL) -> None:
    """Write a file where there is none; raises `FileExistsError` where there is one, and leaves it as it is."""
    with new_file(path, mode) as file:
        file.write(content)


@contextmanager
def new_file(path: Path, mode: int = _USUAL) -> Iterator[IO[bytes]]:
    """Yield a file to write and read, which is put where there is none once it was written; nothing is left of a half.

    Raises `FileExistsError` where there is one, before anything is written or else at the end, and leaves it as it is.
    """
    if path.exists():
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
    beside = _name_beside(path)
    try:
        with _open_new(beside, mode) as file:
            yield file
            _sync(file)
        _put_new(beside, path)
    finally:
        beside.unlink(missing_ok=True)
    _sync_folder(path.parent)


def forget_halves(folder: Path, older_than: float = 0.0) -> None:
    """Remove what killed writers have left in a folder, where nothing was done to it for `older_than` seconds."""
    for beside in folder.glob(f".*{_HALF}"):
        with suppress(FileNotFoundError):  # its writer has just put it in place
            if time.time() - beside.stat().st_mtime >= older_than:
                beside.unlink()


def _put_new(beside: Path, path: Path) -> None:
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:  # the file system has no links, as that of a memory stick
        if path.exists():
            raise
        beside.rename(path)


def _beside(path: Path, content: bytes, mode: int) -> Path:
    beside = _name_beside(path)
    try:
        with _open_new(beside, mode) as file:
            file.write(content)
            _sync(file)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    return beside


def _name_beside(path: Path) -> Path:
    return path.with_name(f".{path.name}.{secrets.token_hex(4)}{_HALF}")


def _open_new(path: Path, mode: int) -> IO[bytes]:
    return os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, mode), "w+b")


def _sync(file: IO[bytes]) -> None:
    file.flush()
    os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    """Have the folder know of the change too; some file systems cannot, and do not need it."""
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(descriptor)
    except OSError:
        pass
    finally:
        os.close(descriptor)
