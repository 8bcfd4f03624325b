"""The key that photographs are sealed by: from the system's keyring, from a passphrase, or from a file beside them.

The keyring comes first. Where there is none, a passphrase does (`TENTER_PHOTO_PASSPHRASE`, or typed at the start).
A key file in the data folder is made only when the owner says so: whoever has the folder has the key then.
"""

import base64
import hmac
import json
import os
import secrets
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from functools import lru_cache
from pathlib import Path

import keyring
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt
from keyring.errors import KeyringError

from tenter.errors import TenterError
from tenter.web.data_dir import data_dir

PASSPHRASE = "TENTER_PHOTO_PASSPHRASE"
KEY_ID_BYTES, SALT_BYTES = 8, 16
SHORTEST = 10  # characters of a passphrase
_SECRET_BYTES, _PRIVATE_FILE = 32, 0o600
_COST, _BLOCK, _LANES = 2**16, 8, 1  # of scrypt: 64 MB and about a fifth of a second
_NOTE, _KEY_FILE, _SERVICE = "photo-key.json", "photo-key", "tenter-photographs"


class Origin(IntEnum):
    """What a key comes from, as sealed texts name it."""

    RANDOM = 1
    PASSPHRASE = 2


class Keeper(StrEnum):
    """Who keeps the key that this studio seals by."""

    KEYRING = "keyring"
    PASSPHRASE = "passphrase"
    FILE = "file"
    NOBODY = "nobody"


class Locked(TenterError):
    """The key is not here, so photographs can neither be kept nor shown. Nothing is lost by it."""


@dataclass(frozen=True, slots=True)
class Key:
    """A key and how sealed texts name it; the salt is empty unless it comes from a passphrase."""

    origin: Origin
    secret: bytes
    salt: bytes = bytes(SALT_BYTES)

    @property
    def key_id(self) -> bytes:
        """A short name that tells nothing of the key."""
        return hmac.digest(self.secret, b"tenter photographs", "sha256")[:KEY_ID_BYTES]


# -- the key to seal by ------------------------------------------------------------------------------------------------


def sealing_key() -> Key:
    """Return the key that new photographs are sealed by, made on first use; raises `Locked` where there is none."""
    note = _note()
    if os.environ.get(PASSPHRASE):
        return _from_passphrase(note)
    if note is None:
        return _new_in_keyring()
    if note["keeper"] == Keeper.PASSPHRASE:
        raise Locked(
            f"the photographs are sealed by a passphrase, and none was given. Start Tenter again with {PASSPHRASE} "
            "set, or in a terminal, where it asks"
        )
    return opening_key(Origin.RANDOM, bytes.fromhex(note["id"]), bytes(SALT_BYTES))


def opening_key(origin: Origin, key_id: bytes, salt: bytes) -> Key:
    """Return the key of a sealed text; raises `Locked` where it is not here."""
    if origin is Origin.PASSPHRASE:
        said = os.environ.get(PASSPHRASE)
        if not said:
            raise Locked(f"the photograph is sealed by a passphrase. Start Tenter with it in {PASSPHRASE} to see it")
        found = Key(origin, _stretched(said, salt), salt)
        return _agreed(found, key_id)
    for kept in (_in_keyring(key_id), _in_file()):
        if kept is not None and hmac.compare_digest(kept.key_id, key_id):
            return kept
    raise Locked(
        "the key that the photograph was sealed by is not on this machine: it came from elsewhere with a backup, or "
        "the keyring is closed. Unlock the keyring, or open the photograph where it was taken. Nothing is lost"
    )


def keeper() -> Keeper:
    """Return who keeps the key, or would once there is a photograph."""
    note = _note()
    if os.environ.get(PASSPHRASE):
        return Keeper.PASSPHRASE
    if note is not None:
        return Keeper(note["keeper"])
    return Keeper.KEYRING if keyring_works() else Keeper.NOBODY


def problem() -> str:
    """Return why photographs cannot be kept now, or nothing."""
    try:
        sealing_key()
    except Locked as error:
        return str(error)
    return ""


def make_key_file() -> None:
    """Keep a key beside the photographs, because the owner says so; raises `Locked` where there is a key already."""
    if _note() is not None or os.environ.get(PASSPHRASE):
        raise Locked("there is a key already, and another would leave what it has sealed behind")
    key = _in_file()
    if key is None:
        key = Key(Origin.RANDOM, secrets.token_bytes(_SECRET_BYTES))
        _write(data_dir() / _KEY_FILE, base64.b64encode(key.secret))
    _remember(Keeper.FILE, key)


def asks_at_start() -> bool:
    """Whether a passphrase seals here and has not been given."""
    note = _note()
    return note is not None and note["keeper"] == Keeper.PASSPHRASE and not os.environ.get(PASSPHRASE)


# -- where keys are ----------------------------------------------------------------------------------------------------


def keyring_works() -> bool:
    """Whether this system keeps secrets for programs."""
    return float(keyring.get_keyring().priority) > 0


def _new_in_keyring() -> Key:
    secret = secrets.token_bytes(_SECRET_BYTES)
    key = Key(Origin.RANDOM, secret)
    try:
        if not keyring_works():
            raise KeyringError
        keyring.set_password(_SERVICE, key.key_id.hex(), base64.b64encode(secret).decode())
        kept = _in_keyring(key.key_id)
    except KeyringError:
        kept = None
    if kept is None:
        raise Locked(
            "photographs are sealed before they are kept, and there is no key yet: this system has no keyring. Start "
            f"Tenter with a passphrase in {PASSPHRASE}, or have a key file made on the page Studio"
        )
    _remember(Keeper.KEYRING, key)
    return key


def _in_keyring(key_id: bytes) -> Key | None:
    try:
        said = keyring.get_password(_SERVICE, key_id.hex())
    except KeyringError:
        return None
    return Key(Origin.RANDOM, base64.b64decode(said)) if said else None


def _in_file() -> Key | None:
    try:
        return Key(Origin.RANDOM, base64.b64decode((data_dir() / _KEY_FILE).read_bytes(), validate=True))
    except (OSError, ValueError):
        return None


def _from_passphrase(note: dict[str, str] | None) -> Key:
    said = os.environ[PASSPHRASE]
    if len(said) < SHORTEST:
        raise Locked(f"the passphrase has {len(said)} characters; take {SHORTEST} or more, a few words are good")
    if note is not None and note["keeper"] == Keeper.PASSPHRASE:
        salt = bytes.fromhex(note["salt"])
        return _agreed(Key(Origin.PASSPHRASE, _stretched(said, salt), salt), bytes.fromhex(note["id"]))
    salt = secrets.token_bytes(SALT_BYTES)
    key = Key(Origin.PASSPHRASE, _stretched(said, salt), salt)
    _remember(Keeper.PASSPHRASE, key)
    return key


def _agreed(key: Key, key_id: bytes) -> Key:
    if not hmac.compare_digest(key.key_id, key_id):
        raise Locked(
            "the passphrase is not the one that the photographs were sealed by. Nothing is lost: start Tenter again "
            "with the right one"
        )
    return key


@lru_cache(maxsize=16)
def _stretched(passphrase: str, salt: bytes) -> bytes:
    stretch = Scrypt(salt=salt, length=_SECRET_BYTES, n=_COST, r=_BLOCK, p=_LANES)
    return stretch.derive(passphrase.encode())


# -- which one this studio uses ----------------------------------------------------------------------------------------


def _note() -> dict[str, str] | None:
    """Return which key this studio seals by: its keeper and short name, and a salt. No secret is in it."""
    try:
        said: dict[str, str] = json.loads((data_dir() / _NOTE).read_text(encoding="ascii"))
        Keeper(said["keeper"]), bytes.fromhex(said["id"]), bytes.fromhex(said["salt"])
    except FileNotFoundError:
        return None
    except (OSError, ValueError, LookupError, TypeError):
        raise Locked(f"the file {_NOTE} in the data folder is damaged. Put it back from a copy of the folder") from None
    return said


def _remember(keeper: Keeper, key: Key) -> None:
    said = {"keeper": str(keeper), "id": key.key_id.hex(), "salt": key.salt.hex()}
    place = data_dir() / _NOTE
    half = place.with_name(f"{_NOTE}.{os.getpid()}")
    half.unlink(missing_ok=True)
    _write(half, json.dumps(said).encode())
    half.replace(place)


def _write(path: Path, content: bytes) -> None:
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _PRIVATE_FILE), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
