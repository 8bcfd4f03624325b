"""The backup that has been looked at and waits for the word to be put back: one, readable by its owner alone."""

import os
import tempfile
from pathlib import Path

_NAME = "restore-pending.zip"


def keep(folder: Path, content: bytes) -> None:
    """Keep a backup in the place of one that waited before."""
    descriptor, half = tempfile.mkstemp(dir=folder, prefix=_NAME)  # made for its owner alone
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
    Path(half).replace(folder / _NAME)


def content(folder: Path) -> bytes | None:
    """Return the backup that waits, or None."""
    try:
        return (folder / _NAME).read_bytes()
    except FileNotFoundError:
        return None


def drop(folder: Path) -> None:
    """Let it go."""
    (folder / _NAME).unlink(missing_ok=True)
