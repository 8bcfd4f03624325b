"""Photographs at rest: sealed by AES-GCM, each with a nonce of its own and bound to the record it belongs to.

A sealed text names its key and, for a passphrase, the salt; so a file from a backup opens wherever the same key is.
What was changed by one bit, put in another's place or sealed by another key is refused.

Sources: NIST SP 800-38D (GCM); RFC 7914 (scrypt), through `cryptography`.
"""

import secrets
import struct
from dataclasses import dataclass

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from django.utils.translation import gettext as _

from tenter.errors import TenterError
from tenter.web.sealing import photo_keys
from tenter.web.sealing.photo_keys import KEY_ID_BYTES, SALT_BYTES, Origin

_MAGIC, _NONCE_BYTES = b"TNT1", 12  # 96 bits: NIST SP 800-38D, 5.2.1.1, what GCM recommends
_HEAD = struct.Struct(f">{len(_MAGIC)}sB{KEY_ID_BYTES}s{SALT_BYTES}s{_NONCE_BYTES}s")


class Tampered(TenterError):
    """What was sealed is not what is there now."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "the photograph’s file is damaged or was changed since it was kept, so nothing is shown of it. "
                "Everything else is unaffected. Erase it and take another, or put a backup back"
            )
        )


@dataclass(frozen=True, slots=True)
class _Head:
    """What stands unsealed before a sealed text."""

    origin: Origin
    key_id: bytes
    salt: bytes
    nonce: bytes

    def packed(self) -> bytes:
        return _HEAD.pack(_MAGIC, self.origin, self.key_id, self.salt, self.nonce)


def seal(content: bytes, record: str) -> bytes:
    """Return what is kept of a text; `record` names the record and the part of it that it belongs to."""
    key = photo_keys.sealing_key()
    head = _Head(key.origin, key.key_id, key.salt, secrets.token_bytes(_NONCE_BYTES))
    packed = head.packed()
    return packed + AESGCM(key.secret).encrypt(head.nonce, content, packed + record.encode())


def unseal(sealed: bytes, record: str) -> bytes:
    """Return the text again.

    Raises
    ------
    Tampered
        If it is not what was sealed for this record.
    Locked
        If its key is not here.
    """
    head = _head_of(sealed)
    key = photo_keys.opening_key(head.origin, head.key_id, head.salt)
    try:
        return AESGCM(key.secret).decrypt(head.nonce, sealed[_HEAD.size :], head.packed() + record.encode())
    except InvalidTag:
        raise Tampered from None


@dataclass(frozen=True, slots=True)
class Name:
    """What a sealed text says of its key."""

    origin: Origin
    key_id: bytes
    salt: bytes


def key_of(sealed: bytes) -> Name:
    """Return which key a text was sealed by; raises `Tampered` for what was never sealed."""
    head = _head_of(sealed)
    return Name(head.origin, head.key_id, head.salt)


def sealed_anew(sealed: bytes, record: str) -> bytes:
    """Return a sealed text sealed by the studio's own key; raises as `unseal`."""
    return seal(unseal(sealed, record), record)


def _head_of(sealed: bytes) -> _Head:
    if len(sealed) < _HEAD.size:
        raise Tampered
    magic, origin, *rest = _HEAD.unpack(sealed[: _HEAD.size])
    if magic != _MAGIC or origin not in list(Origin):
        raise Tampered
    return _Head(Origin(origin), *rest)
