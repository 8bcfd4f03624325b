"""What the room's network may reach: a few addresses by the right of each device, and of everything else not a trace.

The listener on the network marks every request that comes in through it, in the part of the request that no sender
writes (the ASGI scope). What is so marked passes here before anything else looks at it: a wrong host or origin, an
unknown address, a device that is not connected or has no such right are all answered alike. What is not marked comes
from this machine's own listener, where the devices' addresses do not exist.
"""

from collections.abc import AsyncIterator, Callable, Mapping
from http import HTTPStatus
from typing import Any, Final, cast

from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.urls import Resolver404, resolve
from django.utils import timezone
from django.utils.deprecation import MiddlewareMixin

from tenter.web.devices import pairing
from tenter.web.models import DeviceRight, PairedDevice, Sitting
from tenter.web.store import screen_link

MARK: Final = "tenter.network"  # of the scope: the address and port of the listener that a request came in through
OF_DEVICE: Final = "tenter.of_device"  # of the scope: that a connected device was let in
COOKIE: Final = "__Host-tenter_device"  # RFC 6265bis, 4.1.3.2: a browser takes it over TLS alone, for this host alone
COOKIE_SECONDS: Final = int(pairing.UNUSED_ENDS.total_seconds())
TO_ALL: Final = frozenset({"pair", "device-certificate"})  # names of addresses that need no connected device
_TO_ANY_DEVICE = frozenset({"device"})
_OF_BENCH = ("bench", "bench-entry", "bench-state", "bench-ahead", "bench-events")
BY_RIGHT: Final[Mapping[str, frozenset[str]]] = {
    DeviceRight.CAMERA: frozenset({"device-camera", "device-label", "device-state"}),
    DeviceRight.BENCH: frozenset({*_OF_BENCH, "device-label", "device-state"}),
    DeviceRight.SCREEN: frozenset({"client-screen", "client-events", "device-state"}),
}
# On this machine they do not exist.
_OWN_ALONE = TO_ALL | _TO_ANY_DEVICE | {"device-camera", "device-label", "device-state"}
MOST_SITTINGS: Final = 6  # in progress, that a camera chooses among; set by judgement
_STATIC = f"{settings.STATIC_URL}tenter/"
_READING = frozenset({"GET", "HEAD"})
_MOST_OF_GUEST = 2000  # bytes of the one form that a guest sends, a device's name: too few for a thousand fields
_DEVICE, _NETWORK = "connected_device", "came_by_network"  # what a request is marked by here


def device_of(request: HttpRequest) -> PairedDevice | None:
    """Return the connected device that a request comes from; None for this machine's own browser."""
    found: PairedDevice | None = getattr(request, _DEVICE, None)
    return found


def connected(request: HttpRequest) -> PairedDevice:
    """Return the connected device that a request comes from; raises `Http404` for none."""
    found = device_of(request)
    if found is None:
        raise Http404
    return found


def network_host(request: HttpRequest) -> str:
    """Return the address and port of the network's listener that a request came in through; nothing for our own."""
    scope: Mapping[str, Any] = getattr(request, "scope", {})
    return str(scope.get(MARK, ""))


class NetworkDoor(MiddlewareMixin):
    """Lets through what a device may reach, and stands first of all, so that nothing is done for anybody else."""

    def process_request(self, request: HttpRequest) -> HttpResponse | None:
        """Answer 404 to whatever may not come in; take away every cookie by which a person is logged in."""
        host, name = network_host(request), _name_of(request)
        if not host:
            return _nothing_here() if name in _OWN_ALONE else None
        if not _speaks_to(request, host) or not _may_come_in(request, name):
            return _nothing_here()
        request.COOKIES.pop(settings.SESSION_COOKIE_NAME, None)
        # The host was held against the listener's own above: no list of names has to know it.
        request.get_host = lambda: host  # type: ignore[method-assign]
        setattr(request, _NETWORK, True)
        return None

    def process_view(self, request: HttpRequest, *_: object) -> None:
        """Let a view see the person whom the device works for, and nobody where no device is needed."""
        if network_host(request):
            device = device_of(request)
            request.user = device.user if device else AnonymousUser()

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
        """Let no cookie travel but over TLS, and stop what is being sent when its device is disconnected."""
        if not network_host(request):
            return response
        for cookie in response.cookies.values():
            cookie["secure"], cookie["samesite"] = True, "Strict"
        device = device_of(request)
        if device is None and _is_nothing(_name_of(request), response.status_code):
            return _nothing_here()
        if device is not None and isinstance(response, StreamingHttpResponse) and response.is_async:
            content = cast("AsyncIterator[bytes]", response.streaming_content)
            response.streaming_content = _while_connected(content, device.pk)
        return response


def _name_of(request: HttpRequest) -> str:
    try:
        return resolve(request.path_info).url_name or ""
    except Resolver404:
        return ""


def _speaks_to(request: HttpRequest, host: str) -> bool:
    """Whether a request is meant for the listener that it came to, by TLS, and comes from a page of ours."""
    own = f"https://{host}"
    origin = request.headers.get("Origin")
    from_us = origin == own if request.method not in _READING else origin in (None, own)
    return request.scheme == "https" and request.headers.get("Host") == host and from_us


def _may_come_in(request: HttpRequest, name: str) -> bool:
    if request.path_info.startswith(_STATIC) and request.method in _READING:
        return True  # style sheets and scripts, the same in every copy of the program
    if name in TO_ALL:
        return request.method in _READING or _is_a_name(request)
    device = pairing.device_of_secret(request.COOKIES.get(COOKIE, "")) if name else None
    if device is None or name not in BY_RIGHT[device.right] | _TO_ANY_DEVICE:
        return False
    setattr(request, _DEVICE, device)
    request.scope[OF_DEVICE] = True  # type: ignore[attr-defined]
    return _ROW_OF.get(name, _any_row)(request, device)


def _is_a_name(request: HttpRequest) -> bool:
    """Whether what a guest sends may be the form of a device's name; anything else would only fill the error log."""
    length = request.headers.get("Content-Length", "")
    in_utf_8 = (request.content_params or {}).get("charset", "utf-8").lower() == "utf-8"
    plain = request.content_type == "application/x-www-form-urlencoded" and in_utf_8
    return plain and length.isdecimal() and int(length) <= _MOST_OF_GUEST


def _is_nothing(name: str, status: int) -> bool:
    """Whether an answer to a guest says no more than that there is nothing: a wrong code has a page of its own."""
    return status == HTTPStatus.BAD_REQUEST or (status == HTTPStatus.NOT_FOUND and name != "pair")


def _any_row(_request: HttpRequest, _device: PairedDevice) -> bool:
    return True


def _sitting_in_progress(request: HttpRequest, device: PairedDevice) -> bool:
    pk = resolve(request.path_info).kwargs["pk"]
    return in_progress(device).filter(pk=pk).exists()


def _screen_of_theirs(request: HttpRequest, device: PairedDevice) -> bool:
    token = screen_link.token_in(resolve(request.path_info).kwargs["token"])
    return shown_now(device).filter(token=token).exists()


_ROW_OF: Mapping[str, Callable[[HttpRequest, PairedDevice], bool]] = {
    **dict.fromkeys(_OF_BENCH, _sitting_in_progress),
    **dict.fromkeys(("client-screen", "client-events"), _screen_of_theirs),
}


def in_progress(device: PairedDevice) -> QuerySet[Sitting]:
    """Return the sittings in progress of whom a device works for, the latest first."""
    return Sitting.objects.filter(analyst=device.user, ended=None).select_related("client").order_by("-started", "-pk")


def shown_now(device: PairedDevice) -> QuerySet[Sitting]:
    """Return the sitting that a client's screen shows: the latest, in progress or ended a little while ago."""
    latest = Sitting.objects.filter(analyst=device.user).order_by("-started", "-pk").first()
    if latest is None or (latest.closed and timezone.now() > latest.closed + screen_link.STAYS):
        return Sitting.objects.none()
    return Sitting.objects.filter(pk=latest.pk)


def _nothing_here() -> HttpResponse:
    answer = HttpResponse("There is nothing here.\n", content_type="text/plain", status=HTTPStatus.NOT_FOUND)
    answer["Cache-Control"] = "no-store"
    return answer


async def _while_connected(content: AsyncIterator[bytes], device: int) -> AsyncIterator[bytes]:
    async for part in content:
        if not await pairing.is_connected(device):
            return
        yield part
