"""The pictures' files: sealed, named by nothing that anybody knows, and never the file that was uploaded."""

import re
import time
from pathlib import Path
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from tenter import durable
from tenter.errors import TenterError
from tenter.web.sealing import vault
from tenter.web.server.data_dir import data_dir

if TYPE_CHECKING:  # the settings ask for the sizes here before there are rows
    from tenter.web.models import Picture

LARGEST_UPLOAD = 100_000_000  # bytes: a raw file of a large sensor
_FOLDER = "photographs"
_YOUNG_SECONDS = 600  # a file without a row may be about to have one
_NAME = re.compile("[0-9a-f]{32}")


class MissingPicture(TenterError):
    """There is no file."""

    def __init__(self) -> None:
        super().__init__(_("the photograph’s file is not in the data folder; erase it here and take another"))


class PastItsDay(TenterError):
    """It was to be deleted by today."""

    def __init__(self) -> None:
        super().__init__(_("the photograph’s day of deletion has passed, so it cannot be opened any more"))


def folder() -> Path:
    """Return where the sealed pictures lie, made if need be."""
    found = data_dir() / _FOLDER
    found.mkdir(exist_ok=True)
    found.chmod(durable.PRIVATE_FOLDER)
    return found


def is_name(name: str) -> bool:
    """Whether a word may name a file here, as those do that rows are made with."""
    return _NAME.fullmatch(name) is not None


def keep_picture(name: str, picture: bytes) -> None:
    """Seal a picture and keep it under a record's name; raises `Locked` where there is no key."""
    put(name, vault.seal(picture, picture_record(name)))


def shown_picture(name: str) -> bytes:
    """Return a record's picture, in memory alone; raises `MissingPicture`, `Tampered` or `Locked`."""
    return vault.unseal(sealed_picture(name), picture_record(name))


def opened_picture(row: "Picture") -> bytes:
    """Return a record's picture, as `shown_picture` does; raises `PastItsDay` once it was to be deleted."""
    if row.past_its_day:
        raise PastItsDay
    return shown_picture(row.name)


def sealed_picture(name: str) -> bytes:
    """Return a record's file as it lies there; raises `MissingPicture`."""
    try:
        return (folder() / name).read_bytes()
    except FileNotFoundError:
        raise MissingPicture from None


def is_there(name: str) -> bool:
    """Whether a record's file is there."""
    return (folder() / name).is_file()


def put(name: str, content: bytes) -> None:
    """Write a file that is sealed already, whole or not at all; one that is there stays as it is."""
    durable.write(folder() / name, content, durable.PRIVATE)


def remove_picture(name: str) -> None:
    """Remove a record's file."""
    (folder() / name).unlink(missing_ok=True)


def forget_strays(known: set[str]) -> int:
    """Remove the files that belong to no record, unless they have only just come; return how many."""
    latest = time.time() - _YOUNG_SECONDS
    strays = [path for path in folder().iterdir() if path.name not in known and path.stat().st_mtime < latest]
    for path in strays:
        path.unlink(missing_ok=True)
    return len(strays)


def picture_record(name: str) -> str:
    """Return what a picture's file is sealed for."""
    return f"{name} picture"
