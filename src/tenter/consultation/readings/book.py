"""The book of readings: one file of a kit's readings and washes, only ever added to, one line of JSON each.

The first line says what the file is. What was written stays as it is, byte for byte; a new version of the file is put
in place whole, so that a killed program leaves the book as it was.
"""

import fcntl
import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from tenter import durable
from tenter.colorimetry.illuminants import observer_from
from tenter.colorimetry.measurement import Conditions
from tenter.consultation.cloths.tables import read_content
from tenter.consultation.readings.cloth_reading import ClothReading, GivenAs, ReadingCircumstances
from tenter.consultation.readings.wash_log import Wash
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_path
from tenter.language import N_, _, as_typed

_HEAD = {"kind": "tenter readings", "version": 1}
_READING, _WASH = "reading", "wash"
_KEPT = N_("Nothing of it was changed; put back a copy of the file, or correct the line.")
_NO_BOOK = N_("this is no book of readings; its first line would say so")
_NOT_A_BOOK = N_("Nothing of it was changed; name a book, or add a file of readings with 'tenter kit readings add'.")
_CANNOT_WRITE = N_("Nothing was added. Close it in other programs and check the folder.")


@dataclass(frozen=True, slots=True)
class ReadingBook:
    """What a book holds, in the order in which it came."""

    readings: tuple[ClothReading, ...] = ()
    washes: tuple[Wash, ...] = ()

    def of_cloth(self, cloth: str) -> tuple[ClothReading, ...]:
        """Return the readings of one cloth."""
        return tuple(one for one in self.readings if one.cloth == cloth)


@dataclass(frozen=True, slots=True)
class AddedToBook:
    """A book after something was added, the readings that are new, and those that were in it already."""

    book: ReadingBook
    added: tuple[ClothReading, ...]
    already: tuple[ClothReading, ...]


def with_readings(book: ReadingBook, readings: Iterable[ClothReading], assumed_day: str = "") -> AddedToBook:
    """Return a book with more readings; the same reading twice, whatever file it came from, is not doubled.

    assumed_day: the day of readings whose file named none. One of that day is the same as one of another day that is
    equal in all else, as the same file may have been added then.
    """
    known = {one.identity for one in book.readings}
    of_any_day = {one.dayless_identity for one in book.readings} if assumed_day else set()
    added, already = list[ClothReading](), list[ClothReading]()
    for one in readings:
        is_known = one.identity in known or (one.day == assumed_day and one.dayless_identity in of_any_day)
        (already if is_known else added).append(one)
        known.add(one.identity)
    return AddedToBook(ReadingBook((*book.readings, *added), book.washes), tuple(added), tuple(already))


def read_book(path: str | Path) -> ReadingBook:
    """Return the book of a file.

    Raises `UnreadableInput` naming the line where it is none, and `TenterError` for what is no path.
    """
    file = given_path(path)
    return _parsed(read_content(file), str(file))


def add_readings(path: str | Path, readings: Iterable[ClothReading], assumed_day: str = "") -> AddedToBook:
    """Add readings to a book, which is begun where there is none; `assumed_day` is as `with_readings` has it.

    Raises
    ------
    TenterError
        For what is no path.
    UnreadableInput
        If the book cannot be read or written; it is then as it was.
    """
    file = given_path(path)
    with _alone_with(file):
        before = _content(file)
        found = with_readings(_parsed(before, str(file)), readings, assumed_day)
        _write(file, before, [reading_document(one) for one in found.added])
    return found


def add_washes(path: str | Path, washes: Sequence[Wash]) -> ReadingBook:
    """Add washes to a book, which is begun where there is none; the same wash twice is not doubled.

    Raises
    ------
    TenterError
        For what is no path.
    UnreadableInput
        If the book cannot be read or written; it is then as it was.
    """
    file = given_path(path)
    with _alone_with(file):
        before = _content(file)
        book = _parsed(before, str(file))
        new = tuple(dict.fromkeys(wash for wash in washes if wash not in book.washes))
        _write(file, before, [wash_document(wash) for wash in new])
    return ReadingBook(book.readings, (*book.washes, *new))


def reading_document(one: ClothReading) -> dict[str, object]:
    """Return a reading as plain values for JSON; what nobody said is left out."""
    how = {name: value for name, value in asdict(one.how).items() if value not in ("", None)}
    return {
        "kind": _READING,
        "cloth": one.cloth,
        **how,
        "given_as": str(one.given_as),
        "lab": list(one.lab),
        "illuminant": one.conditions.illuminant,
        "observer": str(one.conditions.observer),
        **({"reflectance": list(one.reflectance)} if one.reflectance is not None else {}),
        **({"half_width_90": list(one.half_width_90)} if one.half_width_90 is not None else {}),
        "source": one.source,
        "row": one.row,
    }


def wash_document(wash: Wash) -> dict[str, object]:
    """Return a wash as plain values for JSON."""
    return {"kind": _WASH, "cloth": wash.cloth, "day": wash.day, _WASH: wash.kind, "note": wash.note}


def reading_from(document: Mapping[str, Any]) -> ClothReading:
    """Return the reading of plain values; raises `TenterError` when they are none."""
    own = {name: document[name] for name in ReadingCircumstances.__dataclass_fields__ if name in document}
    try:
        return ClothReading(
            cloth=document["cloth"],
            lab=document["lab"],
            conditions=Conditions(document["illuminant"], observer_from(document["observer"])),
            how=ReadingCircumstances(**own),
            given_as=GivenAs(document["given_as"]),
            reflectance=document.get("reflectance"),
            half_width_90=document.get("half_width_90"),
            source=str(document.get("source", "")),
            row=int(document.get("row", 0)),
        )
    except (KeyError, TypeError, ValueError, OverflowError) as error:
        raise TenterError(_("this is no reading: {error}", error=error)) from None


def _content(file: Path) -> bytes:
    return read_content(file) if file.exists() else b""


def _parsed(content: bytes, source: str) -> ReadingBook:
    readings, washes = list[ClothReading](), list[Wash]()
    lines = content.decode("utf-8", errors="replace").split("\n")
    if content and not _is_json(lines[0]) and len(lines) > 1:
        raise UnreadableInput(source, _("line {number}: {error}", number=1, error=_(_NO_BOOK)), _(_NOT_A_BOOK))
    if content and not content.endswith(b"\n"):
        raise UnreadableInput(source, _("line {number}: the file breaks off in it", number=len(lines)), _(_KEPT))
    for number, line in enumerate(lines[:-1], 1):
        try:
            document = json.loads(line)
            if number == 1:
                _check_head(document)
            elif document["kind"] == _WASH:
                washes.append(Wash(document["cloth"], document["day"], document[_WASH], document.get("note", "")))
            elif document["kind"] == _READING:
                readings.append(reading_from(document))
            else:
                raise TenterError(_("no kind of line {kind} is known", kind=as_typed(document["kind"])))
        except (ValueError, KeyError, TypeError, RecursionError, TenterError) as error:
            raise UnreadableInput(source, _("line {number}: {error}", number=number, error=error), _(_KEPT)) from None
    return ReadingBook(tuple(readings), tuple(washes))


def _is_json(line: str) -> bool:
    try:
        json.loads(line)
    except (ValueError, RecursionError):
        return False
    return True


def _check_head(document: object) -> None:
    if not isinstance(document, Mapping) or document.get("kind") != _HEAD["kind"]:
        raise TenterError(_(_NO_BOOK))
    if document.get("version") != _HEAD["version"]:
        raise TenterError(_("the book was written by a newer Tenter; read it with that one"))


def _write(file: Path, before: bytes, documents: Sequence[Mapping[str, object]]) -> None:
    """Put the book with more lines in the place of the one there is, whole or not at all."""
    if not documents and before:
        return
    new = [*([] if before else [_HEAD]), *documents]
    lines = "".join(json.dumps(document, ensure_ascii=False) + "\n" for document in new)
    try:
        durable.write(file, before + lines.encode())
    except OSError as error:
        raise UnreadableInput(
            str(file), _("it cannot be written ({reason})", reason=error.strerror), _(_CANNOT_WRITE)
        ) from None


@contextmanager
def _alone_with(file: Path) -> Iterator[None]:
    """Keep other writers in a book's folder away while it is read and written, so that no line of theirs is lost."""
    try:
        folder = os.open(file.parent, os.O_RDONLY)
    except OSError as error:
        raise UnreadableInput(
            str(file), _("it cannot be written ({reason})", reason=error.strerror), _(_CANNOT_WRITE)
        ) from None
    try:
        fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)  # which lets go of the lock
