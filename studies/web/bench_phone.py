"""A phone of the studio's own, connected over TLS: how soon a photograph of it is on the laptop, and measured there.

`./run bench phone`. The machine needs an address in a network; it speaks to itself there, and nothing leaves it. Each
time is from the start of the upload, over TLS that is checked against the studio's own authority.
"""

import argparse
import http.client
import re
import ssl
import statistics
import sys
import tempfile
import time
from pathlib import Path
from urllib.parse import urlencode

from studies.clients.targets import at_most
from studies.web.live_studio import LiveStudio, Visitor

PORTRAIT = Path(__file__).parents[2] / "tests/data/rendered_portraits/p1a.jpg"
_EVERY = 0.05  # seconds between two looks
_PATIENCE = 60.0  # seconds
_LISTED, _MEASURED = 3.0, 6.0  # seconds


class Phone:
    """A browser on the network: its cookies, and the token of the last page."""

    def __init__(self, host: str, certificate: bytes) -> None:
        self.host = host
        self.context = ssl.create_default_context(cadata=certificate)
        self.cookies: dict[str, str] = {}
        self.token = ""

    def ask(self, method: str, path: str, body: bytes = b"", kind: str = "") -> tuple[int, str, str]:
        """Return the status, the place that is led to, and the page."""
        address, port = self.host.split(":")
        line = http.client.HTTPSConnection(address, int(port), context=self.context, timeout=_PATIENCE)
        cookies = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        headers = {"Origin": f"https://{self.host}", "X-CSRFToken": self.cookies.get("tenter_csrf", "")}
        line.request(method, path, body or None, {**headers, "Cookie": cookies, "Content-Type": kind or "text/plain"})
        answer = line.getresponse()
        page = answer.read().decode()
        for said in answer.msg.get_all("Set-Cookie") or []:
            name, _, value = said.partition(";")[0].partition("=")
            self.cookies[name] = value
        line.close()
        return answer.status, answer.getheader("Location") or "", page

    def connect(self, code: str) -> None:
        """Connect by a code's address."""
        self.ask("GET", code)
        form = urlencode({"name": "phone"}).encode()
        status, _, page = self.ask("POST", code, form, "application/x-www-form-urlencoded")
        if status != 302:
            raise RuntimeError(f"not connected: {status} {page[:200]}")

    def shoot(self, picture: bytes) -> tuple[float, str]:
        """Send a photograph; return when it was sent, in seconds of the clock, and where its page is."""
        _, _, page = self.ask("GET", "/device/camera")
        found = re.search(r'name="of" value="(\d+)"', page)
        if found is None:
            raise RuntimeError("the camera's page offers no sitting")
        fields = {"of": found[1], "chart": "classic24", "values": "mean-of-30"}
        parts = [
            f'--b\r\nContent-Disposition: form-data; name="{n}"\r\n\r\n{v}\r\n'.encode() for n, v in fields.items()
        ]
        head = b'--b\r\nContent-Disposition: form-data; name="picture"; filename="x.jpg"\r\n'
        body = b"".join([*parts, head, b"Content-Type: image/jpeg\r\n\r\n", picture, b"\r\n--b--\r\n"])
        started = time.monotonic()
        status, place, page = self.ask("POST", "/device/camera", body, "multipart/form-data; boundary=b")
        if status != 302:
            raise RuntimeError(f"not taken in: {status} {page[:400]}")
        return started, place


def measured(photographs: int) -> dict[str, list[float]]:
    """Return the seconds, from the start of the upload, until a photograph is listed, judged, and measured."""
    found: dict[str, list[float]] = {"listed": [], "judged": [], "measured": []}
    with tempfile.TemporaryDirectory() as folder:
        studio = LiveStudio(Path(folder)).start()
        try:
            laptop = Visitor(studio)
            laptop.open_studio()
            client = _client_in_a_sitting(laptop)
            phone = _phone(laptop)
            for _ in range(photographs):
                _one(laptop, phone, client, found)
        finally:
            studio.stop()
    return found


def _client_in_a_sitting(laptop: Visitor) -> str:
    _, page = laptop.get(f"/sittings/{laptop.start_sitting()}")
    found = re.search(r"/people/(\d+)", page)
    if found is None:
        raise RuntimeError("the sitting's page leads to no client")
    return found[1]


def _phone(laptop: Visitor) -> Phone:
    _, page = laptop.get("/studio/devices")
    address = re.search(r'<option value="([\d.]+)"', page)
    if address is None:
        raise RuntimeError("this machine has no address in a room's network")
    _, page = laptop.post("/studio/devices/on", {"address": address[1]})
    host = re.search(r'class="address">([\d.:]+)<', page)
    user = re.search(r'<select name="user".*?value="(\d+)"', page, re.S)
    if host is None or user is None:
        raise RuntimeError(f"not switched on: {page[:2000]}")
    certificate = laptop.fetch("/studio/devices/certificate")
    _, page = laptop.post("/studio/devices/code", {"right": "camera", "user": user[1]})
    code = re.search(r"https://[\d.:]+(/pair/[\w-]+)", page)
    if code is None:
        raise RuntimeError("no code was shown")
    phone = Phone(host[1], certificate)
    phone.connect(code[1])
    return phone


def _one(laptop: Visitor, phone: Phone, client: str, found: dict[str, list[float]]) -> None:
    address = f"/people/{client}/photographs"
    before = laptop.get_json(f"{address}/latest")[1]["version"]
    started, place = phone.shoot(PORTRAIT.read_bytes())
    number = re.search(r"shot=(\d+)", place)
    deadline = started + _PATIENCE
    while laptop.get_json(f"{address}/latest")[1]["version"] == before and time.monotonic() < deadline:
        time.sleep(_EVERY)
    found["listed"].append(time.monotonic() - started)
    _, _, page = phone.ask("GET", place)
    if "Good: card whole" not in page:
        raise RuntimeError(f"the phone said something else: {page[-1500:]}")
    found["judged"].append(time.monotonic() - started)
    while laptop.get_json(f"/photographs/{number[1] if number else 0}/state")[1]["waits"]:
        time.sleep(_EVERY)
    found["measured"].append(time.monotonic() - started)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--photographs", type=int, default=5)
    found = measured(parser.parse_args().photographs)
    for what, seconds in found.items():
        print(f"{what}: median {statistics.median(seconds):.2f} s, longest {max(seconds):.2f} s, n = {len(seconds)}")
    targets = [
        at_most("on the laptop, longest", max(found["listed"]), _LISTED, "s"),
        at_most("measured, median", statistics.median(found["measured"]), _MEASURED, "s"),
    ]
    for target in targets:
        print(target)
    sys.exit(not all(target.passes for target in targets))


if __name__ == "__main__":
    main()
