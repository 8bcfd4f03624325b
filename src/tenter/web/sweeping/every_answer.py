"""What holds for every request and every answer: no NUL byte comes in, and nothing of anybody stays in a cache."""

from collections.abc import Iterable
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse, QueryDict
from django.http.response import HttpResponseBase
from django.utils.deprecation import MiddlewareMixin

from tenter.web.sweeping import kept_memory

_NUL = "\0"
# What no page of ours uses: Permissions Policy, W3C. A form's camera is the system's own, and asks by itself.
_PERMISSIONS = ", ".join(
    f"{feature}=()"
    for feature in (
        "accelerometer",
        "autoplay",
        "camera",
        "display-capture",
        "encrypted-media",
        "geolocation",
        "gyroscope",
        "hid",
        "magnetometer",
        "microphone",
        "midi",
        "payment",
        "publickey-credentials-get",
        "serial",
        "usb",
        "xr-spatial-tracking",
    )
)


class EveryAnswer(MiddlewareMixin):
    """Refuses what no form of ours sends, and tells browsers what they may keep and use."""

    def process_request(self, request: HttpRequest) -> HttpResponse | None:
        """Refuse an address or a cookie in which a NUL byte is hidden: databases differ in what they do with one.

        What another server has erased is let go of here first.
        """
        kept_memory.follow()
        return _refused((request.path, *request.COOKIES.values(), *_values(request.GET)))

    def process_view(self, request: HttpRequest, *_: object) -> HttpResponse | None:
        """Refuse a form in which one is hidden."""
        return _refused(_values(request.POST))

    def process_response(self, _request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
        """Let no cache keep a page: it may hold a name, a note or a face."""
        response.setdefault("Cache-Control", "no-store")
        if "no-store" not in response["Cache-Control"]:
            response["Cache-Control"] += ", no-store"
        response["Permissions-Policy"] = _PERMISSIONS
        return response


def _values(sent: QueryDict) -> list[str]:
    return [text for name, values in sent.lists() for text in (name, *values)]


def _refused(sent: Iterable[str]) -> HttpResponse | None:
    if any(_NUL in text for text in sent):
        return HttpResponse(
            "A NUL byte was sent, which no page asks for.", content_type="text/plain", status=HTTPStatus.BAD_REQUEST
        )
    return None
