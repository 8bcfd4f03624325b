"""Certificates of the studio's own for one address on the room's network: an authority, and what it vouches for.

The authority can vouch for that one address and for nothing else, whoever has its key: its name constraints say so. No
authority of the machine's or of a browser's is touched.

Sources: RFC 5280, 4.2.1.9 and 4.2.1.10 (basic and name constraints); RFC 6125 (an address as a name); NIST SP 800-57
part 1, table 4 (P-256); Apple support 103769 (a server's certificate: 825 days at most, its name in the SAN).
"""

import ipaddress
import json
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from tenter.errors import TenterError

AUTHORITY_DAYS, SERVER_DAYS = 730, 397  # set by judgement: within what phones accept
RENEWED_BEFORE = timedelta(days=30)  # of its end; set by judgement
_EARLIER = timedelta(days=1)  # a phone's clock may be behind
_LETTERS, _GROUP = 2, 24  # of a fingerprint between colons, and characters between spaces: eight pairs
_USAGES = (
    *("digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement"),
    *("key_cert_sign", "crl_sign", "encipher_only", "decipher_only"),
)


@dataclass(frozen=True, slots=True)
class StudioCertificates:
    """The authority's certificate, and the server's with its key, as PEM, for one address. authority_key: as PEM."""

    address: str
    authority_key: str
    authority: str
    server_key: str
    server: str

    def serves(self, address: str, now: datetime) -> bool:
        """Whether they serve an address now and for a while."""
        return self.address == address and now + RENEWED_BEFORE < self.ends

    def vouches_for(self, address: str, now: datetime) -> bool:
        """Whether the authority can vouch for an address for as long as a server's certificate holds."""
        ends = _certificate(self.authority).not_valid_after_utc
        return self.address == address and now + timedelta(days=SERVER_DAYS) < ends

    @property
    def ends(self) -> datetime:
        """Until when the server's certificate holds."""
        return _certificate(self.server).not_valid_after_utc

    @property
    def authority_fingerprint(self) -> str:
        """What tells the authority's certificate from every other, as phones show it: SHA-256, eight pairs a line."""
        return _fingerprint(self.authority)

    @property
    def server_fingerprint(self) -> str:
        """What tells the server's certificate from every other, as browsers show it: SHA-256, eight pairs a line."""
        return _fingerprint(self.server)

    @property
    def authority_der(self) -> bytes:
        """The authority's certificate as phones take it in."""
        return _certificate(self.authority).public_bytes(serialization.Encoding.DER)

    def to_json(self) -> str:
        """Return all of it as text, with the keys: only ever to be sealed."""
        return json.dumps(asdict(self))

    @classmethod
    def from_json(cls, text: str) -> "StudioCertificates":
        """Return what `to_json` wrote; raises `TenterError` for anything else."""
        try:
            return cls(**json.loads(text))
        except (ValueError, TypeError):
            raise TenterError("the studio’s certificate cannot be read; another is made") from None


def certificates_for(address: str, now: datetime) -> StudioCertificates:
    """Return an authority that can vouch for one address alone, and a server's certificate of it.

    address: IPv4 or IPv6. now: with a time zone.
    """
    at = ipaddress.ip_address(address)
    authority_key, server_key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    authority = _authority(at, authority_key, now)
    server = _server(at, server_key, authority, authority_key, now)
    return StudioCertificates(
        str(at), _key_pem(authority_key), _certificate_pem(authority), _key_pem(server_key), _certificate_pem(server)
    )


def renewed(kept: StudioCertificates, now: datetime) -> StudioCertificates:
    """Return a new server's certificate under the same authority, which phones that took it in go on believing.

    now: with a time zone. Raises `TypeError` for an authority's key of another kind than ours.
    """
    by = serialization.load_pem_private_key(kept.authority_key.encode(), None)
    if not isinstance(by, ec.EllipticCurvePrivateKey):
        raise TypeError("an authority's key is one of P-256")
    key = ec.generate_private_key(ec.SECP256R1())
    server = _server(ipaddress.ip_address(kept.address), key, _certificate(kept.authority), by, now)
    return replace(kept, server_key=_key_pem(key), server=_certificate_pem(server))


_IPAddress = ipaddress.IPv4Address | ipaddress.IPv6Address


def _authority(at: _IPAddress, key: ec.EllipticCurvePrivateKey, now: datetime) -> x509.Certificate:
    name = _named(f"Tenter devices at {at}")
    # An empty DNS name stands for every name there is: RFC 5280, 4.2.1.10, as OpenSSL and browsers read it.
    alone = x509.NameConstraints([x509.IPAddress(ipaddress.ip_network(at))], [x509.DNSName("")])
    begun = _begun(name, name, key, now, AUTHORITY_DAYS)
    begun = begun.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
    begun = begun.add_extension(_usage("key_cert_sign", "crl_sign"), critical=True)
    begun = begun.add_extension(alone, critical=True)
    begun = begun.add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
    return begun.sign(key, hashes.SHA256())


def _server(
    at: _IPAddress,
    key: ec.EllipticCurvePrivateKey,
    authority: x509.Certificate,
    by: ec.EllipticCurvePrivateKey,
    now: datetime,
) -> x509.Certificate:
    begun = _begun(_named(f"Tenter at {at}"), authority.subject, key, now, SERVER_DAYS)
    begun = begun.add_extension(x509.SubjectAlternativeName([x509.IPAddress(at)]), critical=False)
    begun = begun.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
    begun = begun.add_extension(_usage("digital_signature"), critical=True)
    begun = begun.add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
    above = x509.AuthorityKeyIdentifier.from_issuer_public_key(by.public_key())
    return begun.add_extension(above, critical=False).sign(by, hashes.SHA256())


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: datetime, days: int
) -> x509.CertificateBuilder:
    begun = x509.CertificateBuilder().subject_name(subject).issuer_name(issuer).public_key(key.public_key())
    begun = begun.serial_number(x509.random_serial_number())
    begun = begun.not_valid_before(now - _EARLIER).not_valid_after(now + timedelta(days=days) - _EARLIER)
    return begun.add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)


def _usage(*wanted: str) -> x509.KeyUsage:
    return x509.KeyUsage(**{usage: usage in wanted for usage in _USAGES})


def _named(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _certificate(pem: str) -> x509.Certificate:
    return x509.load_pem_x509_certificate(pem.encode())


def _certificate_pem(certificate: x509.Certificate) -> str:
    return certificate.public_bytes(serialization.Encoding.PEM).decode()


def _key_pem(key: ec.EllipticCurvePrivateKey) -> str:
    encryption = serialization.NoEncryption()
    return key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, encryption).decode()


def _fingerprint(pem: str) -> str:
    digits = _certificate(pem).fingerprint(hashes.SHA256()).hex().upper()
    pairs = ":".join(digits[at : at + _LETTERS] for at in range(0, len(digits), _LETTERS))
    return " ".join(pairs[at : at + _GROUP].strip(":") for at in range(0, len(pairs), _GROUP))
