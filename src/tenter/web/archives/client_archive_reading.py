"""A client's archive read back, believing nothing of it that has not been checked."""

import hashlib
import io
import json
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.core import serializers
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError, UnreadableInput
from tenter.web.archives.client_archive import ARCHIVE_FORMAT, ARCHIVE_VERSION, DATA, INDEX
from tenter.web.archives.client_archive_files import ARCHIVE_PHOTOGRAPHS, PAPERS, SITTINGS
from tenter.web.models import Client
from tenter.web.pictures.pictures import LARGEST_UPLOAD
from tenter.web.replays import backup_rows

_LARGEST = 10 * LARGEST_UPLOAD  # bytes, unpacked
_REMEDY = gettext_lazy("Nothing was changed. Choose a file written by ‘Export everything’ on a client’s card")
_NOT_OURS = (LookupError, ValueError, TypeError, AttributeError, EOFError, RuntimeError, zipfile.BadZipFile, zlib.error)
_FOLDERS = (ARCHIVE_PHOTOGRAPHS, PAPERS, SITTINGS)


@dataclass(frozen=True, slots=True)
class ArchivedKit:
    """A kit's name and its table. origin: the number of the kit of whose readings it was made, None of any other."""

    name: str
    csv: str
    origin: int | None


@dataclass(frozen=True, slots=True)
class ClientArchive:
    """A client's archive that has been read and found whole."""

    made: str
    app_version: str
    client: Client  # not in the database
    rows: Mapping[str, tuple[Any, ...]]  # a table's label -> its rows, not in the database
    opened: Mapping[str, Mapping[str, Any]]  # a row, as 'tenter.photograph 3' -> what is sealed in the studio
    kits: Mapping[int, ArchivedKit]
    methods: Mapping[int, str]  # a method's number -> its text
    users: Mapping[int, str]  # a number -> the name by which somebody logged in
    left_out: tuple[str, ...]
    files: Mapping[str, bytes]  # a place in the archive -> a picture, a paper or a sitting's events

    @property
    def photographs(self) -> dict[str, bytes]:
        """The pictures by their rows' names."""
        found = {
            place.removeprefix(ARCHIVE_PHOTOGRAPHS): c
            for place, c in self.files.items()
            if place.startswith(ARCHIVE_PHOTOGRAPHS)
        }
        return {name.partition(".")[0]: content for name, content in found.items()}


def read_archive(content: bytes, source: str) -> ClientArchive:
    """Return the archive of a file's bytes; raises `UnreadableInput` where it is damaged, cut off or none of ours."""
    try:
        members = _members(content)
        members.pop(INDEX)
        document = json.loads(members.pop(DATA))
        return _checked(document, members)
    except TenterError as error:
        raise UnreadableInput(source, str(error), str(_REMEDY)) from None
    except (*_NOT_OURS, serializers.base.DeserializationError) as error:
        problem = _("is not an archive of a client (%(error)s)") % {"error": type(error).__name__}
        raise UnreadableInput(source, problem, str(_REMEDY)) from None


def _members(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        found = archive.infolist()
        if sum(member.file_size for member in found) > _LARGEST:
            told = _("unpacks to more than %(size)s MB, which no client's archive does")
            raise TenterError(told % {"size": _LARGEST // 1_000_000})
        if len({member.filename for member in found}) < len(found):
            raise TenterError(_("holds a file twice"))
        return {member.filename: archive.read(member) for member in found}


def _checked(document: Mapping[str, Any], files: Mapping[str, bytes]) -> ClientArchive:
    if (document["format"], document["version"]) != (ARCHIVE_FORMAT, ARCHIVE_VERSION):
        raise TenterError(_("is an archive in a format that this program does not read"))
    sums = {place: hashlib.sha256(content).hexdigest() for place, content in files.items()}
    if sums != document["sha256"] or not all(place.startswith(_FOLDERS) for place in files):
        raise TenterError(_("lacks a file that it names, or one was changed"))
    rows = {label: _rows(label, plain) for label, plain in document["rows"].items()}
    [client] = rows[backup_rows.label(Client)]
    return ClientArchive(
        made=str(document["made"]),
        app_version=str(document["app_version"]),
        client=client,
        rows=rows,
        opened=document["opened"],
        kits={int(number): _kit(plain) for number, plain in document["kits"].items()},
        methods={int(number): toml for number, toml in document["methods"].items()},
        users={int(number): str(name) for number, name in document["users"].items()},
        left_out=tuple(map(str, document["left_out"])),
        files=files,
    )


def _kit(plain: Mapping[str, Any]) -> ArchivedKit:
    """Return a kit; in an archive of an earlier version none says whether it was made of readings."""
    origin = plain.get("origin")
    return ArchivedKit(str(plain["name"]), str(plain["csv"]), None if origin is None else int(origin))


def _rows(label: str, plain: Any) -> tuple[Any, ...]:
    """Return the rows of a table, none of them in the database; each is of the kind that the table's label says."""
    found = tuple(item.object for item in serializers.deserialize("python", plain))
    if any(backup_rows.label(row) != label or not label.startswith("tenter.") for row in found):
        raise TenterError(_("holds rows of another kind in %(table)s") % {"table": label})
    return found
