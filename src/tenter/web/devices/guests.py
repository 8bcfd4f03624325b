"""What a guest in the room's network can take up: few connections, for a short while, and not many requests a second.

Nobody can be kept from knocking. But uvicorn waits as long as the other side likes for a request, asyncio a minute for
a handshake, and every connection is a file that the studio's own pages lack. So connections are counted from the moment
that they are accepted, by the address that they come from, and those of connected devices apart from everybody else's:
a guest who opens as many as possible shuts out no device, and not the computer's own browser.
"""

import asyncio
import socket
import time
from collections.abc import Callable
from contextlib import suppress

# Set by judgement, all of them: a browser opens six connections to one address, and a page to pair by is ten requests.
MOST_OF_GUEST, MOST_OF_GUESTS, MOST_OF_DEVICE = 12, 36, 24  # connections at once: of an address, of all guests'
SECONDS_TO_ASK, SECONDS_OF_GUEST, SECONDS_OF_PHOTOGRAPH = 10.0, 30.0, 300.0  # until there is a request; until it ends
DEVICE_LASTS = 3600.0  # seconds that an address counts as a device's after its last request
IN_A_ROW, PER_SECOND = 60, 6  # of a guest's handshakes and requests: how many in a row, and how many go on

Peer = tuple[str, int]


class Connections:
    """The open connections of one listener. All of it happens in the listener's own thread."""

    def __init__(self) -> None:
        self._open: dict[Peer, _Connection] = {}
        self._device_seen: dict[str, float] = {}
        self._allowed: dict[str, tuple[float, float]] = {}

    def admits(self, address: str) -> bool:
        """Whether one more connection from an address is taken."""
        of_address = sum(one == address for one, _port in self._open)
        if self._is_device(address):
            return of_address < MOST_OF_DEVICE
        guests = sum(not self._is_device(one) for one, _port in self._open)
        return of_address < MOST_OF_GUEST and guests < MOST_OF_GUESTS and self.may_ask(address)

    def may_ask(self, address: str) -> bool:
        """Whether an address may ask once more now; a device always may. It counts as asked."""
        if self._is_device(address):
            return True
        now = time.monotonic()
        left, at = self._allowed.get(address, (float(IN_A_ROW), now))
        left = min(IN_A_ROW, left + (now - at) * PER_SECOND)
        self._allowed[address] = (max(left - 1, 0.0), now)
        self._forget_quiet(now)
        return left >= 1

    def begin(self, connection: "_Connection") -> None:
        """Count a connection, which is cut where no request comes by it."""
        self._open[connection.peer] = connection
        connection.cut_after(SECONDS_TO_ASK)

    def end(self, connection: "_Connection") -> None:
        """Count a connection no more."""
        if self._open.get(connection.peer) is connection:
            del self._open[connection.peer]

    def asks(self, peer: Peer, seconds: float) -> None:
        """Let a request last for some seconds, until it is answered whole."""
        if peer in self._open:
            self._open[peer].cut_after(seconds)

    def is_of_device(self, peer: Peer) -> None:
        """Let a connected device's answer last as long as it likes, and its address have connections of its own."""
        self._device_seen[peer[0]] = time.monotonic()
        if peer in self._open:
            self._open[peer].cut_after(None)

    def _is_device(self, address: str) -> bool:
        seen = self._device_seen.get(address)
        return seen is not None and time.monotonic() - seen < DEVICE_LASTS

    def _forget_quiet(self, now: float) -> None:
        quiet = IN_A_ROW / PER_SECOND
        for address in [one for one, (_left, at) in self._allowed.items() if now - at > quiet]:
            del self._allowed[address]


class _Connection(socket.socket):
    """An accepted connection, which tells when it is closed and can be cut."""

    def __init__(self, accepted: socket.socket, peer: Peer, ended: "Callable[[_Connection], None]") -> None:
        super().__init__(fileno=accepted.detach())
        self.peer = peer
        self._ended = ended
        self._timer: asyncio.TimerHandle | None = None

    def cut_after(self, seconds: float | None) -> None:
        """Cut it after some seconds unless it is told otherwise until then; never for None."""
        if self._timer is not None:
            self._timer.cancel()
        self._timer = None if seconds is None else asyncio.get_running_loop().call_later(seconds, self._cut)

    def _cut(self) -> None:
        with suppress(OSError):  # it is gone already
            self.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        """Close it."""
        if self._timer is not None:
            self._timer.cancel()
        self._ended(self)
        super().close()


class GuardedSocket(socket.socket):
    """A listening socket that closes at once what its `Connections` do not admit; for asyncio's own loop alone."""

    def __init__(self, connections: Connections) -> None:
        super().__init__(socket.AF_INET, socket.SOCK_STREAM)
        self._connections = connections

    def accept(self) -> tuple[socket.socket, Peer]:
        """Return the next connection; raises `ConnectionAbortedError` where it was not admitted."""
        accepted, (address, port) = super().accept()
        if not self._connections.admits(address):
            accepted.close()
            raise ConnectionAbortedError
        connection = _Connection(accepted, (address, port), self._connections.end)
        self._connections.begin(connection)
        return connection, connection.peer
