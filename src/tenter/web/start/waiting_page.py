"""What a browser sees while Tenter starts: a page that says what is being done, and looks again each second.

The socket is the one that the server answers at afterwards. Whoever asks in between waits in its line for a moment.
"""

import html
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from tenter.errors import TenterError

_LOOKS_EVERY, _PATIENCE = 0.1, 0.5  # seconds: until it sees that it is to end, and for a request to come; by judgement
_REQUEST = 8192  # bytes of it that are read
_SHOWN_FOR = 30.0  # seconds that a failure is shown to a browser that comes late; set by judgement
_PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8">{again}<title>Tenter</title><style>
body{{font:18px/1.5 "Libertinus Serif","Noto Serif",Georgia,serif;margin:20vh auto;max-width:30em;padding:0 1em;
color:#242424;background:#f7f7f7}}h1{{font-weight:400;font-size:39px}}
@media(prefers-color-scheme:dark){{body{{color:#e4e4e4;background:#1c1c1c}}}}</style></head>
<body><h1>{title}</h1><p role="status">{doing}</p></body></html>"""
_ANSWER = (
    "HTTP/1.1 503 Service Unavailable\r\nContent-Type: text/html; charset=utf-8\r\nRetry-After: 1\r\n"
    "Content-Security-Policy: default-src 'none'; style-src 'unsafe-inline'\r\nCache-Control: no-store\r\n"
    "Content-Length: {length}\r\nConnection: close\r\n\r\n"
)


class WaitingPage:
    """The page, answered from a thread until it is ended; `doing` is the sentence that it shows."""

    def __init__(self, listening: socket.socket) -> None:
        self.doing = "Please wait a moment."
        self._failed = threading.Event()
        self._shown = threading.Event()
        self._over = threading.Event()
        self._listening = listening
        self._thread = threading.Thread(target=self._answer_all, daemon=True)
        self._thread.start()

    def end(self) -> None:
        """Answer nobody any more; the socket stays open for the server."""
        self._over.set()
        self._thread.join()
        self._listening.setblocking(True)

    def fail(self, why: str) -> None:
        """Say why Tenter cannot start, until a browser was told or none came, and end."""
        self.doing = why
        self._failed.set()
        self._shown.wait(_SHOWN_FOR)
        self.end()

    def _answer_all(self) -> None:
        self._listening.settimeout(_LOOKS_EVERY)
        while not self._over.is_set():
            with suppress(OSError):  # nobody came, or went away again
                asking, _ = self._listening.accept()
                with asking:
                    self._answer(asking)

    def _answer(self, asking: socket.socket) -> None:
        asking.settimeout(_PATIENCE)
        if not asking.recv(_REQUEST):
            return
        failed = self._failed.is_set()
        page = _PAGE.format(
            again="" if failed else '<meta http-equiv="refresh" content="1">',
            title="Tenter could not start" if failed else "Tenter is starting",
            doing=html.escape(self.doing),
        ).encode()
        asking.sendall(_ANSWER.format(length=len(page)).encode("ascii") + page)
        if failed:
            self._shown.set()


def listening_at(host: str, port: int) -> socket.socket:
    """Return a socket that listens, at another free port where this one is taken.

    Raises `TenterError` where nobody can listen at the address.
    """
    for one in (port, 0):
        try:
            return socket.create_server((host, one))
        except OSError as error:
            why = error
    raise TenterError(f"Tenter cannot listen at {host} ({why.strerror}). Leave --host out")


@contextmanager
def waiting_at(listening: socket.socket) -> Iterator[WaitingPage]:
    """Show the page while something is prepared, and why that failed; raises what was raised."""
    page = WaitingPage(listening)
    try:
        yield page
    except TenterError as error:
        page.fail(f"{error}.")
        raise
    finally:
        page.end()
