"""Everything in one file, and that file read back with nothing believed before it is checked.

A zip file with `manifest.json` and one file of JSON lines a table. Its comment is the SHA-256 of every byte before it,
so that no damage passes unnoticed. It holds names, notes and password hashes, and never the key that signs cookies.

Photographs go in as they are on the disk: sealed. The key that opens them does not, so a backup alone shows nobody.
Values of our own printed cards and phones that the command line has learned go in as they are kept, one file each.
"""

import hashlib
import io
import json
import os
import zipfile
import zlib
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import version
from pathlib import Path
from typing import Any

from django.apps import apps
from django.contrib.auth import get_user_model
from django.core import serializers
from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection, transaction
from django.utils import timezone

from tenter.errors import TenterError, UnreadableInput
from tenter.numerals import listed
from tenter.web import kept_files, pictures
from tenter.web.body_limit import LARGEST_BACKUP
from tenter.web.kept_files import KeptFile
from tenter.web.models import (
    KitRecord,
    LoginAttempt,
    MethodRecord,
    Picture,
    Sitting,
    SittingEvent,
)
from tenter.web.models.kinds import picture_kinds
from tenter.web.replays import History, histories, remembered_digests

FORMAT, VERSION = "tenter-backup", 2
READS = (1, VERSION)  # format 1 knows no learned phones
LARGEST = LARGEST_BACKUP  # unpacked too
PHOTOGRAPHS_AT_MOST = 1_000_000_000  # bytes; beyond it their files are left out, and that is said
_PRIVATE_FILE = 0o600
_REMEDY = "Nothing was changed. Take another backup"
_SEAL = 64  # characters of a SHA-256 in hexadecimal
_MANIFEST, _PHOTOGRAPHS = "manifest.json", "photographs/"
_KEPT = tuple(kind.folder for kind in kept_files.KINDS)
_NO_TABLES = (_PHOTOGRAPHS, *_KEPT)
# What reading a file may raise that was sealed as ours are and yet is none.
_NOT_OURS = (LookupError, ValueError, TypeError, AttributeError, EOFError, RuntimeError, zipfile.BadZipFile, zlib.error)
_LEFT_OUT = (LoginAttempt,)  # counts wrong tries within a minute


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that has been read and found whole."""

    made: str
    app_version: str
    rows: Mapping[str, tuple[Any, ...]]  # a table's label -> its rows, not yet in the database
    digests: Mapping[str, str]  # a sitting's number -> what its probabilities come to
    photographs: Mapping[str, bytes]  # a photograph's name -> its file, sealed
    kept: Mapping[str, KeptFile]  # a place in the backup -> what the command line keeps in a file of its own

    @property
    def histories(self) -> tuple[History, ...]:
        """Its sittings, ready to be replayed; raises `TenterError` where the rows do not fit together."""
        return histories_of(self.rows)


def tables() -> list[Any]:
    """Return the models whose rows are kept, those that others refer to first."""
    return [get_user_model(), *(m for m in apps.get_app_config("tenter").get_models() if m not in _LEFT_OUT)]


def label(model: Any) -> str:
    """Return a model's name in a backup."""
    return str(model._meta.label_lower)


def pictures_of(rows: Mapping[str, Sequence[Any]]) -> tuple[Picture, ...]:
    """Return those among the rows of all tables that have a file of their own."""
    return tuple(row for kind in picture_kinds() for row in rows.get(label(kind), ()))


def histories_of(rows: Mapping[str, Sequence[Any]]) -> tuple[History, ...]:
    """Return the sittings among the rows of all tables, ready to be replayed."""
    return histories(*(rows.get(label(model), ()) for model in (Sitting, SittingEvent, KitRecord, MethodRecord)))


# -- writing -----------------------------------------------------------------------------------------------------------


def write_backup(path: Path) -> Backup:
    """Write everything to a new file that only its owner can read, and read it back; never writes over a file."""
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _PRIVATE_FILE)
    except FileExistsError:
        raise TenterError(
            f"{path} is there already. Nothing was written. Name another file: a backup never writes over one"
        ) from None
    except OSError as error:
        raise TenterError(f"{path} cannot be written ({error.strerror}). Name a file in a folder of yours") from None
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(backup_bytes())
            file.flush()
            os.fsync(file.fileno())
        return read_backup(path)
    except BaseException:
        path.unlink()
        raise


def backup_bytes() -> bytes:
    """Return everything, as the bytes of a backup."""
    with _one_moment():
        rows = {label(model): list(model._default_manager.order_by("pk")) for model in tables()}
        members = {f"{name}.jsonl": _lines(found).encode() for name, found in rows.items()}
    pictures_kept = _photographs(pictures_of(rows))
    kept = kept_files.in_backup()
    members |= pictures_kept | kept
    manifest = {
        "format": FORMAT,
        "version": VERSION,
        "app_version": version("tenter"),
        "made": timezone.now().isoformat(),
        "counts": {f"{name}.jsonl": len(found) for name, found in rows.items()},
        "photographs": len(pictures_kept),
        **{kind.counted_as: kept_files.of_kind(kind, kept) for kind in kept_files.KINDS},
        "sha256": {name: hashlib.sha256(text).hexdigest() for name, text in members.items()},
        "digests": remembered_digests(histories_of(rows)),
    }
    return _sealed({_MANIFEST: json.dumps(manifest, indent=1).encode()} | members)


def _photographs(rows: Sequence[Picture]) -> dict[str, bytes]:
    """Return the photographs' files by their place in the backup, sealed as they are; none where they are too many."""
    found: dict[str, bytes] = {}
    for row in rows:
        try:
            found[_PHOTOGRAPHS + row.name] = pictures.sealed(row.name)
        except pictures.Missing:
            continue  # the row says so on its page
    return found if sum(map(len, found.values())) <= PHOTOGRAPHS_AT_MOST else {}


@contextmanager
def _one_moment() -> Iterator[None]:
    """See every table as it stands at one moment."""
    outermost = not connection.in_atomic_block
    with transaction.atomic():
        if outermost and connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        yield


class _WholeMoments(DjangoJSONEncoder):
    """Keeps the microseconds of a moment, which would be cut off otherwise."""

    def default(self, value: Any) -> Any:
        return value.isoformat() if isinstance(value, datetime) else super().default(value)


def _lines(rows: list[Any]) -> str:
    # Everything beyond ASCII is written as \uXXXX: some of it would end a line for whoever reads line by line.
    return str(serializers.serialize("jsonl", rows, cls=_WholeMoments, ensure_ascii=True))


def _sealed(members: Mapping[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.comment = b"0" * _SEAL
        for name, content in members.items():
            packed = zipfile.ZIP_STORED if name.startswith(_PHOTOGRAPHS) else zipfile.ZIP_DEFLATED  # sealed is dense
            archive.writestr(name, content, packed)
    body = buffer.getvalue()[:-_SEAL]
    return body + hashlib.sha256(body).hexdigest().encode()


# -- reading -----------------------------------------------------------------------------------------------------------


def read_backup(path: Path) -> Backup:
    """Return a backup; raises `UnreadableInput` for a file that is damaged, of another kind or of another version."""
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST + 1)
    except OSError as error:
        raise UnreadableInput(str(path), f"cannot be read ({error.strerror})", "Name a backup of Tenter") from None
    return backup_of(content, str(path))


def backup_of(content: bytes, source: str) -> Backup:
    """Return the backup of a file's bytes, as `read_backup` does; `source` is what errors call the file."""
    try:
        members = _members(content)
        manifest = _manifest(members)
        sealed, kept = _below(_PHOTOGRAPHS, members), _below(_KEPT, members)
        rows = {name.removesuffix(".jsonl"): _rows(name, text, manifest) for name, text in members.items()}
        files, others = _files(sealed, pictures_of(rows), manifest), _kept(kept, manifest)
        made, by = str(manifest["made"]), str(manifest["app_version"])
        return Backup(made, by, rows, dict(manifest["digests"]), files, others)
    except TenterError as error:
        raise UnreadableInput(source, str(error), _REMEDY) from None
    except _NOT_OURS as error:
        problem = f"is no backup that this program wrote ({type(error).__name__})"
        raise UnreadableInput(source, problem, _REMEDY) from None


def _members(content: bytes) -> dict[str, bytes]:
    """Return the files inside a sealed zip file."""
    if len(content) > LARGEST:
        raise TenterError("is too large to be a backup")
    body, seal = content[:-_SEAL], content[-_SEAL:]
    if not content.startswith(b"PK") or hashlib.sha256(body).hexdigest().encode() != seal:
        raise TenterError("is damaged, or no backup of Tenter")
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        found = archive.infolist()
        if sum(member.file_size for member in found) > LARGEST:
            raise TenterError(f"unpacks to more than {LARGEST // 1_000_000} MB, which no backup does")
        if len({member.filename for member in found}) < len(found):
            raise TenterError("holds a file twice")
        return {member.filename: archive.read(member) for member in found}


def _below(folders: str | tuple[str, ...], members: dict[str, bytes]) -> dict[str, bytes]:
    """Take the files of a folder, or of several, out of the others."""
    return {name: members.pop(name) for name in list(members) if name.startswith(folders)}


def _manifest(members: dict[str, bytes]) -> dict[str, Any]:
    """Take the manifest out of the files, and hold the others against it."""
    manifest: dict[str, Any] = json.loads(members.pop(_MANIFEST))
    if manifest["format"] != FORMAT:
        raise TenterError("is no backup of Tenter")
    if manifest["version"] not in READS:
        raise TenterError(
            f"is a backup of format {manifest['version']!r}, made by Tenter {manifest['app_version']}; this program "
            f"reads formats {listed(list(map(str, READS)))}. Put it back with a Tenter as new as the one that made it"
        )
    counted = {name for name in members if not name.startswith(_NO_TABLES)}
    if set(members) != set(manifest["sha256"]) or counted != set(manifest["counts"]):
        raise TenterError("does not hold the files that its manifest names")
    for name, content in members.items():
        if hashlib.sha256(content).hexdigest() != manifest["sha256"][name]:
            raise TenterError(f"holds a {name} that is not what its manifest says")
    return manifest


def _files(sealed: Mapping[str, bytes], rows: Sequence[Picture], manifest: Mapping[str, Any]) -> dict[str, bytes]:
    """Return the photographs' files by name: each belongs to a row, so that no name leads out of their folder."""
    found = {name.removeprefix(_PHOTOGRAPHS): content for name, content in sealed.items()}
    if len(found) != manifest.get("photographs", 0):
        raise TenterError(f"holds {len(found)} photographs, and not {manifest.get('photographs', 0)}")
    if not set(found) <= {row.name for row in rows} or not all(map(pictures.is_name, found)):
        raise TenterError("holds a photograph that belongs to nobody")
    return found


def _kept(files: Mapping[str, bytes], manifest: Mapping[str, Any]) -> dict[str, KeptFile]:
    """Return what the command line keeps, each read as a file that anybody may have written."""
    for kind in kept_files.KINDS:
        held, said = kept_files.of_kind(kind, files), manifest.get(kind.counted_as, 0)
        if held != said:
            raise TenterError(f"holds {held} files in {kind.folder}, and not {said}")
    return kept_files.out_of_backup(files)


def _rows(name: str, content: bytes, manifest: Mapping[str, Any]) -> tuple[Any, ...]:
    """Return the rows of a table, none of them in the database yet."""
    known = {f"{label(model)}.jsonl": model for model in tables()}
    if name not in known:
        raise TenterError(f"holds {name}, which this program does not know")
    lines = content.decode("ascii")
    try:
        found = tuple(item.object for item in serializers.deserialize("jsonl", lines))
    except serializers.base.DeserializationError as error:
        raise TenterError(f"holds a row of {name} that does not fit this program ({error})") from None
    if any(type(row) is not known[name] for row in found):
        raise TenterError(f"holds rows of another kind in {name}")
    if len(found) != manifest["counts"][name]:
        raise TenterError(f"holds {len(found)} rows of {name}, and not {manifest['counts'][name]}")
    return found
