"""The key that photographs are sealed by: from the system's keyring, from a passphrase, or from a file beside them.

The keyring comes first. Where there is none, a passphrase does (`passphrase.py`: from the environment, or typed at the
start).
A key file in the data folder is made only when the owner says so: whoever has the folder has the key then. Other keys,
of an earlier passphrase or from another machine, are held locked by this studio's own (`photo_key_note.py`).
"""

import base64
import hmac
import secrets
from dataclasses import dataclass, replace
from enum import IntEnum
from threading import RLock

import keyring
from django.utils.translation import gettext as _
from keyring.errors import KeyringError

from tenter import durable
from tenter.web.sealing import passphrase, photo_key_note, stretching
from tenter.web.sealing.passphrase import VARIABLE, Passphrase
from tenter.web.sealing.photo_key_note import HeldKey, Keeper, Locked, Note
from tenter.web.server.data_dir import data_dir

__all__ = ("Keeper", "Key", "Locked", "Origin")

KEY_ID_BYTES, SALT_BYTES = 8, 16
SHORTEST = 10  # characters of a passphrase
_KEY_FILE, _SERVICE, _HELD_FOR = "photo-key", "tenter-photographs", b"a key held by the studio's own"
_changing = RLock()  # between reading which key it is and the passphrase that makes it, neither may change


class Origin(IntEnum):
    """What a key comes from, as sealed texts name it."""

    RANDOM = 1
    PASSPHRASE = 2


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
    with _changing:
        note = photo_key_note.read_note()
        if passphrase.GIVEN:
            return _from_passphrase(note)
        if note is None:
            return _new_in_keyring()
        if note.keeper is Keeper.PASSPHRASE:
            raise Locked(_("the photographs are locked until you give their passphrase, on the page Studio, The key"))
        return _random(bytes.fromhex(note.id)) or _nowhere()


def opening_key(origin: Origin, key_id: bytes, salt: bytes) -> Key:
    """Return the key of a sealed text; raises `Locked` where it is not here."""
    with _changing:
        found = _held(key_id) or (_random(key_id) if origin is Origin.RANDOM else None)
        if found is not None:
            return found
        if origin is Origin.RANDOM:
            return _nowhere()
        if not passphrase.GIVEN:
            raise Locked(_("the photograph is locked until you give the passphrase, on the page Studio, The key"))
        return _agreed(Key(origin, passphrase.GIVEN.secret(salt), salt), key_id)


def _random(key_id: bytes) -> Key | None:
    for kept in (_in_keyring(key_id), _in_file()):
        if kept is not None and hmac.compare_digest(kept.key_id, key_id):
            return kept
    return None


def _nowhere() -> Key:
    raise Locked(
        _(
            "the key that the photograph was sealed with is not on this computer: it came from elsewhere with a "
            "backup, or the keyring is locked. Unlock the keyring, take in a copy of the key on the page Studio, "
            "or open the photograph where it was taken. Nothing is lost"
        )
    )


def keeper() -> Keeper:
    """Return who keeps the key, or would once there is a photograph."""
    note = photo_key_note.read_note()
    if passphrase.GIVEN:
        return Keeper.PASSPHRASE
    if note is not None:
        return note.keeper
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
    if photo_key_note.read_note() is not None or passphrase.GIVEN:
        raise Locked(
            _("no key was made, because there is one already, and a new one could not open what it has sealed")
        )
    key = _in_file()
    if key is None:
        key = Key(Origin.RANDOM, secrets.token_bytes(stretching.SECRET_BYTES))
        durable.write(data_dir() / _KEY_FILE, base64.b64encode(key.secret), durable.PRIVATE)
    _remember(Keeper.FILE, key)


def begin_passphrase(said: str) -> None:
    """Seal by a passphrase from now on, where none does yet; raises `Locked` where one does, or for a short one."""
    with _changing:
        require_long(said)
        if passphrase.GIVEN or _note_keeper() is Keeper.PASSPHRASE:
            raise Locked(_("there is a passphrase already. Change it instead"))
        passphrase.GIVEN.give(said)
        sealing_key()


def give_passphrase(said: str) -> None:
    """Unlock the photographs by their passphrase until the server stops; raises `Locked` for another one."""
    with _changing:
        require_own(said)
        if _note_keeper() is Keeper.PASSPHRASE:
            passphrase.GIVEN.give(said)


def _note_keeper() -> Keeper | None:
    note = photo_key_note.read_note()
    return None if note is None else note.keeper


def asks_at_start() -> bool:
    """Whether a passphrase seals here and has not been given."""
    note = photo_key_note.read_note()
    return note is not None and note.keeper is Keeper.PASSPHRASE and not passphrase.GIVEN


# -- where keys are ----------------------------------------------------------------------------------------------------


def keyring_works() -> bool:
    """Whether this system keeps secrets for programs."""
    return float(keyring.get_keyring().priority) > 0


def _new_in_keyring() -> Key:
    secret = secrets.token_bytes(stretching.SECRET_BYTES)
    key = Key(Origin.RANDOM, secret)
    try:
        if not keyring_works():
            raise KeyringError
        keyring.set_password(_SERVICE, key.key_id.hex(), base64.b64encode(secret).decode())
        kept = _in_keyring(key.key_id)
    except KeyringError:
        kept = None
    if kept is None:
        no_keyring = _(
            "photographs cannot be kept yet, because they have to be sealed and there is no key: this system "
            "has no keyring. Start Tenter with a passphrase in %(variable)s, or have a key file made on the "
            "page Studio"
        )
        raise Locked(no_keyring % {"variable": VARIABLE})
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


def _from_passphrase(note: Note | None) -> Key:
    _require_length(len(passphrase.GIVEN))
    if note is not None and note.keeper is Keeper.PASSPHRASE:
        return _of_note(note, passphrase.GIVEN)
    key = _new_of(passphrase.GIVEN)
    _remember(Keeper.PASSPHRASE, key)
    return key


def require_own(said: str) -> None:
    """Raise `Locked` for a passphrase that is another than the one that photographs are sealed by, where one is."""
    note = photo_key_note.read_note()
    if note is not None and note.keeper is Keeper.PASSPHRASE:
        _of_note(note, Passphrase(said))


def require_long(said: str) -> None:
    """Raise `Locked` for a passphrase that is too short to seal by."""
    _require_length(len(said))


def _require_length(characters: int) -> None:
    if characters < SHORTEST:
        short = _("the passphrase has %(count)s characters; use %(least)s or more, a few words are good")
        raise Locked(short % {"count": characters, "least": SHORTEST})


def _of_note(note: Note, by: Passphrase) -> Key:
    salt = bytes.fromhex(note.salt)
    return _agreed(Key(Origin.PASSPHRASE, by.secret(salt), salt), bytes.fromhex(note.id))


def _new_of(by: Passphrase) -> Key:
    salt = secrets.token_bytes(SALT_BYTES)
    return Key(Origin.PASSPHRASE, by.secret(salt), salt)


def from_passphrase(said: str, salt: bytes) -> Key:
    """Return the key that a passphrase makes with a salt."""
    return Key(Origin.PASSPHRASE, Passphrase(said).secret(salt), salt)


def _agreed(key: Key, key_id: bytes) -> Key:
    if not hmac.compare_digest(key.key_id, key_id):
        raise Locked(
            _(
                "the passphrase is not the one that the photographs were sealed with. Nothing is lost: type it "
                "again, as it is on the recovery sheet"
            )
        )
    return key


# -- which one this studio uses, and which it holds besides ------------------------------------------------------------


def _remember(keeper: Keeper, key: Key) -> None:
    """Write down which key seals from now on. Those that the one before it has locked are opened by that one still."""
    before = photo_key_note.read_note()
    photo_key_note.write_note(Note(keeper, key.key_id.hex(), key.salt.hex(), before.held if before else ()))


def change_passphrase(said: str, new: str) -> None:
    """Seal by another passphrase from now on.

    The one before stays able to open, locked by the new one, until everything is sealed anew (`photo_reseal.py`). All
    of it is one file put in the place of another: killed before, the old one holds, and killed after, the new one.
    Raises `Locked` where no passphrase seals, the old one is wrong, or the new one is too short or the same.
    """
    with _changing:
        note = photo_key_note.read_note()
        if note is None or note.keeper is not Keeper.PASSPHRASE:
            raise Locked(_("the photographs are not sealed with a passphrase, so there is none to change"))
        before = _of_note(note, Passphrase(said))
        require_long(new)
        if new == said:
            raise Locked(_("the new passphrase is the same as the old one; choose another"))
        after = _new_of(Passphrase(new))
        held = [_passed_on(one, before, after) for one in note.held]
        left = replace(_locked_up(before, after), leaving=True)
        photo_key_note.write_note(Note(Keeper.PASSPHRASE, after.key_id.hex(), after.salt.hex(), (*held, left)))
        passphrase.GIVEN.give(new)


def hold_key(key: Key) -> bool:
    """Hold another key, locked by the studio's own, so that what it has sealed opens here; whether it is new here."""
    with _changing:
        own = sealing_key()
        note = photo_key_note.read_note()
        if note is None or key.key_id in (own.key_id, *(bytes.fromhex(one.id) for one in note.held)):
            return False
        photo_key_note.write_note(replace(note, held=(*note.held, _locked_up(key, own))))
        return True


def held_keys() -> list[Key]:
    """Return the keys that are held besides the studio's own and can be opened."""
    note = photo_key_note.read_note()
    return [key for one in (note.held if note else ()) if (key := _held(bytes.fromhex(one.id))) is not None]


def leaving() -> set[bytes]:
    """Return the short names of the keys that go once what they have sealed is sealed anew."""
    note = photo_key_note.read_note()
    return {bytes.fromhex(one.id) for one in note.held if one.leaving} if note else set()


def let_go(key_ids: set[bytes]) -> None:
    """Hold these keys no more."""
    with _changing:
        note = photo_key_note.read_note()
        if note is not None and key_ids:
            kept = tuple(one for one in note.held if bytes.fromhex(one.id) not in key_ids)
            photo_key_note.write_note(replace(note, held=kept))


def _held(key_id: bytes) -> Key | None:
    note = photo_key_note.read_note()
    one = next((one for one in note.held if one.id == key_id.hex()), None) if note else None
    if note is None or one is None:
        return None
    try:
        own = note.keeper is Keeper.PASSPHRASE and one.by == note.id
        by = sealing_key() if own else _random(bytes.fromhex(one.by))
    except Locked:
        return None
    return _opened(one, by) if by else None


def _locked_up(key: Key, by: Key) -> HeldKey:
    locked = photo_key_note.lock_secret(key.secret, by.secret, _HELD_FOR + key.key_id)
    return HeldKey(key.key_id.hex(), int(key.origin), key.salt.hex(), by.key_id.hex(), locked.hex())


def _opened(one: HeldKey, by: Key) -> Key | None:
    secret = photo_key_note.unlock(bytes.fromhex(one.locked), by.secret, _HELD_FOR + bytes.fromhex(one.id))
    return None if secret is None else Key(Origin(one.origin), secret, bytes.fromhex(one.salt))


def _passed_on(one: HeldKey, before: Key, after: Key) -> HeldKey:
    """Return a held key locked by another of the studio's own; as it is where the one before does not open it."""
    key = _opened(one, before) if one.by == before.key_id.hex() else None
    return one if key is None else replace(_locked_up(key, after), leaving=one.leaving)
