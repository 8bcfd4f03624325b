"""What is answered when something broke: the machine's trouble in words, or that it is in the error log."""

import sys
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from tenter.web.server import trouble


def answer(request: HttpRequest) -> HttpResponse:
    """Say what broke; asks nothing of the database, which may be what broke."""
    found = trouble.trouble_of(sys.exc_info()[1])
    status = found.status if found else HTTPStatus.INTERNAL_SERVER_ERROR
    if request.headers.get("Accept") == "application/json":
        return JsonResponse({"problem": str(found) if found else _("Something went wrong")}, status=status)
    return HttpResponse(render_to_string("500.html", {"trouble": found}), status=status)
