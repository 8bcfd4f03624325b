"""Tenter stopped from its own page."""

import threading

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST

from tenter.web.rules import audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.start.ending import end_this_process

_UNTIL_IT_IS_SHOWN = 1.0  # seconds for the last page and its style to arrive; set by judgement


@require_POST
def stop(request: UserRequest) -> HttpResponse:
    """Stop the server once its last page is shown; to whoever opened the studio here, and `Http404` to others."""
    if not request.user.is_superuser:
        raise Http404
    audit.note(request.user, Action.TENTER_STOPPED)
    soon = threading.Timer(_UNTIL_IT_IS_SHOWN, end_this_process)
    soon.daemon = True
    soon.start()
    return render(request, "start/stopped.html")
