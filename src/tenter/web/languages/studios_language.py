"""Every answer is written in the language of the studio whose page it is: screens and papers alike."""

from asyncio import iscoroutinefunction
from collections.abc import Awaitable, Callable

from asgiref.sync import markcoroutinefunction, sync_to_async
from django.conf import settings
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils import translation

from tenter.web.devices import door
from tenter.web.models import StudioName
from tenter.web.rules import access
from tenter.web.rules.client_language import studio_language
from tenter.web.server.in_language import in_language


class InStudiosLanguage:
    """Chooses the language for as long as a view works; one who is not logged in is spoken to as the owner is."""

    sync_capable = async_capable = True

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase | Awaitable[HttpResponseBase]]) -> None:
        self._get_response = get_response
        if iscoroutinefunction(get_response):
            markcoroutinefunction(self)

    def __call__(self, request: HttpRequest) -> HttpResponseBase | Awaitable[HttpResponseBase]:
        """Answer in the language, here or when awaited."""
        if iscoroutinefunction(self._get_response):
            return self._awaited(request)
        with in_language(language_of(request)):
            return self._get_response(request)

    async def _awaited(self, request: HttpRequest) -> HttpResponseBase:
        with in_language(await sync_to_async(language_of)(request)):
            answer: HttpResponseBase = await self._get_response(request)  # type: ignore[misc]  # a coroutine here
            return answer


def language_of(request: HttpRequest) -> str:
    """Return the language of the studio that a request is for; before there is one, what its browser prefers."""
    device = door.device_of(request)
    user = device.user if device else getattr(request, "user", None)
    if user is not None and user.is_authenticated:
        return studio_language(access.studio_owner(user))
    said = StudioName.objects.filter(owner__is_superuser=True).values_list("language", flat=True).first()
    return said or translation.get_language_from_request(request) or settings.LANGUAGE_CODE
