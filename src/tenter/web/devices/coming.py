"""Whether pictures and labels may come to a person's pages by themselves, so that a page opened before learns of it."""

from django.contrib.auth.models import User
from django.http import JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from tenter.web.devices import door
from tenter.web.devices.listener import LISTENER
from tenter.web.devices.pairing import devices_of
from tenter.web.incoming.offers import incoming_folder_of
from tenter.web.models import DeviceRight
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest

_AGAIN_MS = 10_000  # until a page asks again by itself while a device may come at any time; set by judgement


def labels_come(user: User) -> bool:
    """Whether a device that may scan labels for somebody is connected, and reaches this computer now."""
    may = [right for right in DeviceRight if "device-label" in door.BY_RIGHT[right]]
    devices = devices_of(access.studio_owner(user))
    return bool(LISTENER.host) and devices.filter(user=user, right__in=may).exists()


def pictures_come(user: User) -> bool:
    """Whether photographs may come in by themselves: there is an incoming folder, or a device is connected."""
    return incoming_folder_of(user) is not None or devices_of(access.studio_owner(user)).exists()


@require_GET
@never_cache
def what_may_come(request: UserRequest) -> JsonResponse:
    """Return what may come, and after how many milliseconds to ask again; 0 where the page waits to be turned to."""
    user = request.user
    again = _AGAIN_MS if LISTENER.host else 0
    return JsonResponse({"labels": labels_come(user), "pictures": pictures_come(user), "again": again})
