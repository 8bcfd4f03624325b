"""Where the studio's data lies: a folder that only its owner can read, with a secret key made once."""

import os
import secrets
from pathlib import Path

from platformdirs import user_data_path

_PRIVATE_FOLDER, _PRIVATE_FILE = 0o700, 0o600


def data_dir() -> Path:
    """Return the studio's folder, made if need be: `TENTER_DATA_DIR`, or the user's data folder."""
    named = os.environ.get("TENTER_DATA_DIR")
    folder = Path(named).expanduser() if named else user_data_path("tenter", appauthor=False)
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(_PRIVATE_FOLDER)
    return folder


def secret_key(folder: Path) -> str:
    """Return the key that signs cookies, made on first use and readable by its owner alone."""
    path = folder / "secret-key"
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _PRIVATE_FILE)
    except FileExistsError:
        return path.read_text(encoding="ascii")
    with os.fdopen(descriptor, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(50))
    return path.read_text(encoding="ascii")
