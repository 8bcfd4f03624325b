"""How large a request's body may be: known before any of it is kept.

Whoever is not logged in sends forms and nothing more. A larger body is read to its end and thrown away, so that the
browser shows the answer and not a broken connection.
"""

from collections.abc import Awaitable, Callable, MutableMapping
from http import HTTPStatus
from typing import Any

from django.utils.translation import gettext as _

from tenter.web.pictures.pictures import LARGEST_UPLOAD

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
Application = Callable[[Scope, Receive, Send], Awaitable[None]]

FORM = 1_000_000  # bytes of a form besides its file
LARGEST_BACKUP = 2_000_000_000  # bytes through a page; by command a backup may be of any size
_RESTORES = "/studio/restore"


class _TooLarge(Exception):
    """More came than the browser may send there; whether there is yet more to come."""

    def __init__(self, more: bool) -> None:
        super().__init__()
        self.more = more


def limited(application: Application, most_of: Callable[[Scope], int]) -> Application:
    """Return an application that never sees a body larger than its sender and its address allow.

    most_of: how many bytes a request may send.
    """

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return await application(scope, receive, send)
        most = most_of(scope)
        try:
            if _declared(scope) > most:
                raise _TooLarge(more=True)
            return await application(scope, _counting(receive, most), send)
        except _TooLarge as found:
            if found.more:
                await _throw_away(receive)
            await _refuse(send, most)

    return answer


def largest_body(scope: Scope, session_cookie: str) -> int:
    """Return how many bytes a request may send."""
    if session_cookie not in _header(scope, b"cookie"):
        return FORM
    return FORM + (LARGEST_BACKUP if scope["path"] == _RESTORES else LARGEST_UPLOAD)


def _header(scope: Scope, name: bytes) -> str:
    return ";".join(value.decode("latin-1") for key, value in scope["headers"] if key == name)


def _declared(scope: Scope) -> int:
    said = _header(scope, b"content-length")
    return int(said) if said.isdecimal() else 0


def _counting(receive: Receive, most: int) -> Receive:
    """Return the messages of a body as they come, until there is too much of it, whatever the browser has declared."""
    count = 0

    async def counted() -> MutableMapping[str, Any]:
        nonlocal count
        message = await receive()
        count += len(message.get("body", b""))
        if count > most:
            raise _TooLarge(message.get("more_body", False))
        return message

    return counted


async def _throw_away(receive: Receive) -> None:
    while (await receive()).get("more_body"):
        pass


async def _refuse(send: Send, most: int) -> None:
    said = _(
        "What you sent is larger than %(size)s MB, the most that this page accepts. Nothing was kept. Go back and send "
        "a smaller file."
    )
    text = said % {"size": most // 1_000_000}
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"cache-control", b"no-store")]
    await send({"type": "http.response.start", "status": HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "headers": headers})
    await send({"type": "http.response.body", "body": text.encode()})
