"""What a browser sees while Tenter starts: a page that says what is being done, and looks again each second.

The socket is the one that the server answers at afterwards. Whoever asks in between waits in its line for a moment.
Which language the studio has chosen is not known yet, as its data are not open: the page takes the one
that the browser asks for.
"""

import gettext
import html
import re
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from tenter.errors import TenterError
from tenter.language import N_, SOURCE, Catalogue
from tenter.translations import catalogue_folder, known_languages

_LOOKS_EVERY, _PATIENCE = 0.1, 0.5  # seconds: until it sees that it is to end, and for a request to come; by judgement
_DOMAIN = "django"  # the catalogue of screens
_REQUEST = 8192  # bytes of it that are read
_SHOWN_FOR = 30.0  # seconds that a failure is shown to a browser that comes late; set by judgement
_PAGE = """<!doctype html><html lang="{language}" dir="{direction}">
<head><meta charset="utf-8">{again}<title>Tenter</title><style>
body{{font:18px/1.5 "Libertinus Serif","Noto Serif",Georgia,serif;margin:20vh auto;max-width:30em;padding:0 1em;
color:#242424;background:#f7f7f7}}h1{{font-weight:400;font-size:39px}}
@media(prefers-color-scheme:dark){{body{{color:#e4e4e4;background:#1c1c1c}}}}</style></head>
<body><h1>{title}</h1><p role="status">{doing}</p></body></html>"""
_STARTING, _FAILED = N_("Tenter is starting"), N_("Tenter could not start")
_PREFERRED = re.compile(rb"^accept-language:(.*)$", re.IGNORECASE | re.MULTILINE)
_ANSWER = (
    "HTTP/1.1 503 Service Unavailable\r\nContent-Type: text/html; charset=utf-8\r\nRetry-After: 1\r\n"
    "Content-Security-Policy: default-src 'none'; style-src 'unsafe-inline'\r\nCache-Control: no-store\r\n"
    "Content-Length: {length}\r\nConnection: close\r\n\r\n"
)


class WaitingPage:
    """The page, answered from a thread until it is ended; `doing` is the sentence that it shows, in English."""

    def __init__(self, listening: socket.socket) -> None:
        self.doing = N_("Please wait a moment.")
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
        request = asking.recv(_REQUEST)
        if not request:
            return
        failed, language = self._failed.is_set(), _preferred(request)
        words = gettext.translation(_DOMAIN, catalogue_folder(), [language], fallback=True)
        page = _PAGE.format(
            language=language,
            direction=Catalogue(language).direction,
            again="" if failed else '<meta http-equiv="refresh" content="1">',
            title=words.gettext(_FAILED if failed else _STARTING),
            doing=html.escape(words.gettext(self.doing)),
        ).encode()
        asking.sendall(_ANSWER.format(length=len(page)).encode("ascii") + page)
        if failed:
            self._shown.set()


def _preferred(request: bytes) -> str:
    """Return the language that a browser likes best of those that there are: of its first that one is known of."""
    found = _PREFERRED.search(request)
    asked = found[1].decode("ascii", "replace").split(",") if found else []
    known = {tag.lower(): tag for tag in known_languages()}
    for tag in (one.split(";")[0].strip().lower() for one in asked):
        for name in (tag, tag.split("-")[0]):
            if name in known:
                return known[name]
    return SOURCE


def listening_at(host: str, port: int) -> socket.socket:
    """Return a socket that listens, at another free port where this one is taken.

    Raises `TenterError` where nobody can listen at the address.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    for one in (port, 0):
        try:
            return socket.create_server((host, one), family=family)
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
