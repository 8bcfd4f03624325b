"""Where the studio's data lies: a folder that only its owner can read, with a secret key made once."""

import os
import secrets
from contextlib import suppress
from pathlib import Path

from platformdirs import user_data_path

from tenter import durable


def data_dir() -> Path:
    """Return the studio's folder, made if need be: `TENTER_DATA_DIR`, or the user's data folder."""
    named = os.environ.get("TENTER_DATA_DIR")
    folder = Path(named).expanduser() if named else user_data_path("tenter", appauthor=False)
    if not folder.is_dir():  # one that is there keeps the mode that its owner gave it
        folder.mkdir(mode=durable.PRIVATE_FOLDER, parents=True, exist_ok=True)
    return folder


def secret_key(folder: Path) -> str:
    """Return the key that signs cookies, made on first use and readable by its owner alone."""
    path = folder / "secret-key"
    if not _said(path):  # none yet, or one that a power cut left empty: nobody is logged in by that
        path.unlink(missing_ok=True)
        with suppress(FileExistsError):  # another server was quicker
            durable.write_new(path, secrets.token_urlsafe(50).encode("ascii"), durable.PRIVATE)
    return _said(path)


def _said(path: Path) -> str:
    try:
        return path.read_text(encoding="ascii").strip()
    except FileNotFoundError:
        return ""
