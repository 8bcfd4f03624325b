"""The page of what was looked for; a thing found alone is opened at once."""

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from tenter.web.rules.logged_in import UserRequest
from tenter.web.search.found import find

_LONGEST = 100  # characters looked for


@require_safe
def search(request: UserRequest) -> HttpResponse:
    """Show what holds the words of `q`."""
    asked = " ".join(request.GET.get("q", "").split())[:_LONGEST]
    found = find(request.user, asked)
    if asked and found.only:
        return redirect(found.only.link)
    return render(request, "search/search.html", {"asked": asked, "found": found})
