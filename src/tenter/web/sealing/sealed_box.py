"""A file sealed to a passphrase without the passphrase: by a public key that was made from it once.

Whoever writes it holds the public key alone, and cannot open what was written. The passphrase opens it on any machine:
the file says with which salt. Each file has a key of its own, agreed with the public key; each piece of it is bound to
its place, so that no piece can be changed, moved, repeated or cut off unnoticed.

Sources: RFC 7748 (X25519), RFC 5869 (HKDF), RFC 7914 (scrypt), NIST SP 800-38D (GCM), through `cryptography`; the
pieces by STREAM (Hoang, Reyhanitabar, Rogaway and Vizár, CRYPTO 2015).
"""

import secrets
import struct
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey, X25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.errors import TenterError
from tenter.web.sealing import stretching
from tenter.web.sealing.passphrase import Passphrase

BOX_SALT = 16  # bytes
SERIES_BYTES = 8
_MAGIC = b"TNTBX1"
_HEAD = struct.Struct(f">{len(_MAGIC)}sB{BOX_SALT}s{SERIES_BYTES}s32s32s7s")
_PIECE, _TAG = 1 << 20, 16  # bytes of a piece before it is sealed, set by judgement; and what GCM adds to it
_HIGHEST_COST = 18  # as a power of two: scrypt then takes 256 MB
_DAMAGED = gettext_lazy("The sealed backup is damaged or cut off. Nothing was changed. Take another backup")


@dataclass(frozen=True, slots=True)
class Recipient:
    """The public half of a passphrase: its salt, what stretching it costs (a power of two), and the key's 32 bytes."""

    salt: bytes
    cost: int
    public: bytes


def recipient_of(passphrase: Passphrase) -> Recipient:
    """Return a new public key of a passphrase, with a salt of its own."""
    salt = secrets.token_bytes(BOX_SALT)
    private = X25519PrivateKey.from_private_bytes(passphrase.secret(salt))
    return Recipient(salt, stretching.COST.bit_length() - 1, private.public_key().public_bytes_raw())


def series_of_box(begins: bytes) -> bytes | None:
    """Return the 8 bytes that name whose series a sealed file belongs to; None for a file of another kind."""
    return _HEAD.unpack(begins[: _HEAD.size])[3] if len(begins) >= _HEAD.size and is_sealed_box(begins) else None


def is_sealed_box(begins: bytes) -> bool:
    """Whether a file that begins so was sealed to a passphrase."""
    return begins.startswith(_MAGIC)


def boxed(content: Iterable[bytes], to: Recipient, series: bytes) -> Iterator[bytes]:
    """Yield a file's pieces sealed; series: 8 bytes that say whose it is, readable by anybody."""
    own = X25519PrivateKey.generate()
    mine, prefix = own.public_key().public_bytes_raw(), secrets.token_bytes(7)
    head = _HEAD.pack(_MAGIC, to.cost, to.salt, series, to.public, mine, prefix)
    cipher = _cipher(own.exchange(X25519PublicKey.from_public_bytes(to.public)), head)
    yield head
    for number, piece, last in _pieces(content, _PIECE):
        yield cipher.encrypt(_nonce(prefix, number, last), piece, head)


def unboxed(content: Iterable[bytes], passphrase: Passphrase) -> Iterator[bytes]:
    """Yield what was sealed, or a file of another kind as it is; raises `TenterError` for another passphrase."""
    pieces = iter(content)
    begun = b""
    while len(begun) < _HEAD.size and (more := next(pieces, b"")):
        begun += more
    if not is_sealed_box(begun):
        yield begun
        yield from pieces
        return
    head, rest = begun[: _HEAD.size], begun[_HEAD.size :]
    cipher, prefix = _opened_by(head, passphrase)
    for number, piece, last in _pieces(_chained(rest, pieces), _PIECE + _TAG):
        try:
            yield cipher.decrypt(_nonce(prefix, number, last), piece, head)
        except InvalidTag:
            raise TenterError(str(_DAMAGED)) from None


def _opened_by(head: bytes, passphrase: Passphrase) -> tuple[AESGCM, bytes]:
    if len(head) < _HEAD.size:
        raise TenterError(str(_DAMAGED))
    _magic, cost, salt, _series, public, theirs, prefix = _HEAD.unpack(head)
    if not passphrase:
        raise TenterError(_("The backup is sealed. Type the passphrase that it was sealed with"))
    if not 0 < cost <= _HIGHEST_COST:
        raise TenterError(str(_DAMAGED))
    private = X25519PrivateKey.from_private_bytes(passphrase.secret_at(salt, 1 << cost))
    if private.public_key().public_bytes_raw() != public:
        raise TenterError(
            _(
                "The passphrase is not the one that the backup was sealed with. Nothing was changed. Use the "
                "passphrase that the studio had on the day of the backup"
            )
        )
    return _cipher(private.exchange(X25519PublicKey.from_public_bytes(theirs)), head), prefix


def _cipher(shared: bytes, head: bytes) -> AESGCM:
    return AESGCM(HKDF(SHA256(), stretching.SECRET_BYTES, salt=None, info=b"tenter sealed box" + head).derive(shared))


def _nonce(prefix: bytes, number: int, last: bool) -> bytes:
    return prefix + struct.pack(">IB", number, last)


def _chained(first: bytes, rest: Iterator[bytes]) -> Iterator[bytes]:
    yield first
    yield from rest


def _pieces(content: Iterable[bytes], size: int) -> Iterator[tuple[int, bytes, bool]]:
    """Yield pieces of one size, each with its number and whether it is the last, which may be shorter."""
    held, number = b"", 0
    for chunk in content:
        held += chunk
        while len(held) > size:
            yield number, held[:size], False
            held, number = held[size:], number + 1
    yield number, held, True
