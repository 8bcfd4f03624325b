"""What is known of the daily backup: where it goes, to which public key it is sealed, and how the last one ended.

One file in the data folder, replaced whole. No secret is in it: the key opens nothing.
"""

import json
import secrets
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from pathlib import Path
from threading import RLock

from django.utils.dateparse import parse_datetime

from tenter import durable
from tenter.web.sealing import passphrase, photo_key_note, sealed_box
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.sealing.photo_key_note import Keeper
from tenter.web.sealing.sealed_box import Recipient
from tenter.web.server.data_dir import data_dir

_NAME = "daily-backup.json"
_changing = RLock()


@dataclass(frozen=True, slots=True)
class DailyNote:
    """The daily backup as it is set up, and how it goes; bytes in hexadecimal, times in ISO 8601, empty for none.

    of_key: the short name of the photographs' key, where the passphrase is theirs. series: names the backups of this
    studio. failed: why the last try wrote none; nothing once one was written.
    """

    folder: str = ""
    series: str = ""
    salt: str = ""
    cost: int = 0
    public: str = ""
    of_key: str = ""
    last: str = ""
    last_file: str = ""
    failed: str = ""
    failed_at: str = ""

    @property
    def has_key(self) -> bool:
        """Whether there is a public key to seal to."""
        return bool(self.public)

    @property
    def is_on(self) -> bool:
        """Whether backups are written: there is a folder and a key to seal to."""
        return bool(self.folder and self.public)

    @property
    def path(self) -> Path:
        """The folder."""
        return Path(self.folder)

    @property
    def recipient(self) -> Recipient:
        """The public key to seal to."""
        return Recipient(bytes.fromhex(self.salt), self.cost, bytes.fromhex(self.public))

    @property
    def last_at(self) -> datetime | None:
        """When the last one was written."""
        return parse_datetime(self.last) if self.last else None


def read_daily() -> DailyNote:
    """Return what is known; nothing where there is no file, or one that was damaged."""
    try:
        note = DailyNote(**json.loads((data_dir() / _NAME).read_text(encoding="ascii")))
        bytes.fromhex(note.salt + note.public + note.series)
    except (OSError, ValueError, TypeError):
        return DailyNote()
    return note


def change_daily(**said: str | int) -> DailyNote:
    """Change some of it, and return what is known then; raises `OSError` where the data folder cannot be written."""
    with _changing:
        note = replace(read_daily(), **said)  # type: ignore[arg-type]  # each by its name
        durable.write(data_dir() / _NAME, json.dumps(asdict(note)).encode("ascii"), durable.PRIVATE)
    return note


def seal_daily_to(passphrase: Passphrase) -> None:
    """Seal the backups to come to a passphrase; those that are written keep the one they have."""
    to = sealed_box.recipient_of(passphrase)
    series = read_daily().series or secrets.token_hex(sealed_box.SERIES_BYTES)
    change_daily(salt=to.salt.hex(), cost=to.cost, public=to.public.hex(), series=series, of_key=_photo_key())


def follow_passphrase() -> None:
    """Seal the backups to come to the photographs' passphrase, where it is known and they are sealed to another."""
    if passphrase.GIVEN and _photo_key() and read_daily().of_key != _photo_key():
        seal_daily_to(passphrase.GIVEN)


def _photo_key() -> str:
    """Return the short name of the photographs' key, where a passphrase makes it."""
    note = photo_key_note.read_note()
    return note.id if note is not None and note.keeper is Keeper.PASSPHRASE else ""
