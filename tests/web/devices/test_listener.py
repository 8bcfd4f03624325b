"""The network's listener as it is: what it listens at, how it speaks, and who believes its certificate."""

import ipaddress
import socket
import ssl
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from asgiref.sync import async_to_sync
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from django.core.handlers.asgi import ASGIHandler

from tenter.errors import TenterError
from tenter.photo.face import quick_look
from tenter.web.devices import certificates, door, kept_certificates, listener, own_addresses, pairing
from tenter.web.devices.certificates import certificates_for, renewed
from tenter.web.devices.guests import Connections
from tenter.web.devices.listener import LISTENER, network_application
from tenter.web.models import PairingCode
from tenter.web.pictures.body_limit import FORM
from tenter.web.sealing import photo_keys
from tests.web.conftest import browser_of

NOW = datetime(2026, 11, 30, tzinfo=UTC)
LOOP = "127.0.0.1"


def listening(process="self"):
    """Return the addresses and ports at which a process listens, as the system tells; of IPv6 as written there."""
    links = [path for path in Path(f"/proc/{process}/fd").iterdir() if path.is_symlink()]
    held = {str(path.readlink()) for path in links if path.is_symlink()}
    found = set()
    for table in ("tcp", "tcp6"):
        for line in Path(f"/proc/net/{table}").read_text(encoding="ascii").splitlines()[1:]:
            _, local, _, state, *rest = line.split()
            if state == "0A" and f"socket:[{rest[5]}]" in held:
                address, port = local.split(":")
                known = socket.inet_ntoa(bytes.fromhex(address)[::-1]) if table == "tcp" else address
                found.add((known, int(port, 16)))
    return found


@pytest.fixture
def kept(folder):
    return certificates_for(LOOP, datetime.now(UTC))


@pytest.fixture
def on(kept):
    """The listener at this machine's own address, with the program behind it, as a thread of this process."""
    before = listening()
    LISTENER.start(ASGIHandler(), LOOP, kept_certificates.ssl_context(kept), port=0)
    yield LISTENER.host, before
    LISTENER.stop()


def spoken(host, said, context=None):
    """Return what is answered to bytes that are said, by TLS where a context is given."""
    address, port = host.split(":")
    with socket.create_connection((address, int(port)), timeout=5) as plain:
        line = context.wrap_socket(plain, server_hostname=address) if context else plain
        with line:
            line.sendall(said)
            parts = []
            try:
                while part := line.recv(65536):
                    parts.append(part)
            except (ConnectionError, TimeoutError):
                pass
            return b"".join(parts)


def believing(kept):
    """Return a context that believes the studio's authority and nobody else."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.load_verify_locations(cadata=kept.authority)
    return context


def asked(path, host, *headers):
    return "\r\n".join([f"GET {path} HTTP/1.1", f"Host: {host}", "Connection: close", *headers, "", ""]).encode()


# -- at the socket -----------------------------------------------------------------------------------------------------


def test_it_listens_at_one_address_while_it_is_on_and_nowhere_after(on):
    host, before = on
    assert listening() - before == {(LOOP, int(host.split(":")[1]))}
    LISTENER.stop()
    assert listening() == before
    assert LISTENER.host == ""
    with pytest.raises(OSError, match="refused"):
        spoken(host, b"")


@pytest.mark.browser  # it shares the served studio with the browser's tests
def test_a_studio_that_is_served_listens_on_this_machine_alone(studio):
    assert listening(studio.process.pid) == {(LOOP, studio.port)}


def test_plain_http_is_not_spoken(on):
    host, _ = on
    for said in (asked("/login", host), b"GET / HTTP/1.0\r\n\r\n"):
        assert b"HTTP/" not in spoken(host, said)


def test_by_tls_an_owners_page_the_login_and_the_first_page_are_404(on, kept):
    host, _ = on
    for path in ("/", "/login", "/welcome", "/studio", "/studio/devices", "/device", "/nowhere"):
        for headers in ((), ("X-Forwarded-For: 127.0.0.1", "X-Forwarded-Proto: http", "X-Forwarded-Host: localhost")):
            assert spoken(host, asked(path, host, *headers), believing(kept)).startswith(b"HTTP/1.1 404"), path
    answer = spoken(host, asked("/", "evil.example"), believing(kept))
    assert answer.startswith(b"HTTP/1.1 404")
    assert b"server:" not in answer.lower()


def test_an_old_tls_is_refused(kept):
    assert kept_certificates.ssl_context(kept).minimum_version == ssl.TLSVersion.TLSv1_2


def test_two_listeners_at_once_there_are_not_and_a_taken_port_is_no_trouble(on, kept):
    host, before = on
    taken = int(host.split(":")[1])
    other = listener.Listener()
    other.start(ASGIHandler(), LOOP, kept_certificates.ssl_context(kept), port=taken)
    try:
        assert other.host != host
    finally:
        other.stop()
    LISTENER.start(ASGIHandler(), LOOP, kept_certificates.ssl_context(kept), port=0)
    assert len(listening() - before) == 1
    with pytest.raises(TenterError, match="cannot be listened at"):
        LISTENER.start(ASGIHandler(), "203.0.113.9", kept_certificates.ssl_context(kept))
    assert listening() == before


def test_nobody_without_a_cameras_right_sends_more_than_a_form(db, monkeypatch):
    seen = []

    async def pages(scope, receive, _send):
        seen.append(scope[door.MARK])
        await receive()

    async def receive():
        return {"type": "http.request", "body": b"x" * (FORM + 1), "more_body": False}

    answers = []

    async def send(message):
        answers.append(message)

    monkeypatch.setattr(pairing, "device_of_secret", lambda _secret: None)
    for path in ("/device/camera", "/pair/x", "/studio/restore"):
        scope = {"type": "http", "path": path, "client": ("192.168.1.77", 40000)}
        scope["headers"] = [(b"cookie", b"tenter_session=x"), (b"tenter.network", b"")]
        async_to_sync(network_application(pages, "192.168.1.5:8443", Connections()))(scope, receive, send)
    assert [answer["status"] for answer in answers if "status" in answer] == [413] * 3
    assert seen == ["192.168.1.5:8443"] * 3
    assert door.MARK not in scope


# -- certificates ------------------------------------------------------------------------------------------------------


def leaf_of(kept, name):
    """Return a server's certificate and key that the authority's key was misused for."""
    by = serialization.load_pem_private_key(kept.authority_key.encode(), None)
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "somebody else")])
    issuer = x509.load_pem_x509_certificate(kept.authority.encode()).subject
    now = datetime.now(UTC)
    made = x509.CertificateBuilder().subject_name(subject).issuer_name(issuer).public_key(key.public_key())
    made = made.serial_number(1).not_valid_before(now - timedelta(days=1)).not_valid_after(now + timedelta(days=9))
    made = made.add_extension(x509.SubjectAlternativeName([name]), critical=False)
    above = x509.AuthorityKeyIdentifier.from_issuer_public_key(by.public_key())
    signed = made.add_extension(above, critical=False).sign(by, hashes.SHA256())
    locked = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    return signed.public_bytes(serialization.Encoding.PEM) + locked


@pytest.mark.parametrize(
    ("name", "hostname"),
    [
        (x509.DNSName("bank.example"), "bank.example"),
        (x509.DNSName("localhost"), "localhost"),
        (x509.IPAddress(ipaddress.ip_address("127.0.0.2")), "127.0.0.2"),
        (x509.IPAddress(ipaddress.ip_address("::1")), "::1"),
    ],
)
def test_whoever_has_the_authoritys_key_can_vouch_for_no_other_host(kept, tmp_path, name, hostname):
    (tmp_path / "leaf.pem").write_bytes(leaf_of(kept, name))
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(tmp_path / "leaf.pem")
    one, other = socket.socketpair()

    def serving():
        try:
            server.wrap_socket(one, server_side=True)
        except (ssl.SSLError, OSError):
            one.close()

    thread = threading.Thread(target=serving)
    thread.start()
    with pytest.raises(ssl.SSLCertVerificationError, match="subtree violation"):
        believing(kept).wrap_socket(other, server_hostname=hostname)
    other.close()
    thread.join()


def test_a_certificate_is_renewed_near_its_end_and_made_anew_for_another_address(kept):
    assert kept.serves(LOOP, datetime.now(UTC))
    assert not kept.serves("192.168.1.6", datetime.now(UTC))
    late = kept.ends - certificates.RENEWED_BEFORE
    assert not kept.serves(LOOP, late)
    again = renewed(kept, datetime.now(UTC))
    assert again.authority_fingerprint == kept.authority_fingerprint
    assert again.server_fingerprint != kept.server_fingerprint
    assert certificates_for("192.168.1.6", NOW).authority_fingerprint != kept.authority_fingerprint


def test_it_is_kept_sealed_and_made_anew_where_it_does_not_open(folder):
    first = kept_certificates.certificates_at(LOOP)
    assert kept_certificates.certificates_at(LOOP) == first
    sealed = (folder / "devices-certificate").read_bytes()
    assert b"PRIVATE KEY" not in sealed
    assert first.server_key.encode() not in sealed
    (folder / "devices-certificate").write_bytes(sealed[:-1] + b"x")
    assert kept_certificates.certificates_at(LOOP) != first
    assert kept_certificates.certificates_at("192.168.1.6").address == "192.168.1.6"
    kept_certificates.ssl_context(first)
    assert list((folder / "passing").iterdir()) == []


def test_without_a_key_to_seal_by_nothing_is_made(folder, monkeypatch):
    def locked():
        raise photo_keys.Locked("there is no key")

    monkeypatch.setattr(photo_keys, "sealing_key", locked)
    with pytest.raises(photo_keys.Locked):
        kept_certificates.certificates_at(LOOP)
    assert not (folder / "devices-certificate").exists()


@pytest.mark.parametrize(
    ("address", "offered"),
    [("192.168.1.5", True), ("10.0.0.2", True), ("127.0.0.1", False), ("169.254.3.4", False), ("8.8.8.8", False)],
)
def test_only_an_address_of_a_room_is_offered(monkeypatch, address, offered):
    monkeypatch.setattr(own_addresses, "_of_interface", lambda _name: address)
    assert own_addresses.own_addresses() == ([address] if offered else [])


# -- the studio's page -------------------------------------------------------------------------------------------------


@pytest.fixture
def laptop(owner, folder, monkeypatch):
    owner.is_superuser = True
    owner.save()
    monkeypatch.setattr("tenter.web.devices.forms.own_addresses", lambda: [LOOP])
    monkeypatch.setattr(quick_look, "get_ready", lambda: None)
    yield browser_of(owner)
    LISTENER.stop()


def test_from_off_to_on_to_a_code_and_off_again(laptop):
    before = listening()
    page = laptop.get("/studio/devices")
    assert "Nothing can reach this computer" in page.text
    refused = laptop.post("/studio/devices/code", {"right": "camera"}, follow=True)
    assert "Switch that on first" in refused.text
    page = laptop.post("/studio/devices/on", {"address": LOOP}, follow=True)
    assert LISTENER.host in page.text
    assert kept_certificates.kept_certificates().server_fingerprint in page.text
    with pytest.MonkeyPatch.context() as elsewhere:
        elsewhere.setattr("tenter.web.devices.forms.own_addresses", lambda: ["192.168.1.6"])
        assert "no longer has that address" in laptop.get("/studio/devices").text
    page = laptop.post("/studio/devices/code", {"right": "camera", "user": page.context["user"].pk})
    assert page.context["address"].startswith(f"https://{LISTENER.host}/pair/")
    assert "<svg" in page.text
    assert page.context["address"] not in laptop.get("/studio/devices").text
    laptop.post("/studio/devices/off")
    assert listening() == before
    assert not PairingCode.objects.exists()


def test_no_address_but_ones_own_is_listened_at(laptop):
    before = listening()
    for address in ("0.0.0.0", "203.0.113.9", "", "localhost"):
        page = laptop.post("/studio/devices/on", {"address": address}, follow=True)
        assert "Nothing was switched on" in page.text
    assert listening() == before


def test_nobody_but_whoever_opened_the_studio_connects_devices(owner, stranger, laptop):
    strange = browser_of(stranger)
    for address in ("", "/state", "/certificate"):
        assert strange.get(f"/studio/devices{address}").status_code == 404
    for address in ("/on", "/off", "/code", "/1/disconnect"):
        assert strange.post(f"/studio/devices{address}", {"address": LOOP}).status_code == 404
    assert LISTENER.host == ""
