"""A device on the room's network, or a guest there: requests as the network's listener hands them on."""

import json
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import urlencode

from asgiref.sync import async_to_sync
from django.test.client import AsyncClientHandler, FakePayload, encode_multipart

from tenter.web.devices import door, pairing
from tenter.web.models import DeviceRight

HOST = "192.168.1.5:8443"
ORIGIN = f"https://{HOST}"
_BOUNDARY = "a-boundary"


class OnNetwork:
    """Asks as a browser does that came in by the network's listener, and keeps its cookies."""

    def __init__(self, address: str = "192.168.1.77") -> None:
        self.address = address
        self.cookies: SimpleCookie = SimpleCookie()
        self._handler = AsyncClientHandler(enforce_csrf_checks=True)

    def get(self, path: str, **headers: str) -> Any:
        return self.ask("GET", path, **headers)

    def post(self, path: str, fields: dict[str, Any] | None = None, **headers: str) -> Any:
        """Send a form as a page of ours does: with its origin and its token."""
        told = {"Origin": ORIGIN, "X-CSRFToken": self._cookie("tenter_csrf")} | headers
        files = any(hasattr(value, "read") for value in (fields or {}).values())
        body = encode_multipart(_BOUNDARY, fields or {}) if files else urlencode(fields or {}).encode()
        kind = f"multipart/form-data; boundary={_BOUNDARY}" if files else "application/x-www-form-urlencoded"
        return self.ask("POST", path, body, **{"Content-Type": kind, "Content-Length": str(len(body))} | told)

    def ask(self, method: str, path: str, body: bytes = b"", scheme: str = "https", **headers: str) -> Any:
        told = {"Host": HOST} | headers
        if self.cookies and "Cookie" not in told:
            told["Cookie"] = "; ".join(f"{name}={one.value}" for name, one in self.cookies.items())
        where, _, query = path.partition("?")
        scope = {
            "type": "http",
            "http_version": "1.1",
            "method": method,
            "scheme": scheme,
            "path": where,
            "raw_path": where.encode(),
            "query_string": query.encode(),
            "client": [self.address, 40000],
            "server": [HOST.partition(":")[0], 8443],
            "headers": [(name.lower().encode(), value.encode()) for name, value in told.items() if value],
            "_body_file": FakePayload(body),
            door.MARK: HOST,
        }
        answer = async_to_sync(self._handler)(scope)
        self.cookies.update(answer.cookies)
        answer.scope = scope
        answer.json = lambda: json.loads(answer.content)
        return answer

    def _cookie(self, name: str) -> str:
        return self.cookies[name].value if name in self.cookies else ""


def code_for(owner: Any, right: str = DeviceRight.CAMERA, user: Any = None) -> str:
    return pairing.new_code(owner, user or owner, right)


def connected(owner: Any, right: str = DeviceRight.CAMERA, user: Any = None) -> OnNetwork:
    """Return a browser that was connected through its own pages."""
    code, phone = code_for(owner, right, user), OnNetwork()
    assert phone.get(f"/pair/{code}").status_code == 200
    answer = phone.post(f"/pair/{code}", {"name": "blue phone"})
    assert (answer.status_code, answer["Location"]) == (302, "/device")
    return phone
