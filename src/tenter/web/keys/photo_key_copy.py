"""A copy of the photographs' key in a file that a passphrase locks, and keys from elsewhere taken in.

By a copy a backup can be read on another machine, where the keyring of this one is not.
"""

import base64
import json
import secrets
from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _

from tenter.web.pictures import photo_reseal
from tenter.web.sealing import photo_key_note, photo_keys, stretching
from tenter.web.sealing.photo_keys import SALT_BYTES, Key, Locked, Origin

_FORMAT, _VERSION = "tenter-photo-keys", 1
LARGEST_KEY_COPY = 1_000_000  # bytes
_HIGHEST_COST = 2**18  # of scrypt, that a file may name: 256 MB
_BOUND = b"a copy of the photographs' keys"


def locked_copy(passphrase: str) -> bytes:
    """Return the keys that open photographs here, locked by a passphrase; raises `Locked` where there is none."""
    photo_keys.require_long(passphrase)
    own = photo_keys.sealing_key()
    keys = ([own] if own.origin is Origin.RANDOM else []) + photo_keys.held_keys()
    if not keys:
        raise Locked(
            _(
                "there is no key to copy, because the photographs are sealed with your passphrase, which opens "
                "them anywhere"
            )
        )
    salt = secrets.token_bytes(SALT_BYTES)
    locked = photo_key_note.lock_secret(
        json.dumps([_said(key) for key in keys]).encode(),
        stretching.stretched(passphrase, salt, stretching.COST),
        _BOUND,
    )
    document = {
        "format": _FORMAT,
        "version": _VERSION,
        "cost": stretching.COST,
        "salt": salt.hex(),
        "locked": locked.hex(),
    }
    return json.dumps(document, indent=1).encode()


def take_in_keys(content: bytes, passphrase: str) -> int:
    """Hold the keys of a copy here, and return how many are new; raises `Locked` for another file or passphrase."""
    return sum(photo_keys.hold_key(key) for key in _keys_in(content, passphrase))


def take_in_passphrase(passphrase: str) -> int:
    """Hold the keys that a passphrase of elsewhere, or of earlier, makes for texts that do not open here."""
    found = 0
    for name in {name for name in photo_reseal.names() if name.origin is Origin.PASSPHRASE}:
        try:
            photo_keys.opening_key(name.origin, name.key_id, name.salt)
        except Locked:
            key = photo_keys.from_passphrase(passphrase, name.salt)
            found += key.key_id == name.key_id and photo_keys.hold_key(key)
    return found


def _keys_in(content: bytes, passphrase: str) -> Sequence[Key]:
    try:
        said = json.loads(content.decode("ascii"))
        known = said["format"] == _FORMAT and said["version"] == _VERSION
        cost, salt, locked = int(said["cost"]), bytes.fromhex(said["salt"]), bytes.fromhex(said["locked"])
    except (ValueError, LookupError, TypeError, ArithmeticError, RecursionError):  # ∞ is no whole number
        known, cost = False, 0
    if not known or cost.bit_count() != 1 or not 1 < cost <= _HIGHEST_COST:
        raise Locked(
            _("the file is not a copy of the photographs’ key. Choose one that was downloaded on the page Studio")
        )
    opened = photo_key_note.unlock(locked, stretching.stretched(passphrase, salt, cost), _BOUND)
    if opened is None:
        raise Locked(
            _("the passphrase is not the one that the copy was locked with, or the file is damaged. Try again")
        )
    return [_key(one) for one in json.loads(opened)]


def _said(key: Key) -> dict[str, object]:
    return {"origin": int(key.origin), "salt": key.salt.hex(), "secret": base64.b64encode(key.secret).decode()}


def _key(said: dict[str, Any]) -> Key:
    return Key(Origin(said["origin"]), base64.b64decode(said["secret"]), bytes.fromhex(said["salt"]))
