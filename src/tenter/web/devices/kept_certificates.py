"""The studio's certificates at rest: sealed as photographs are, and made anew for another address or near their end."""

import secrets
import ssl
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from cryptography.hazmat.primitives import serialization
from django.utils import timezone

from tenter import durable
from tenter.errors import TenterError
from tenter.web.devices.certificates import StudioCertificates, certificates_for, renewed
from tenter.web.sealing import photo_keys, vault
from tenter.web.server import temporary_files
from tenter.web.server.data_dir import data_dir

_FILE, _RECORD = "devices-certificate", "the studio's certificates for its devices"


def certificates_at(address: str) -> StudioCertificates:
    """Return the certificates for an address: those that are kept, or new ones, which are kept then.

    New ones are made too where the kept ones do not open any more, as after another passphrase. Raises `Locked` where
    nothing can be sealed.
    """
    photo_keys.sealing_key()
    kept = kept_certificates()
    now = timezone.now()
    made = kept if kept is not None and kept.serves(address, now) else _made(kept, address, now)
    if made is not kept:
        durable.write(_place(), vault.seal(made.to_json().encode(), _RECORD), durable.PRIVATE)
    reseal_certificates()
    return made


def reseal_certificates() -> None:
    """Seal the certificates by the key of today, where another seals them and still opens them.

    So devices that took the authority in go on believing it after the passphrase was changed.
    """
    with suppress(OSError, TenterError):  # none are kept, or they do not open; the next start tries again
        sealed = _place().read_bytes()
        if vault.key_of(sealed).key_id != photo_keys.sealing_key().key_id:
            durable.write(_place(), vault.sealed_anew(sealed, _RECORD), durable.PRIVATE)


def _made(kept: StudioCertificates | None, address: str, now: datetime) -> StudioCertificates:
    if kept is not None and kept.vouches_for(address, now):
        return renewed(kept, now)
    return certificates_for(address, now)


def kept_certificates() -> StudioCertificates | None:
    """Return the certificates that are kept; None where there are none or they do not open."""
    try:
        return StudioCertificates.from_json(vault.unseal(_place().read_bytes(), _RECORD).decode())
    except (OSError, UnicodeDecodeError, TenterError):
        return None


def ssl_context(kept: StudioCertificates) -> ssl.SSLContext:
    """Return what the listener speaks by. The key passes by the disk for a moment, locked by a word that nobody keeps.

    Python's `ssl` takes a key from a file alone.
    """
    word = secrets.token_urlsafe(24).encode()
    key = serialization.load_pem_private_key(kept.server_key.encode(), None)
    locked = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.BestAvailableEncryption(word)
    )
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    path = temporary_files.folder_in(data_dir()) / f"devices-{secrets.token_hex(8)}.pem"
    try:
        durable.write(path, kept.server.encode() + locked, durable.PRIVATE)
        context.load_cert_chain(path, password=word)
    finally:
        path.unlink(missing_ok=True)
    return context


def _place() -> Path:
    return data_dir() / _FILE
