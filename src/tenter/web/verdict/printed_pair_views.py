"""Two photographs for the papers of a sitting: chosen, and taken off again."""

from http import HTTPStatus

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from tenter.errors import TenterError
from tenter.web.models import Photograph, PrintedPair, Sitting
from tenter.web.papers import printed_pair
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.verdict.handing_over_views import listed


@require_POST
def choose(request: UserRequest, pk: int) -> HttpResponse:
    """Choose which two photographs the papers show; raises `Http404` for one that is not offered."""
    row = access.own_sitting(request.user, pk)
    if row.revealed_at is None:
        return redirect("verdict", row.pk)
    consents.refuse_if_ended(row.client)
    best, less = _asked_for(request, row)
    try:
        printed_pair.choose(row, best, less, request.user)
    except TenterError as error:
        return listed(request, row, str(error), HTTPStatus.UNPROCESSABLE_ENTITY)
    audit.note(request.user, Action.PAIR_CHOSEN, row)
    messages.success(request, _("Both papers show these two photographs now."))
    return redirect("handed-papers", row.pk)


def _asked_for(request: UserRequest, row: Sitting) -> list[Photograph]:
    """Return the two that were chosen, best first, of those that are offered; or answer 404."""
    able = {str(shot.pk): shot for shot in printed_pair.offered_photographs(row, access.photographs(request.user))}
    asked = [able.get(request.POST.get(name, "")) for name in ("best", "less")]
    found = [shot for shot in asked if shot is not None]
    if len(found) != len(asked):
        raise Http404
    return found


@require_POST
def leave(request: UserRequest, pk: int) -> HttpResponse:
    """Take the photographs off the papers again."""
    row = access.own_sitting(request.user, pk)
    if PrintedPair.objects.filter(sitting=row).delete()[0]:
        audit.note(request.user, Action.PAIR_TAKEN, row)
        messages.success(request, _("The papers show no photographs any more."))
    return redirect("handed-papers", row.pk)
