"""Which folders this computer has: those to begin with, and what is in one of them. Only names of folders are read.

Sources: freedesktop.org, xdg-user-dirs (the home's own folders, in the language of the desktop); udisks2, which mounts
drives below /run/media or /media; GVfs, which mounts phones below the run-time folder.
"""

import getpass
import os
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

_MOST = 300  # names on a page; set by judgement
_KNOWN = ("Desktop", "Documents", "Downloads", "Pictures")  # where the desktop names none
_NAMED = re.compile(r'^XDG_[A-Z]+_DIR="(\$HOME/|/)([^"]+)"', re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Subfolders:
    """The folders in a folder, in order; how many more there are than a page lists."""

    folders: tuple[Path, ...]
    left_out: int = 0


def starting_folders(home: Path, root: Path = Path("/")) -> list[Path]:
    """Return the folders that are there to begin with: the home, its known ones, drives, phones, others in it.

    A folder that a cloud keeps in step is one of those in the home. root: of the file system.
    """
    found = [home, *_of_desktop(home), *_drives(root), *_phones(root), *_synced(home), *_in(home)]
    return list(dict.fromkeys(path for path in found if _is_folder(path)))


def subfolders(folder: Path) -> Subfolders:
    """Return the folders in a folder whose names are shown; raises `OSError` where it cannot be looked into.

    Hidden ones are left out, and names that no page can send back.
    """
    with os.scandir(folder) as entries:
        names = [one.name for one in entries if not one.name.startswith(".") and _is_text(one.name) and _is_dir(one)]
    names.sort(key=str.casefold)
    return Subfolders(tuple(folder / name for name in names[:_MOST]), max(0, len(names) - _MOST))


def named_folder(said: str) -> Path | None:
    """Return the folder of a whole path, tidied; None where there is none or the path is not whole."""
    path = Path(os.path.normpath(said)) if said.startswith("/") and "\0" not in said else None
    return path if path is not None and _is_folder(path) else None


def _of_desktop(home: Path) -> Iterator[Path]:
    try:
        said = (home / ".config" / "user-dirs.dirs").read_text(encoding="utf-8")
    except (OSError, ValueError):
        yield from (home / name for name in _KNOWN)
        return
    for start, rest in _NAMED.findall(said):
        yield (home if start == "$HOME/" else Path("/")) / rest


def _synced(home: Path) -> list[Path]:
    """Return the cloud folders of a Mac, which are not in the home itself."""
    return _in(home / "Library" / "CloudStorage")


def _drives(root: Path) -> Iterable[Path]:
    user = _user()
    places = [root / "run/media" / user, root / "media" / user, root / "media", root / "mnt", root / "Volumes"]
    return [path for place in places for path in _in(place) if os.path.ismount(path)]


def _phones(root: Path) -> list[Path]:
    return _in(root / f"run/user/{os.getuid()}/gvfs")


def _user() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError):  # an account without a name
        return "-"


def _in(place: Path) -> list[Path]:
    try:
        return list(subfolders(place).folders)
    except OSError:
        return []


def _is_folder(path: Path) -> bool:
    with suppress(OSError, ValueError):
        return path.is_dir() and _is_text(str(path))
    return False


def _is_dir(entry: "os.DirEntry[str]") -> bool:
    try:
        return entry.is_dir()
    except OSError:
        return False


def _is_text(name: str) -> bool:
    try:
        name.encode()
    except UnicodeEncodeError:  # bytes that are no text
        return False
    return name.isprintable()
