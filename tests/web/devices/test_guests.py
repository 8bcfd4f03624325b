"""A guest at the network's listener who opens all that can be opened and says little: the paired phone is served."""

import socket
import ssl
from contextlib import suppress
from http import HTTPStatus

import pytest
from asgiref.sync import async_to_sync

from tenter.web.devices import door, guests, kept_certificates, listener, pairing
from tenter.web.devices.certificates import certificates_for
from tenter.web.devices.guests import IN_A_ROW, MOST_OF_GUEST, Connections
from tenter.web.devices.listener import Listener, network_application
from tests.web.devices.test_listener import LOOP, NOW

GUEST, PHONE, OTHERS = "127.0.0.9", "127.0.0.3", ("127.0.0.10", "127.0.0.11", "127.0.0.12")
CUT = ConnectionError, ssl.SSLEOFError
PATIENCE = 1.0  # seconds, in place of what a guest is waited for
COOKIE = f"{door.COOKIE}=of the phone"
ASKED = b"GET /x HTTP/1.1\r\nHost: x\r\n\r\n"


async def pages(scope, receive, send):
    """Let whoever shows the phone's cookie in, as the door does; read what is sent."""
    if (b"cookie", COOKIE.encode()) in scope["headers"]:
        scope[door.OF_DEVICE] = True
    while (await receive()).get("more_body"):
        pass
    headers = [(b"content-length", b"2")]
    await send({"type": "http.response.start", "status": HTTPStatus.OK, "headers": headers})
    await send({"type": "http.response.body", "body": b"ok"})


@pytest.fixture
def network(folder, monkeypatch):
    """A listener; returns how to open a line to it from an address."""
    monkeypatch.setattr(pairing, "device_of_secret", lambda _secret: None)
    kept, found, opened = certificates_for(LOOP, NOW), Listener(), []
    found.start(pages, LOOP, kept_certificates.ssl_context(kept), port=0)
    believing = ssl.create_default_context(cadata=kept.authority)

    def line(address, tls=True):
        port = int(found.host.rpartition(":")[2])
        plain = socket.create_connection((LOOP, port), timeout=5, source_address=(address, 0))
        opened.append(plain)
        opened.append(believing.wrap_socket(plain, server_hostname=LOOP) if tls else plain)
        return opened[-1]

    yield line
    for one in opened:
        one.close()
    found.stop()


@pytest.fixture
def hasty(monkeypatch):
    monkeypatch.setattr(guests, "SECONDS_TO_ASK", PATIENCE)
    monkeypatch.setattr(listener, "SECONDS_OF_GUEST", PATIENCE)


def answer_to(line, said=ASKED):
    """Return what is answered; nothing where the line is cut."""
    with suppress(OSError):
        line.sendall(said)
        return line.recv(4096)
    return b""


def lets_in(network, address):
    with suppress(OSError):
        return answer_to(network(address)).startswith(b"HTTP/1.1 200")
    return False


def as_phone(network):
    return answer_to(network(PHONE), ASKED.replace(b"\r\n\r\n", f"\r\nCookie: {COOKIE}\r\n\r\n".encode()))


@pytest.mark.parametrize("tls", [False, True], ids=["no handshake", "no request"])
def test_guests_who_open_all_there_is_shut_no_device_out(network, tls):
    assert as_phone(network).startswith(b"HTTP/1.1 200")
    held = []
    for address in (GUEST, *OTHERS):
        with suppress(OSError):
            held += [network(address, tls) for _ in range(MOST_OF_GUEST)]
    assert not lets_in(network, GUEST)
    assert not lets_in(network, "127.0.0.20")  # of guests there are enough
    assert all(lets_in(network, PHONE) for _ in range(3))


@pytest.mark.usefixtures("hasty")
@pytest.mark.parametrize("tls", [False, True], ids=["no handshake", "no request"])
def test_whoever_says_nothing_is_cut(network, tls):
    with suppress(*CUT):
        assert network(GUEST, tls).recv(1) == b""


@pytest.mark.usefixtures("hasty")
@pytest.mark.parametrize(
    "said",
    [b"GET /x HTTP/1.1\r\nX-a: ", b"POST /x HTTP/1.1\r\nHost: x\r\nContent-Length: 900\r\n\r\nname="],
    ids=["headers", "body"],
)
def test_a_request_that_drips_is_cut(network, said):
    with suppress(*CUT):
        line = network(GUEST)
        line.sendall(said)
        line.settimeout(PATIENCE / 10)
        assert any(is_cut(line) for _ in range(50))


def is_cut(line):
    try:
        line.sendall(b"x")
        return line.recv(1) == b""
    except TimeoutError:
        return False
    except CUT:
        return True


class Told:
    """A connection that keeps how long it is to be waited for."""

    def __init__(self, peer):
        self.peer, self.waits = peer, []

    def cut_after(self, seconds):
        self.waits.append(seconds)


@pytest.mark.parametrize(("cookie", "answering"), [("", []), (COOKIE, [None, None])], ids=["guest", "device"])
def test_a_guests_request_has_its_time_and_a_devices_answer_as_long_as_it_likes(cookie, answering):
    connections, line = Connections(), Told((GUEST, 4000))
    connections.begin(line)
    scope = {"type": "http", "path": "/x", "client": line.peer, "headers": [(b"cookie", cookie.encode())]}

    async def receive():
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(_message):
        pass

    async_to_sync(network_application(pages, "192.168.1.5:8443", connections))(scope, receive, send)
    assert line.waits == [guests.SECONDS_TO_ASK, guests.SECONDS_OF_GUEST, *answering, guests.SECONDS_TO_ASK]


def test_of_many_requests_in_a_row_the_last_are_refused_unlooked_at_and_a_devices_are_not():
    connections, seen = Connections(), []

    async def counted(_scope, _receive, send):
        seen.append(1)
        await send({"type": "http.response.start", "status": HTTPStatus.OK, "headers": []})
        await send({"type": "http.response.body", "body": b""})

    answers = []

    async def send(message):
        answers.append(message.get("status"))

    asked = network_application(counted, "192.168.1.5:8443", connections)
    scope = {"type": "http", "path": "/x", "client": ("192.168.1.9", 4000), "headers": []}
    for _ in range(IN_A_ROW + 20):
        async_to_sync(asked)(scope, None, send)
    assert len(seen) < IN_A_ROW + 20
    assert HTTPStatus.TOO_MANY_REQUESTS in answers
    assert connections.may_ask("192.168.1.8")
    connections.is_of_device(("192.168.1.9", 4000))
    assert all(connections.may_ask("192.168.1.9") for _ in range(IN_A_ROW + 20))
