"""A key made of a passphrase, at a cost to whoever guesses.

Source: RFC 7914 (scrypt), through `cryptography`.
"""

from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

SECRET_BYTES = 32  # of a key: AES-256
COST = 2**16  # with the block below 64 MB and about a fifth of a second
_BLOCK, _LANES = 8, 1  # RFC 7914, section 2: what it recommends


def stretched(passphrase: str, salt: bytes, cost: int) -> bytes:
    """Return the 32 bytes that a passphrase and a salt make; `cost` is a power of two, usually `COST`."""
    return Scrypt(salt=salt, length=SECRET_BYTES, n=cost, r=_BLOCK, p=_LANES).derive(passphrase.encode())
