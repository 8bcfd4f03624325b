"""The backup of each day, written beside the server: at the first start of the day, and tried again every hour.

Whatever goes wrong is kept as a sentence and shown; it never stops the studio. The folder is never made: one that is
not there is a disk that is not plugged in.
"""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Lock

from django.db import DatabaseError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter import durable
from tenter.errors import TenterError
from tenter.web.backups.backup import write_backup
from tenter.web.daily import rotation
from tenter.web.replays import catching_up
from tenter.web.sealing import sealed_box
from tenter.web.sealing.daily_note import DailyNote, change_daily, follow_passphrase, read_daily
from tenter.web.server import temporary_files
from tenter.web.server.data_dir import data_dir
from tenter.web.server.trouble import trouble_of

_CHUNK = 1 << 20  # bytes in memory at a time; set by judgement
_AN_HOUR = 3600.0  # seconds: longer than a backup takes
_GONE = gettext_lazy("The folder %(folder)s is not there. Plug in its disk, or choose another folder.")
_writing = Lock()


def write_if_due() -> bool:
    """Write today's backup unless there is one or none is wanted; return whether one was written."""
    with _writing:
        note = read_daily()
        last = note.last_at
        if not note.is_on or (last is not None and timezone.localdate(last) == timezone.localdate()):
            return False
        return _tried()


def write_daily_now() -> bool:
    """Write a backup to the folder whether or not today has one; return whether it was written."""
    with _writing:
        return _tried()


def _tried() -> bool:
    note = read_daily()
    now = timezone.localtime()
    if not note.path.is_dir():  # and no backup is made for nothing
        return _failed(_GONE % {"folder": note.path})
    try:
        follow_passphrase()
        name = _written(read_daily(), rotation.name_at(now))
    except (TenterError, OSError, DatabaseError) as error:
        return _failed(_why(error, note.path))
    change_daily(last=now.isoformat(), last_file=name, failed="", failed_at="")
    return True


def _failed(why: str) -> bool:
    with suppress(OSError):  # the data folder may be what cannot be written
        change_daily(failed=why, failed_at=timezone.localtime().isoformat())
    return False


def _why(error: Exception, folder: Path) -> str:
    """Return in a sentence why there is no backup, and what to do."""
    if isinstance(error, TenterError):
        return f"{error}."
    if not folder.is_dir():
        return _GONE % {"folder": folder}
    trouble = trouble_of(error)
    if trouble is not None:
        full = _("%(trouble)s (%(folder)s). Make room or choose another folder.")
        return full % {"trouble": trouble.what, "folder": folder}
    said = _("The backup could not be written to %(folder)s (%(error)s). Choose another folder.")
    return said % {"folder": folder, "error": type(error).__name__}


def _written(note: DailyNote, name: str) -> str:
    folder = note.path
    durable.forget_halves(folder, older_than=_AN_HOUR)
    with _plain() as plain, durable.new_file(folder / name, durable.PRIVATE) as sealed:
        for piece in sealed_box.boxed(_chunks(plain), note.recipient, bytes.fromhex(note.series)):
            sealed.write(piece)
    for old in rotation.to_remove(_own(folder, bytes.fromhex(note.series))):
        with suppress(OSError):  # it stays until the next day
            (folder / old).unlink()
    return name


@contextmanager
def _plain() -> Iterator[Path]:
    """Yield a backup that was written and read back; it is in the data folder only as long as it is sealed."""
    path = temporary_files.folder_in(data_dir()) / f"daily-{secrets.token_hex(8)}.zip"
    try:
        write_backup(path, catching_up.A_FEW)
        yield path
    finally:
        path.unlink(missing_ok=True)


def _chunks(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            yield chunk


def _own(folder: Path, series: bytes) -> list[str]:
    """Return the names of this studio's backups in a folder that another may use too."""
    found = []
    for path in folder.iterdir():
        if rotation.moment_of(path.name) is not None:
            with suppress(OSError), path.open("rb") as file:
                if sealed_box.series_of_box(file.read(200)) == series:
                    found.append(path.name)
    return found
