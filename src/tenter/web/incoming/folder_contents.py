"""What lies in a folder that pictures come in by: what may be taken in, and of the rest why not.

Somebody else writes into that folder: a cable, a cloud program, a stranger who shares it. So nothing in it is followed,
opened or removed but a plain file that lies there itself, and none that changes meanwhile.
"""

import hashlib
import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError

STILL_SECONDS = 3.0  # for which a file has not grown before it is taken for whole; set by judgement
_ENDINGS = frozenset(
    {"jpg", "jpeg", "png", "webp", "heic", "heif", "dng", "tif", "tiff", "nef", "cr2", "cr3", "arw"}
)  # as the photograph page offers them
_HALVES = frozenset({"part", "crdownload", "download", "partial", "tmp"})  # what browsers and clouds write first
_MOST = 200  # files that are looked at, the latest first: a page of more is no list; set by judgement
_KEY_DIGITS = 32
_OPENING = os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC  # a pipe answers at once instead of waiting

_NO_FILE = {
    stat.S_IFLNK: gettext_lazy("a link to another place. Copy the picture itself into the folder"),
    stat.S_IFDIR: gettext_lazy("a folder. Pictures are taken from the incoming folder itself, not from folders in it"),
}


class FolderGone(TenterError):
    """The folder is not there, or may not be read."""


@dataclass(frozen=True, slots=True)
class IncomingPicture:
    """A file in the folder. problem: why it cannot be taken in; empty where it can.

    key: tells this content of this name from every other, so that nothing else is taken in its place. size: in bytes.
    """

    key: str
    name: str  # fit to be shown: what a screen cannot show is a question mark
    size: int
    changed: datetime
    problem: str = ""


@dataclass(frozen=True, slots=True)
class FolderContents:
    """What lies in the folder, the latest first. left_out: how many more files there are than are looked at."""

    pictures: tuple[IncomingPicture, ...]
    left_out: int = 0

    @property
    def ready(self) -> tuple[IncomingPicture, ...]:
        """Those that can be taken in."""
        return tuple(one for one in self.pictures if not one.problem)


def look_into(folder: Path, largest: int, now: float | None = None) -> FolderContents:
    """Return what lies in a folder. largest: bytes of a picture that is taken in. now: seconds of the system's clock.

    Hidden files are passed over: they are the system's and the cloud program's own. Raises `FolderGone`.
    """
    at = time.time() if now is None else now
    with _opened(folder) as handle:
        found = sorted(_entries(handle), key=lambda entry: entry[1].st_mtime_ns, reverse=True)
    pictures = tuple(_picture(name, status, largest, at) for name, status in found[:_MOST])
    return FolderContents(pictures, max(0, len(found) - _MOST))


def read_picture(folder: Path, key: str) -> bytes:
    """Return the content of the file of a key.

    Raises `TenterError` where it is gone, changes or cannot be read, and `FolderGone`.
    """
    with _opened(folder) as handle:
        name = _named(handle, key)
        try:
            file = os.open(name, _OPENING, dir_fd=handle)
        except OSError as error:
            raise _cannot_be_read(name, error) from None
        try:
            return _content(file, name, key)
        except OSError as error:
            raise _cannot_be_read(name, error) from None
        finally:
            os.close(file)


def remove_picture_file(folder: Path, key: str) -> None:
    """Remove the file of a key from the folder; raises `TenterError` where it changed meanwhile or may not be removed.

    One that is gone already is no fault. Raises `FolderGone`.
    """
    with _opened(folder) as handle:
        found = [name for name, status in _entries(handle) if _key(name, status) == key]
        for name in found:
            try:
                os.unlink(name, dir_fd=handle)
            except FileNotFoundError:
                continue
            except OSError as error:
                raise _stays_there(name, error) from None


def shown_file_name(name: str) -> str:
    """Return a file's name as a page may show it, whatever bytes it is made of."""
    readable = os.fsencode(name).decode("utf-8", "replace")
    return "".join(char if char.isprintable() else "\ufffd" for char in readable)


@contextmanager
def _opened(folder: Path) -> Iterator[int]:
    """Open the folder, so that what is named in it is in that folder, even where another takes its place meanwhile."""
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC)
    except OSError as error:
        said = _(
            "the incoming folder %(folder)s cannot be opened (%(why)s). If it is on a stick or a phone, connect that; "
            "otherwise name another folder under Studio"
        )
        raise FolderGone(said % {"folder": shown_file_name(str(folder)), "why": error.strerror}) from None
    try:
        yield handle
    finally:
        os.close(handle)


def _entries(handle: int) -> Iterator[tuple[str, os.stat_result]]:
    with os.scandir(handle) as entries:
        for entry in entries:
            if entry.name.startswith("."):
                continue
            try:
                yield entry.name, entry.stat(follow_symlinks=False)
            except OSError:  # gone meanwhile
                continue


def _picture(name: str, status: os.stat_result, largest: int, now: float) -> IncomingPicture:
    # The clock of another machine may have written the time; a file from the future has not just grown.
    found = IncomingPicture(
        _key(name, status), shown_file_name(name), status.st_size, datetime.fromtimestamp(status.st_mtime, UTC)
    )
    return replace(found, problem=_problem(name, status, largest, now))


def _problem(name: str, status: os.stat_result, largest: int, now: float) -> str:
    if not stat.S_ISREG(status.st_mode):
        return str(_NO_FILE.get(stat.S_IFMT(status.st_mode)) or _("not a file with a picture"))
    ending = name.rpartition(".")[2].lower()
    if ending in _HALVES or 0 <= now - status.st_mtime < STILL_SECONDS:
        return _("still being copied. It is offered once it is whole")
    if ending not in _ENDINGS:
        return _("not a kind of picture that Tenter reads: JPEG, PNG, WebP, TIFF, HEIC or a raw file")
    if status.st_size == 0:
        return _("empty. Copy it again")
    if status.st_size > largest:
        return _("larger than %(size)s MB. Export a smaller one") % {"size": largest // 1_000_000}
    return ""


def _key(name: str, status: os.stat_result) -> str:
    told = f"{status.st_ino} {status.st_size} {status.st_mtime_ns} ".encode() + os.fsencode(name)
    return hashlib.sha256(told).hexdigest()[:_KEY_DIGITS]


def _named(handle: int, key: str) -> str:
    found = next((name for name, status in _entries(handle) if _key(name, status) == key), None)
    if found is None:
        said = _("a picture changed or left the folder since this page was drawn. Nothing was taken of it")
        raise TenterError(said)
    return found


def _content(file: int, name: str, key: str) -> bytes:
    """Return what an open file holds, if it is the one that was offered and stays it to its end."""
    status = os.fstat(file)
    if not stat.S_ISREG(status.st_mode) or _key(name, status) != key:
        raise _still_growing(name)
    with os.fdopen(os.dup(file), "rb") as stream:
        content = stream.read(status.st_size + 1)
    if len(content) != status.st_size or _key(name, os.fstat(file)) != key:
        raise _still_growing(name)
    return content


def _still_growing(name: str) -> TenterError:
    said = _("“%(file)s” is still being copied. Take it in once it is whole")
    return TenterError(said % {"file": shown_file_name(name)})


def _cannot_be_read(name: str, error: OSError) -> TenterError:
    said = _("“%(file)s” cannot be read (%(why)s). It stays in the folder")
    return TenterError(said % {"file": shown_file_name(name), "why": error.strerror})


def _stays_there(name: str, error: OSError) -> TenterError:
    said = _("“%(file)s” is kept here, but it could not be removed from the folder (%(why)s). Remove it there yourself")
    return TenterError(said % {"file": shown_file_name(name), "why": error.strerror})
