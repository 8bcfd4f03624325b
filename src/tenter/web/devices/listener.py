"""The listener on the room's network: TLS alone, at one named address, and only while it is switched on.

It runs in a thread of the server, so that it ends with it, and hands every request on with a mark that says where it
came in.
"""

import socket
import threading
import time
from collections.abc import MutableMapping
from http import HTTPStatus
from ssl import SSLContext
from typing import Any

import uvicorn
from asgiref.sync import sync_to_async
from django.db import close_old_connections
from django.http import parse_cookie
from django.urls import reverse
from django.utils.translation import gettext as _

from tenter.errors import TenterError
from tenter.web.devices import door, pairing
from tenter.web.devices.guests import (
    SECONDS_OF_GUEST,
    SECONDS_OF_PHOTOGRAPH,
    SECONDS_TO_ASK,
    Connections,
    GuardedSocket,
    Peer,
)
from tenter.web.pictures import body_limit
from tenter.web.pictures.body_limit import Application, Receive, Scope, Send
from tenter.web.pictures.pictures import LARGEST_UPLOAD

PORT = 8443  # by custom for TLS beside 443, which only root may take; no source
_PATIENCE, _LOOKS_EVERY = 5.0, 0.02  # seconds
_SECONDS_TO_FINISH = 2  # for what is being answered when it is switched off; set by judgement
_PHOTOGRAPHED = ("device-camera", "device-label")  # names of addresses that take a photograph


class Listener:
    """The one listener of this server. `host` is the address and port it listens at, empty while it is off."""

    def __init__(self) -> None:
        self.host = ""
        self._server: uvicorn.Server | None = None
        self._thread: threading.Thread | None = None
        self._changing = threading.Lock()

    def start(self, pages: Application, address: str, context: SSLContext, port: int = PORT) -> None:
        """Listen at one address; raises `TenterError` where that cannot be. A listener at another ends first.

        pages: the program. port: another free one is taken where this one is not free; 0 for any.
        """
        with self._changing:
            self._end()
            connections = Connections()
            bound = _bound(address, port, connections)
            host = f"{address}:{bound.getsockname()[1]}"
            config = uvicorn.Config(
                network_application(pages, host, connections),
                loop="asyncio",  # which takes each connection from the socket that counts them
                http="h11",  # which reads no more than 64 kB of headers
                log_config=None,
                lifespan="off",
                ws="none",
                proxy_headers=False,  # nobody between a device and here is believed
                server_header=False,
                timeout_graceful_shutdown=_SECONDS_TO_FINISH,
                ssl_context_factory=lambda _config, _default: context,
            )
            self._server = uvicorn.Server(config)
            self._thread = threading.Thread(target=self._server.run, args=([bound],), name="network", daemon=True)
            self._thread.start()
            if not self._has_started():
                self._end()
                bound.close()
                told = _("nothing can be served at %(host)s. Choose another address, or start Tenter again")
                raise TenterError(told % {"host": host})
            self.host = host

    def stop(self) -> None:
        """Listen no more; what is being answered has two seconds."""
        with self._changing:
            self._end()

    def _has_started(self) -> bool:
        deadline = time.monotonic() + _PATIENCE
        while self._server and self._thread and self._thread.is_alive() and time.monotonic() < deadline:
            if self._server.started:
                return True
            time.sleep(_LOOKS_EVERY)
        return False

    def _end(self) -> None:
        self.host = ""
        if self._server is not None and self._thread is not None:
            self._server.should_exit = True
            self._thread.join(_PATIENCE)
        self._server = self._thread = None


LISTENER = Listener()


def _bound(address: str, port: int, connections: Connections) -> socket.socket:
    for tried in dict.fromkeys((port, 0)):
        found = GuardedSocket(connections)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((address, tried))
        except OSError as error:
            found.close()
            problem = error
        else:
            return found
    told = _("%(address)s cannot be listened at (%(problem)s). Is this computer still in that network?")
    raise TenterError(told % {"address": address, "problem": problem.strerror})


def network_application(pages: Application, host: str, connections: Connections) -> Application:
    """Return the program as the network reaches it at an address and port: each request marked, large bodies few.

    A body larger than a form's is read from a connected device alone, and there only for a photograph. A guest's
    request is answered soon or cut, and of many in a row the last are refused before anybody looks at them.
    """
    forms = body_limit.limited(pages, lambda _scope: body_limit.FORM)
    photographs = body_limit.limited(pages, lambda _scope: body_limit.FORM + LARGEST_UPLOAD)

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        peer: Peer = tuple(scope["client"])
        if connections.may_ask(peer[0]):
            connections.asks(peer, SECONDS_OF_GUEST)
            await looked_at({**scope, door.MARK: host}, peer, receive, send)
            connections.asks(peer, SECONDS_TO_ASK)
        else:
            await _refuse_hurry(send)

    async def looked_at(marked: Scope, peer: Peer, receive: Receive, send: Send) -> None:
        may = await sync_to_async(_may_send_photographs)(marked)
        if may:
            connections.asks(peer, SECONDS_OF_PHOTOGRAPH)

        async def told(message: MutableMapping[str, Any]) -> None:
            if door.OF_DEVICE in marked:
                connections.is_of_device(peer)
            await send(message)

        await (photographs if may else forms)(marked, receive, told)

    return answer


async def _refuse_hurry(send: Send) -> None:
    headers = [(b"content-type", b"text/plain"), (b"cache-control", b"no-store"), (b"connection", b"close")]
    await send({"type": "http.response.start", "status": HTTPStatus.TOO_MANY_REQUESTS, "headers": headers})
    await send({"type": "http.response.body", "body": b"Too many requests. Wait a moment.\n"})


def _may_send_photographs(scope: MutableMapping[str, Any]) -> bool:
    page = next((name for name in _PHOTOGRAPHED if scope.get("path") == reverse(name)), "")
    if not page:
        return False
    said = "; ".join(value.decode("latin-1") for name, value in scope["headers"] if name == b"cookie")
    device = pairing.device_of_secret(parse_cookie(said).get(door.COOKIE, ""))
    close_old_connections()  # this is before the program's own beginning and end of a request
    return device is not None and page in door.BY_RIGHT[device.right]
