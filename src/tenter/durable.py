"""Files written whole or not at all, and on the disk when the call returns: what stood there before, or what is new.

The way of POSIX systems: write beside, sync the file, put it in place by one step, sync the folder.
"""

import os
import secrets
from pathlib import Path

PRIVATE = 0o600  # for its owner alone
_USUAL = 0o666  # less what the user's mask takes away


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
    beside = _beside(path, content, mode)
    try:
        os.link(beside, path)
    finally:
        beside.unlink()
    _sync_folder(path.parent)


def _beside(path: Path, content: bytes, mode: int) -> Path:
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.half")
    try:
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    return beside


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
