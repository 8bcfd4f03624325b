"""The light's thresholds: the owner changes them or goes back to the defaults, and all in the studio read them."""

from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.light.threshold_terms import THRESHOLD_TERMS
from tenter.light.thresholds import PRACTICE, LightThresholds
from tenter.web.light.threshold_form import ThresholdForm
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import kept_lights


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def thresholds(request: UserRequest) -> HttpResponse:
    """Show what the studio asks of its light, and take other thresholds from its owner; `Http404` from others."""
    owner = access.studio_owner(request.user)
    if request.method == "POST" and not access.owns_studio(request.user):
        raise Http404
    if "defaults" in request.POST:
        return _keep(request, PRACTICE)
    now = kept_lights.thresholds_of(owner)
    form = ThresholdForm(now, request.POST if request.method == "POST" else None)
    if form.is_valid():
        return _keep(request, form.thresholds)
    context = {
        "edits": access.owns_studio(request.user),
        "parts": _parts(form, now),
        "own": bool(now.own),
        "drift": next(term.basis for term in THRESHOLD_TERMS if term.is_drift),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound else HTTPStatus.OK
    return render(request, "light/thresholds.html", context, status=status)


def _keep(request: UserRequest, wanted: LightThresholds) -> HttpResponse:
    with transaction.atomic():
        changed = kept_lights.keep_thresholds(request.user, request.user, wanted)
        if changed:
            note(request.user, Action.LIGHT_THRESHOLDS)
    told = _("The thresholds are kept. Checks from now on use them; earlier checks keep theirs.")
    messages.success(request, told if changed else _("Nothing was changed."))
    return redirect("light-thresholds")


def _parts(form: ThresholdForm, now: LightThresholds) -> list[list[dict[str, Any]]]:
    """Return what is shown of each threshold: those of a check, then those of a change since last time."""
    shown: list[list[dict[str, Any]]] = [[], []]
    for term in THRESHOLD_TERMS:
        shown[term.is_drift].append(
            {
                "field": form[term.name],
                "title": term.title,
                "value": term.said(getattr(now, term.name)),
                "own": term.name in now.own,
            }
        )
    return shown
