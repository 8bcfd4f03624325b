"""The note beside the photographs: which key this studio seals by, and the other keys it holds, each locked by a key.

No secret stands in it unlocked. It is one file, replaced whole, so that a change of it is made or is not.
"""

import json
import secrets
from dataclasses import asdict, dataclass
from enum import StrEnum

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from django.utils.translation import gettext as _

from tenter import durable
from tenter.errors import TenterError
from tenter.web.server.data_dir import data_dir

NOTE = "photo-key.json"
_NONCE_BYTES = 12


class Keeper(StrEnum):
    """Who keeps the key that this studio seals by."""

    KEYRING = "keyring"
    PASSPHRASE = "passphrase"
    FILE = "file"
    NOBODY = "nobody"


class Locked(TenterError):
    """The key is not here, so photographs can neither be kept nor shown. Nothing is lost by it."""


@dataclass(frozen=True, slots=True)
class HeldKey:
    """Another key that opens photographs here, locked by the key that `by` names; all of it in hexadecimal.

    leaving: what it has sealed is being sealed anew, and it goes then.
    """

    id: str
    origin: int
    salt: str
    by: str
    locked: str
    leaving: bool = False


@dataclass(frozen=True, slots=True)
class Note:
    """The studio's key by its keeper and short name, the salt it is made with, and the keys it holds besides."""

    keeper: Keeper
    id: str
    salt: str
    held: tuple[HeldKey, ...] = ()


def read_note() -> Note | None:
    """Return the note, or None before there is a key; raises `Locked` where it is damaged."""
    try:
        said = json.loads((data_dir() / NOTE).read_text(encoding="ascii"))
        held = tuple(HeldKey(**one) for one in said.get("held", ()))
        for word in (said["id"], said["salt"], *(h for one in held for h in (one.id, one.salt, one.by, one.locked))):
            bytes.fromhex(word)
        return Note(Keeper(said["keeper"]), said["id"], said["salt"], held)
    except FileNotFoundError:
        return None
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        damaged = _("the file %(file)s in the data folder is damaged. Put it back from a copy of the folder")
        raise Locked(damaged % {"file": NOTE}) from None


def write_note(note: Note) -> None:
    """Put a note in the place of the one there is."""
    durable.write(data_dir() / NOTE, json.dumps(asdict(note)).encode(), durable.PRIVATE)


def lock_secret(secret: bytes, by: bytes, bound: bytes) -> bytes:
    """Return a secret locked by another, bound to what it is for."""
    nonce = secrets.token_bytes(_NONCE_BYTES)
    return nonce + AESGCM(by).encrypt(nonce, secret, bound)


def unlock(locked: bytes, by: bytes, bound: bytes) -> bytes | None:
    """Return the secret again, or None where it was locked by another secret, for another purpose, or is damaged."""
    try:
        return AESGCM(by).decrypt(locked[:_NONCE_BYTES], locked[_NONCE_BYTES:], bound)
    except (InvalidTag, ValueError):
        return None
