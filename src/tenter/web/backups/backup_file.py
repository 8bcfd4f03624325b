"""A backup that is read, with nothing believed before it is checked, and never more of it in memory than is looked at.

Its seal, the checksum of every file in it and what belongs to what are held against it when it is opened. Its rows are
read as they are asked for.
"""

import hashlib
import json
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from io import TextIOWrapper
from operator import attrgetter
from pathlib import Path
from typing import IO, Any, Generic, TypeVar

from django.db.models import Model
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError, UnreadableInput
from tenter.language import all_of
from tenter.web.backups import kept_files
from tenter.web.backups.kept_files import KeptFile
from tenter.web.backups.picture_files import PictureFiles
from tenter.web.pictures import pictures
from tenter.web.replays.backup_rows import label, order_of, rows_in, tables

BACKUP_FORMAT, BACKUP_VERSION = "tenter-backup", 3
READS = (1, 2, BACKUP_VERSION)  # format 1 knows no learned phones; in 1 and 2 the rows of a sitting do not lie together
IN_ORDER_SINCE = 3
SEAL = 64  # characters of a SHA-256 in hexadecimal
MANIFEST, BACKUP_PHOTOGRAPHS = "manifest.json", "photographs/"
_TABLES_AT_MOST = 2_000_000_000  # bytes, unpacked: some 200,000 sittings
_SMALL_AT_MOST = pictures.LARGEST_UPLOAD + 1_000_000  # bytes of a file that is read at once: a sealed photograph
_MANIFEST_AT_MOST = 200_000_000
_LINE_AT_MOST = 100_000_000  # characters of a row: more than the largest file that a form takes, each written as \uXXXX
_CHUNK = 1 << 20
_REMEDY = gettext_lazy("Nothing was changed. Take another backup")
_KEPT = tuple(kind.folder for kind in kept_files.FILE_KINDS)
_NO_TABLES = (BACKUP_PHOTOGRAPHS, *_KEPT)
# What reading a file may raise that was sealed as ours are and yet is none.
_NOT_OURS = (
    *(LookupError, ValueError, TypeError, AttributeError, ArithmeticError, EOFError, RuntimeError),
    *(zipfile.BadZipFile, zlib.error),
)


R = TypeVar("R", bound=Model)


@dataclass(frozen=True, slots=True)
class BackupTable(Generic[R]):
    """A table in a backup: its rows are read from the file each time they are asked for."""

    path: Path
    source: str
    model: type[R]
    count: int
    together: bool  # whether the rows of one sitting, or client, lie together in it

    def __len__(self) -> int:
        return self.count

    def __iter__(self) -> Iterator[R]:
        with refused_in_words(self.source), _member(self.path, f"{label(self.model)}.jsonl") as file:
            yield from rows_in(self.model, _lines(file, f"{label(self.model)}.jsonl"))


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that has been read and found whole."""

    path: Path
    source: str  # what errors call it
    made: str
    app_version: str
    rows: Mapping[str, BackupTable[Any]]  # a table's label -> its rows, not yet in the database
    digests: Mapping[str, str]  # a sitting's number -> what its probabilities come to; of those that were replayed
    photographs: frozenset[str]  # the names of the files in it
    lacking: tuple[str, ...]  # in words: the photographs whose file is not in it
    kept: Mapping[str, KeptFile]  # a place in the backup -> what the command line keeps in a file of its own

    def rows_of(self, model: type[R]) -> "BackupTable[R] | tuple[()]":
        """Return the rows of a table; none where the backup is of before there was one."""
        return self.rows.get(label(model), ())

    def in_order(self, model: type[R]) -> Iterable[R]:
        """Return the rows of a table in the order of a backup, in which those of one sitting, or client, follow."""
        rows = self.rows_of(model)
        return rows if not rows or rows.together else sorted(rows, key=attrgetter(*order_of(model)))

    def sealed_photographs(self) -> Iterator[tuple[str, bytes]]:
        """Yield each photograph's name and its file, sealed, one after another."""
        with refused_in_words(self.source), zipfile.ZipFile(self.path) as archive:
            for name in sorted(self.photographs):
                yield name, archive.read(BACKUP_PHOTOGRAPHS + name)


def read_backup(path: Path, source: str = "") -> Backup:
    """Return a backup.

    source: what errors call the file, where that is not its path. Raises `UnreadableInput` for a file that is damaged,
    of another kind or of another version: every `TenterError` of reading it is said as one.
    """
    source = source or str(path)
    try:
        with refused_in_words(source):
            return _read(path, source)
    except OSError as error:
        problem = _("cannot be read (%(error)s)") % {"error": error.strerror}
        raise UnreadableInput(source, problem, _("Name a backup of Tenter")) from None


@contextmanager
def refused_in_words(source: str) -> Iterator[None]:
    """Raise `UnreadableInput`, which says that nothing was changed, for whatever is wrong with a backup."""
    try:
        yield
    except UnreadableInput:
        raise
    except TenterError as error:
        raise UnreadableInput(source, str(error), str(_REMEDY)) from None
    except _NOT_OURS as error:
        problem = _("is not a backup that this program wrote (%(error)s)") % {"error": type(error).__name__}
        raise UnreadableInput(source, problem, str(_REMEDY)) from None


@contextmanager
def _member(path: Path, name: str) -> Iterator[IO[bytes]]:
    with zipfile.ZipFile(path) as archive, archive.open(name) as file:
        yield file


def _lines(file: IO[bytes], name: str) -> Iterator[str]:
    """Yield a table's lines, none of them longer than a row can be: one of zeros alone would fill the memory."""
    text = TextIOWrapper(file, "ascii", newline="\n")
    while line := text.readline(_LINE_AT_MOST + 1):
        if len(line) > _LINE_AT_MOST:
            long = _("holds a row of %(file)s of more than %(most)s MB")
            raise TenterError(long % {"file": name, "most": _LINE_AT_MOST // 1_000_000})
        yield line


def _read(path: Path, source: str) -> Backup:
    _check_seal(path)
    with zipfile.ZipFile(path) as archive:
        manifest = _manifest(archive, path.stat().st_size)
        for name in manifest["sha256"]:
            _check(archive, name, manifest)
        kept = {name: archive.read(name) for name in manifest["sha256"] if name.startswith(_KEPT)}
    rows = _tables(path, source, manifest)
    files = PictureFiles.of(lambda model: rows.get(label(model), ()))
    photographs = _photographs(manifest, files)
    return Backup(
        path=path,
        source=source,
        made=str(manifest["made"]),
        app_version=str(manifest["app_version"]),
        rows=rows,
        digests=dict(manifest["digests"]),
        photographs=photographs,
        lacking=files.lacking(photographs, lambda model: rows.get(label(model), ())),
        kept=_kept(kept, manifest),
    )


def seal_of(file: IO[bytes], size: int) -> bytes:
    """Return the seal of a file of so many bytes, from all of them but its last 64."""
    whole, left = hashlib.sha256(), size - SEAL
    file.seek(0)
    while left > 0 and (chunk := file.read(min(_CHUNK, left))):
        whole.update(chunk)
        left -= len(chunk)
    return whole.hexdigest().encode()


def _check_seal(path: Path) -> None:
    size = path.stat().st_size
    with path.open("rb") as file:
        begins = file.read(2)
        seal = seal_of(file, size)
        if size <= SEAL or begins != b"PK" or file.read() != seal:
            raise TenterError(_("is damaged, or not a backup of Tenter"))


def _manifest(archive: zipfile.ZipFile, size: int) -> dict[str, Any]:
    """Return the manifest, and hold the names and sizes of the other files against it."""
    found = {member.filename: member.file_size for member in archive.infolist()}
    if len(found) < len(archive.infolist()):
        raise TenterError(_("holds a file twice"))
    if sum(found.values()) > size + _TABLES_AT_MOST or found[MANIFEST] > _MANIFEST_AT_MOST:
        large = _("unpacks to more than %(most)s MB, which no backup does")
        raise TenterError(large % {"most": (size + _TABLES_AT_MOST) // 1_000_000})
    if any(name.startswith(_NO_TABLES) and found[name] > _SMALL_AT_MOST for name in found):
        large = _("holds a file of more than %(most)s MB, which no studio keeps")
        raise TenterError(large % {"most": _SMALL_AT_MOST // 1_000_000})
    manifest: dict[str, Any] = json.loads(archive.read(MANIFEST))
    if manifest["format"] != BACKUP_FORMAT:
        raise TenterError(_("is not a backup of Tenter"))
    if manifest["version"] not in READS:
        raise TenterError(_of_another_format(manifest))
    named = set(found) - {MANIFEST}
    counted = {name for name in named if not name.startswith(_NO_TABLES)}
    if named != set(manifest["sha256"]) or counted != set(manifest["counts"]):
        raise TenterError(_("does not hold the files that its manifest names"))
    return manifest


def _of_another_format(manifest: Mapping[str, Any]) -> str:
    said = _(
        "is a backup of format %(format)r, made by Tenter %(version)s; this program reads formats %(known)s. Put it "
        "back with a Tenter as new as the one that made it"
    )
    known = all_of([str(one) for one in READS])
    return said % {"format": manifest["version"], "version": manifest["app_version"], "known": known}


def _check(archive: zipfile.ZipFile, name: str, manifest: Mapping[str, Any]) -> None:
    """Hold a file against its checksum, and the lines of a table against its count."""
    whole, lines, last = hashlib.sha256(), 0, b"\n"
    with archive.open(name) as file:
        while chunk := file.read(_CHUNK):
            whole.update(chunk)
            lines, last = lines + chunk.count(b"\n"), chunk[-1:]
    lines += last != b"\n"
    if whole.hexdigest() != manifest["sha256"][name]:
        raise TenterError(_("holds a %(file)s that is not what its manifest says") % {"file": name})
    said = manifest["counts"].get(name)
    if said is not None and lines != said:
        other = _("holds %(found)s rows of %(file)s, and not %(said)s")
        raise TenterError(other % {"found": lines, "file": name, "said": said})


def _tables(path: Path, source: str, manifest: Mapping[str, Any]) -> dict[str, BackupTable[Any]]:
    known, together = {f"{label(model)}.jsonl": model for model in tables()}, manifest["version"] >= IN_ORDER_SINCE
    for name in manifest["counts"]:
        if name not in known:
            raise TenterError(_("holds %(file)s, which this program does not know") % {"file": name})
    return {
        label(model): BackupTable(path, source, model, int(manifest["counts"][name]), together)
        for name, model in known.items()
        if name in manifest["counts"]
    }


def _photographs(manifest: Mapping[str, Any], files: PictureFiles) -> frozenset[str]:
    """Return the photographs' names: each belongs to a row, so that no name leads out of their folder."""
    found = {
        name.removeprefix(BACKUP_PHOTOGRAPHS) for name in manifest["sha256"] if name.startswith(BACKUP_PHOTOGRAPHS)
    }
    if len(found) != manifest.get("photographs", 0):
        other = _("holds %(found)s photographs, and not %(said)s")
        raise TenterError(other % {"found": len(found), "said": manifest.get("photographs", 0)})
    if not found <= files.known or not all(map(pictures.is_name, found)):
        raise TenterError(_("holds a photograph that belongs to nobody"))
    return frozenset(found)


def _kept(files: Mapping[str, bytes], manifest: Mapping[str, Any]) -> dict[str, KeptFile]:
    """Return what the command line keeps, each read as a file that anybody may have written."""
    for kind in kept_files.FILE_KINDS:
        held, said = kept_files.files_of_kind(kind, files), manifest.get(kind.counted_as, 0)
        if held != said:
            other = _("holds %(found)s files in %(folder)s, and not %(said)s")
            raise TenterError(other % {"found": held, "folder": kind.folder, "said": said})
    return kept_files.out_of_backup(files)
