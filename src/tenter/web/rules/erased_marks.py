"""Marks of what was erased, by which it is erased again when an older backup is put back.

A row is known by its number and the moment it was made, a picture by its random name; every backup has both. What is
kept is their digest under a random key (HMAC, RFC 2104): it tells nobody's name, and cannot be turned back.
"""

import hashlib
import hmac
import secrets
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC
from enum import StrEnum
from typing import Any, TypeVar

from tenter.web.models import Client, ErasedMark, Picture, Sitting
from tenter.web.models.kinds import picture_kinds


class ErasedKind(StrEnum):
    """What can be erased on its own."""

    CLIENT = "client"
    SITTING = "sitting"
    PICTURE = "picture"


_MADE: dict[ErasedKind, Callable[[Any], str]] = {
    ErasedKind.CLIENT: lambda row: f"{row.pk} {row.created.astimezone(UTC).isoformat(timespec='microseconds')}",
    ErasedKind.SITTING: lambda row: f"{row.pk} {row.started.astimezone(UTC).isoformat(timespec='microseconds')}",
    ErasedKind.PICTURE: lambda row: str(row.name),
}

M = TypeVar("M", Client, Sitting, Picture)


def mark(row: Client | Sitting | Picture) -> None:
    """Keep a mark of a row that is about to be erased."""
    kind = _kind_of(row)
    key = ErasedMark.objects.values_list("key", flat=True).last() or secrets.token_hex(16)
    ErasedMark.objects.create(kind=kind, key=key, digest=_digest(key, kind, row))


def among(rows: Iterable[M], marks: Iterable[ErasedMark]) -> list[M]:
    """Return those among clients, sittings or pictures that were erased, as marks say."""
    digests: dict[str, set[str]] = {}
    for one in marks:
        digests.setdefault(one.key, set()).add(one.digest)
    return [row for row in rows if any(_digest(key, _kind_of(row), row) in known for key, known in digests.items())]


def kept() -> list[ErasedMark]:
    """Return every mark."""
    return list(ErasedMark.objects.all())


def purge(before: Sequence[ErasedMark]) -> int:
    """Keep the marks of before beside those there are, and erase what either marks; return how many clients that were.

    Called once a backup's rows have taken the place of those there were, within that transaction.
    """
    there = set(ErasedMark.objects.values_list("digest", flat=True))
    ErasedMark.objects.bulk_create(
        ErasedMark(kind=one.kind, key=one.key, digest=one.digest, at=one.at)
        for one in before
        if one.digest not in there
    )
    marks = kept()
    if not marks:
        return 0
    clients = among(Client.objects.all(), marks)
    for client in clients:
        client.delete()
    for sitting in among(Sitting.objects.all(), marks):
        sitting.delete()
    for kind in picture_kinds():
        for picture in among(kind._default_manager.all(), marks):
            picture.delete()
    return len(clients)


def _kind_of(row: Client | Sitting | Picture) -> ErasedKind:
    if isinstance(row, Client):
        return ErasedKind.CLIENT
    return ErasedKind.SITTING if isinstance(row, Sitting) else ErasedKind.PICTURE


def _digest(key: str, kind: ErasedKind, row: Client | Sitting | Picture) -> str:
    return hmac.new(key.encode("ascii"), f"{kind} {_MADE[kind](row)}".encode("ascii"), hashlib.sha256).hexdigest()
