"""What every page is given: the pages of the bar, and which of them this one belongs to."""

from django.contrib.auth.models import AnonymousUser, User
from django.http import HttpRequest
from django.utils import timezone
from django.utils.functional import SimpleLazyObject
from django.utils.translation import gettext_lazy, pgettext_lazy

from tenter.language import language
from tenter.web.day import todays
from tenter.web.devices import door
from tenter.web.devices.coming import labels_come, pictures_come
from tenter.web.models import Sitting
from tenter.web.rules import access
from tenter.web.rules.sandbox_user import is_sandbox
from tenter.web.server import believed_clock
from tenter.web.sweeping import photo_sweep

NAV = (
    ("day", pgettext_lazy("a page of the bar", "Day")),
    ("people", gettext_lazy("People")),
    ("kits", gettext_lazy("Kit")),
    ("sittings", gettext_lazy("Sittings")),
)
# A page belongs to the first of these that its address begins with.
_ROOMS = (
    ("/people", "people"),
    ("/photographs", "people"),
    ("/phones", "people"),
    ("/kit", "kits"),
    ("/readings", "kits"),
    ("/light", "day"),
    ("/sittings", "sittings"),
    ("/day", "day"),
    ("/appointments", "day"),
    ("/studio", "studio"),
    ("/stock", "studio"),
)


def navigation(request: HttpRequest) -> dict[str, object]:
    """Return the bar's pages and the one that is open, and the connected device that asks, if it is one."""
    user = getattr(request, "user", None)
    owner = user is not None and user.is_authenticated and access.owns_studio(user)
    nav = (*NAV, ("studio", gettext_lazy("Studio"))) if owner else NAV
    name = SimpleLazyObject(lambda: _name_for(user))
    return {
        "studio_name": name,
        "open_sittings": SimpleLazyObject(lambda: _open_elsewhere(request)),
        "device": door.device_of(request),
        "pictures_come": SimpleLazyObject(lambda: isinstance(user, User) and pictures_come(user)),
        "labels_come": SimpleLazyObject(lambda: isinstance(user, User) and labels_come(user)),
        "doubtful_date": SimpleLazyObject(lambda: _doubtful_date(user)),
        "nav": nav,
        "sandbox": is_sandbox(user),
        "written": language(),
        "here": next((name for start, name in _ROOMS if request.path.startswith(start)), ""),
    }


def _open_elsewhere(request: HttpRequest) -> list[Sitting]:
    """Return today's sittings of a user that go on, without the one whose page this is; the day has them anyway."""
    here = request.path
    if here.startswith(("/day", "/screen")) or not isinstance(request.user, User):
        return []
    rows = todays.open_sittings(request.user)
    today = timezone.localdate()
    begun_today = (row for row in rows if timezone.localdate(row.started) == today)
    return [row for row in begun_today if not here.startswith(f"/sittings/{row.pk}/")]


def _doubtful_date(user: User | AnonymousUser | None) -> dict[str, object]:
    """Return what whoever opened the studio is to be asked about the machine's date; nothing while it is believed."""
    doubt = believed_clock.doubt() if user is not None and user.is_authenticated and user.is_superuser else None
    if doubt is None:
        return {}
    return {"doubt": doubt, "due": len(photo_sweep.due_photographs())}


def _name_for(user: User | AnonymousUser | None) -> str:
    """Return what the studio of whoever is logged in is called; asked for by the pages that show it."""
    return access.studio_name(access.studio_owner(user)) if user is not None and user.is_authenticated else ""
