"""What every page is given: the pages of the bar, and which of them this one belongs to."""

from django.http import HttpRequest

NAV = (("day", "Day"), ("people", "People"), ("kits", "Kit"), ("sittings", "Sittings"))
# A page belongs to the first of these that its address begins with.
_ROOMS = (("/people", "people"), ("/kit", "kits"), ("/sittings", "sittings"), ("/day", "day"))


def navigation(request: HttpRequest) -> dict[str, object]:
    """Return the bar's pages and the one that is open."""
    return {"nav": NAV, "here": next((name for start, name in _ROOMS if request.path.startswith(start)), "")}
