"""What every page is given: the pages of the bar, and which of them this one belongs to."""

from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from tenter.web import access

NAV = (("day", "Day"), ("people", "People"), ("kits", "Kit"), ("sittings", "Sittings"))
# A page belongs to the first of these that its address begins with.
_ROOMS = (
    ("/people", "people"),
    ("/photographs", "people"),
    ("/phones", "people"),
    ("/kit", "kits"),
    ("/sittings", "sittings"),
    ("/day", "day"),
    ("/studio", "studio"),
    ("/stock", "studio"),
)


def navigation(request: HttpRequest) -> dict[str, object]:
    """Return the bar's pages and the one that is open."""
    user = getattr(request, "user", None)
    owner = user is not None and user.is_authenticated and access.owns_studio(user)
    nav = (*NAV, ("studio", "Studio")) if owner else NAV
    name = SimpleLazyObject(lambda: _name_for(user))
    return {
        "studio_name": name,
        "nav": nav,
        "here": next((name for start, name in _ROOMS if request.path.startswith(start)), ""),
    }


def _name_for(user: Any) -> str:
    """Return what the studio of whoever is logged in is called; asked for by the pages that show it."""
    return access.studio_name(access.studio_owner(user)) if user is not None and user.is_authenticated else ""
