"""The backup that has been looked at and waits for the word to be put back: one, readable by its owner alone."""

import hashlib
import os
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from tenter.web.server import temporary_files

_NAME = "restore-pending.zip"
_CHUNK = 1 << 20  # bytes in memory at a time; set by judgement


def keep_backup(data_dir: Path, content: Iterable[bytes], look_at: Callable[[Path], None]) -> str:
    """Keep a backup, once it has been looked at, in the place of one that waited before; return its checksum.

    What `look_at` raises is raised, and then the one before goes on waiting. It waits until the server starts again.
    """
    folder = temporary_files.folder_in(data_dir)
    descriptor, half = tempfile.mkstemp(dir=folder, prefix=_NAME)  # made for its owner alone
    whole = hashlib.sha256()
    try:
        with os.fdopen(descriptor, "wb") as file:
            for chunk in content:
                whole.update(chunk)
                file.write(chunk)
        look_at(Path(half))
        Path(half).replace(folder / _NAME)
    except BaseException:
        Path(half).unlink()
        raise
    return whole.hexdigest()


def waiting(data_dir: Path, checksum: str) -> Path | None:
    """Return the backup that waits, or None where none does or it is another than that of a checksum."""
    path, whole = temporary_files.folder_in(data_dir) / _NAME, hashlib.sha256()
    try:
        with path.open("rb") as file:
            while chunk := file.read(_CHUNK):
                whole.update(chunk)
    except FileNotFoundError:
        return None
    return path if whole.hexdigest() == checksum else None


def drop(data_dir: Path) -> None:
    """Let it go."""
    (temporary_files.folder_in(data_dir) / _NAME).unlink(missing_ok=True)
