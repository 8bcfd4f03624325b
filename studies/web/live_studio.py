"""A studio of its own on this machine: the real server, in a process that can be killed, and a visitor in it."""

import http.client
import http.cookiejar
import json
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

PASSWORD = "cloth and daylight"
OWNER = "Wenna Castrall"
CHROMIUM = {"executable_path": "/usr/bin/chromium", "args": ["--no-sandbox"]}  # root may open it too
_PASSPHRASE = "linen on the line"
_PATIENCE = 120.0  # seconds, on a machine that has other work too
_SERVE = "from tenter.web.serve import main; main()"
_HURRIED = """
import os, django
os.environ["DJANGO_SETTINGS_MODULE"] = "tenter.web.settings"
django.setup()
from tenter.web.server import clean_disk
clean_disk._READERS_SECONDS = clean_disk._PATIENCE_SECONDS = 1.0
"""


class Unreachable(Exception):
    """The server did not answer: it is down, or went down meanwhile."""


class LiveStudio:
    """A server with its data in a folder; `kill` ends it at once, `start` brings it back on the same data.

    database: the URL of another database than the SQLite file in that folder.
    """

    def __init__(self, folder: Path, database: str = "") -> None:
        self.folder = folder
        self.database = database
        self.port = free_port()
        self.process: subprocess.Popen[bytes] | None = None
        self.log = folder / "server.log"

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self, *, hurried: bool = False) -> "LiveStudio":
        """Start the server and wait until it answers. hurried: it waits a second for who reads what it is to clean."""
        environment = {**os.environ, "TENTER_DATA_DIR": str(self.folder / "data"), "OMP_NUM_THREADS": "1"}
        environment.pop("DJANGO_SETTINGS_MODULE", None)
        environment.pop("DATABASE_URL", None)
        environment.setdefault("TENTER_PHOTO_PASSPHRASE", _PASSPHRASE)  # a keyring is its owner's, not a study's
        if self.database:
            environment["DATABASE_URL"] = self.database
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-c", _HURRIED * hurried + _SERVE, "--port", str(self.port)],
                env=environment,
                stdout=log,
                stderr=log,
            )
        self._wait_until_open()
        return self

    def _wait_until_open(self) -> None:
        deadline = time.monotonic() + _PATIENCE
        while time.monotonic() < deadline:
            assert self.process is not None
            if self.process.poll() is not None:
                break
            try:
                with urllib.request.urlopen(f"{self.address}/login", timeout=5):
                    return
            except urllib.error.HTTPError:
                return
            except OSError:
                time.sleep(0.05)
        raise RuntimeError(f"the server did not open: {self.log.read_text(errors='replace')[-2000:]}")

    @property
    def is_running(self) -> bool:
        return self.process is not None and self.process.poll() is None

    def kill(self) -> None:
        """End the server by SIGKILL, wherever it is."""
        assert self.process is not None
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def stop(self) -> None:
        if self.process is not None and self.is_running:
            self.process.terminate()
            self.process.wait(timeout=_PATIENCE)


class Visitor:
    """A browser without a window: cookies, forms and their CSRF tokens."""

    def __init__(self, studio: LiveStudio) -> None:
        self.studio = studio
        cookies = urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar())
        self._opener = urllib.request.build_opener(cookies)
        self._token = ""
        self.at = ""  # the address of the last page, after any redirection

    def get(self, path: str) -> tuple[int, str]:
        status, page = self._ask(urllib.request.Request(self.studio.address + path))
        found = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
        self._token = found[1] if found else self._token
        return status, page

    def post(self, path: str, fields: Mapping[str, str], accept: str = "text/html") -> tuple[int, str]:
        """Send a form with the token of the last page that had one."""
        headers = {"X-CSRFToken": self._token, "Origin": self.studio.address, "Accept": accept}
        data = urllib.parse.urlencode(fields).encode()
        return self._ask(urllib.request.Request(self.studio.address + path, data, headers))

    def upload(self, path: str, fields: Mapping[str, str], files: Sequence[tuple[str, bytes]]) -> tuple[int, str]:
        """Send a form with pictures; files: the field and the JPEG of each."""
        line = "--part\r\nContent-Disposition: form-data; name="
        parts = [f'{line}"{name}"\r\n\r\n{value}\r\n'.encode() for name, value in fields.items()]
        for number, (field, content) in enumerate(files):
            head = f'{line}"{field}"; filename="{number}.jpg"\r\nContent-Type: image/jpeg\r\n\r\n'
            parts.append(head.encode() + content + b"\r\n")
        headers = {"X-CSRFToken": self._token, "Origin": self.studio.address}
        headers["Content-Type"] = "multipart/form-data; boundary=part"
        body = b"".join(parts) + b"--part--\r\n"
        return self._ask(urllib.request.Request(self.studio.address + path, body, headers))

    def get_json(self, path: str) -> tuple[int, dict[str, Any]]:
        status, body = self.get(path)
        document: dict[str, Any] = json.loads(body)
        return status, document

    def post_json(self, path: str, fields: Mapping[str, str]) -> tuple[int, dict[str, Any]]:
        status, body = self.post(path, fields, accept="application/json")
        document: dict[str, Any] = json.loads(body)
        return status, document

    def fetch(self, path: str) -> bytes:
        """Return a page or a file as it comes; raises `RuntimeError` where there is none."""
        try:
            with self._opener.open(self.studio.address + path, timeout=_PATIENCE) as answer:
                content: bytes = answer.read()
        except urllib.error.HTTPError as error:
            raise RuntimeError(f"{path} answered {error.code}") from None
        return content

    def _ask(self, request: urllib.request.Request) -> tuple[int, str]:
        try:
            with self._opener.open(request, timeout=_PATIENCE) as answer:
                self.at = answer.url
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as error:
            return error.code, error.read().decode()
        except (OSError, http.client.HTTPException) as error:
            raise Unreachable(str(error)) from None

    def open_studio(self) -> None:
        """Go through the first run, with the demo studio."""
        self.get("/welcome")
        status, page = self.post("/welcome", {"name": OWNER, "password": PASSWORD, "demo": "on"})
        if status != 200:
            raise RuntimeError(f"the first run answered {status}: {page[:400]}")

    def log_in(self) -> None:
        self.get("/login")
        self.post("/login", {"username": OWNER, "password": PASSWORD})

    def start_sitting(self) -> int:
        """Start a sitting of the first client on the first kit and return its number."""
        _, page = self.get("/sittings/new")
        chosen = {name: _first_option(page, name) for name in ("client", "kit", "method")}
        self.post("/sittings/start", chosen)
        found = re.search(r"/sittings/(\d+)", self.at)
        if found is None:
            raise RuntimeError("no sitting was started")
        return int(found[1])


@contextmanager
def demo_in_use() -> Iterator[tuple[LiveStudio, Visitor, str]]:
    """Serve a demo studio of its own; yield it, a visitor in it, and the address of a sitting that goes on."""
    with tempfile.TemporaryDirectory() as data:
        studio = LiveStudio(Path(data)).start()
        try:
            visitor = Visitor(studio)
            visitor.open_studio()
            yield studio, visitor, f"/sittings/{visitor.start_sitting()}"
        finally:
            studio.stop()


def log_in(page: Page, name: str = OWNER, password: str = PASSWORD) -> None:
    """Log a browser's page in, by its own form."""
    page.goto("/login")
    page.fill("input[name=username]", name)
    page.fill("input[name=password]", password)
    page.press("input[name=password]", "Enter")
    page.wait_for_url("**/day")


def _first_option(page: str, name: str) -> str:
    select = re.search(rf'<select name="{name}".*?</select>', page, re.S)
    option = select and re.search(r'value="([^"]+)"', select[0][len("<select") :])
    if not option:
        raise RuntimeError(f"the page offers no {name}")
    return option[1]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port
