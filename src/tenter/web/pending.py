"""The backup that has been looked at and waits for the word to be put back: one, readable by its owner alone."""

import os
import tempfile
from pathlib import Path

from tenter.web import temporary_files

_NAME = "restore-pending.zip"


def keep(data_dir: Path, content: bytes) -> None:
    """Keep a backup in the place of one that waited before, until the server starts again."""
    folder = temporary_files.folder_in(data_dir)
    descriptor, half = tempfile.mkstemp(dir=folder, prefix=_NAME)  # made for its owner alone
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
    Path(half).replace(folder / _NAME)


def content(data_dir: Path) -> bytes | None:
    """Return the backup that waits, or None."""
    try:
        return (temporary_files.folder_in(data_dir) / _NAME).read_bytes()
    except FileNotFoundError:
        return None


def drop(data_dir: Path) -> None:
    """Let it go."""
    (temporary_files.folder_in(data_dir) / _NAME).unlink(missing_ok=True)
