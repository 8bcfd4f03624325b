"""Where what is written for a moment is kept: in the studio's own folder, and never in the system's.

A request's body, a backup that is being taken in and the parts of a paper may hold faces and names in clear. A process
that is killed leaves them behind, so the folder is emptied when the server starts.
"""

import os
import shutil
import tempfile
import time
from pathlib import Path

from tenter.durable import PRIVATE_FOLDER

_FOLDER = "passing"


def folder_in(data_dir: Path) -> Path:
    """Return the folder, made for its owner alone if need be."""
    found = data_dir / _FOLDER
    found.mkdir(mode=PRIVATE_FOLDER, exist_ok=True)
    return found


def keep_them_in(data_dir: Path) -> None:
    """Let this process, and those that it starts, write what is temporary into the studio's folder."""
    found = str(folder_in(data_dir))
    os.environ["TMPDIR"] = tempfile.tempdir = found


def forget_all(data_dir: Path, older_than: float = 0.0) -> int:
    """Remove what was left there when something was stopped half-way; return how many files and folders.

    older_than: seconds since each was last written, so that what is being written stays.
    """
    latest = time.time() - older_than
    left = [path for path in folder_in(data_dir).iterdir() if older_than == 0 or path.lstat().st_mtime < latest]
    for path in left:
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink(missing_ok=True)
    return len(left)
