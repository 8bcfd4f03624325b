"""Everything in one file, written as it is read: a studio of any size takes no more memory than a small one.

A zip file with one file of JSON lines a table, the photographs, and `manifest.json`. Its comment is the SHA-256 of
every byte before it, so that no damage passes unnoticed. It holds names, notes and password hashes, and never the key
that signs cookies.

Photographs go in as they are on the disk: sealed. The key that opens them does not, so a backup alone shows nobody. One
whose file is missing or cannot be read is named in the manifest, and whoever asked for the backup is told.
Values of our own printed cards and phones that the command line has learned go in as they are kept, one file each.
The sandbox is left out.
"""

import hashlib
import json
import os
import zipfile
from collections import deque
from collections.abc import Generator, Iterator
from contextlib import ExitStack, closing, contextmanager
from importlib.metadata import version
from itertools import islice
from pathlib import Path
from typing import IO, TypeVar

from django.db import connection, transaction
from django.db.models import Model
from django.utils import timezone
from django.utils.translation import gettext as _

from tenter import durable
from tenter.errors import TenterError
from tenter.web.backups import checking, kept_files
from tenter.web.backups.backup_file import (
    BACKUP_FORMAT,
    BACKUP_PHOTOGRAPHS,
    BACKUP_VERSION,
    MANIFEST,
    SEAL,
    Backup,
    read_backup,
    seal_of,
)
from tenter.web.backups.picture_files import PictureFiles
from tenter.web.backups.rows_to_keep import rows_to_keep
from tenter.web.models import Sitting, SittingEvent
from tenter.web.pictures import pictures
from tenter.web.replays import catching_up
from tenter.web.replays.backup_rows import label, line_of, tables

_AT_ONCE = 500  # rows


def write_backup(path: Path, replays: int = checking.AT_MOST) -> Backup:
    """Write everything to a new file that only its owner can read, and read it back; never writes over a file.

    replays: for how many sittings it may see to it that their odds are known; where more are, a few more are replayed.
    Raises `TenterError` where the file is there already or cannot be written, and `UnreadableInput` where it does not
    read back.
    """
    with ExitStack() as begun:
        try:
            file = begun.enter_context(durable.new_file(path, durable.PRIVATE))
        except FileExistsError:
            there = _(
                "%(file)s is there already. Nothing was written. Name another file: a backup never writes over one"
            )
            raise TenterError(there % {"file": path}) from None
        except OSError as error:
            shut = _("%(file)s cannot be written (%(error)s). Name a file in a folder of yours")
            raise TenterError(shut % {"file": path, "error": error.strerror}) from None
        catching_up.catch_up_for_backup(replays)
        _write(file)
        _seal(file)
    try:
        return read_backup(path)
    except BaseException:
        path.unlink()
        raise


def _write(file: IO[bytes]) -> None:
    """Write the files of a backup, its manifest last, and leave room for the seal."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:  # three times as fast
        archive.comment = b"0" * SEAL
        writing = _Writing(archive)
        with _one_moment():
            for model in tables():
                if model is not SittingEvent:
                    deque(writing.rows(model), 0)
            with closing(writing.rows(SittingEvent)) as events:
                digests = catching_up.known_odds(events, rows_to_keep)
            files = PictureFiles.of(rows_to_keep)
        photographs = frozenset(filter(writing.photograph, files.due))
        kept = kept_files.in_backup()
        for name, content in kept.items():
            writing.small(name, content)
        manifest = {
            "format": BACKUP_FORMAT,
            "version": BACKUP_VERSION,
            "app_version": version("tenter"),
            "made": timezone.now().isoformat(),
            "counts": writing.counts,
            "photographs": len(photographs),
            "photographs_missing": files.lacking(photographs, rows_to_keep),
            **{kind.counted_as: kept_files.files_of_kind(kind, kept) for kind in kept_files.FILE_KINDS},
            "sha256": writing.sha256,
            "digests": digests,
            "sittings_not_replayed": writing.counts[f"{label(Sitting)}.jsonl"] - len(digests),
        }
        archive.writestr(MANIFEST, json.dumps(manifest, indent=1))


R = TypeVar("R", bound=Model)


class _Writing:
    """The files that go into a backup one after another, with their checksums and how many rows each has."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self.sha256: dict[str, str] = {}
        self.counts: dict[str, int] = {}

    def rows(self, model: type[R]) -> Generator[R, None, None]:
        """Write the rows of a table as they are asked for, and yield them; all must be asked for."""
        name, whole, count, rows = f"{label(model)}.jsonl", hashlib.sha256(), 0, rows_to_keep(model)
        with self._archive.open(name, "w", force_zip64=True) as member:
            while some := list(islice(rows, _AT_ONCE)):
                text = "".join(map(line_of, some)).encode("ascii")
                whole.update(text)
                member.write(text)
                count += len(some)
                yield from some
        self.sha256[name], self.counts[name] = whole.hexdigest(), count

    def photograph(self, name: str) -> bool:
        """Write a photograph's file, sealed as it is; whether it is there and can be read."""
        try:
            content = pictures.sealed_picture(name)
        except (pictures.MissingPicture, OSError):
            return False
        self.small(BACKUP_PHOTOGRAPHS + name, content, zipfile.ZIP_STORED)  # what is sealed is dense
        return True

    def small(self, name: str, content: bytes, packed: int = zipfile.ZIP_DEFLATED) -> None:
        """Write a file that is read at once."""
        self._archive.writestr(name, content, packed)
        self.sha256[name] = hashlib.sha256(content).hexdigest()


def _seal(file: IO[bytes]) -> None:
    """Put the checksum of every byte before it into the place that was left for it."""
    file.flush()
    size = os.fstat(file.fileno()).st_size
    seal = seal_of(file, size)
    file.seek(size - SEAL)
    file.write(seal)
    file.flush()


@contextmanager
def _one_moment() -> Iterator[None]:
    """See every table as it stands at one moment, and keep nobody from writing meanwhile."""
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "postgresql":
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
            yield
    else:  # a transaction of Django's would hold the place of the one writer that SQLite has
        with connection.cursor() as cursor:
            cursor.execute("BEGIN")
            try:
                yield
            finally:
                cursor.execute("COMMIT")
