"""Second readings: asking for one, and how far two readings agree once both have ended."""

from http import HTTPStatus

from django.contrib import messages
from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Q, QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from tenter.consultation.client.consent import Purpose
from tenter.web.models import Sitting
from tenter.web.papers import sitting_light
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import store, turns
from tenter.web.store.outcomes import DoubleReading, double_reading, named_against_odds, studio_agreement
from tenter.web.studio.forms import SecondForm


@access.for_owner
def second(request: UserRequest, pk: int) -> HttpResponse:
    """Ask somebody to read a client again, blind, on the same kit and by the same method.

    Raises `Http404` for another owner's client, and for a sitting that is a second reading itself.
    """
    first = access.sitting(request.user, pk)
    if first.client.owner_id != request.user.pk or first.blind_to_id is not None:
        raise Http404
    form = SecondForm(request.user, first, request.POST if request.method == "POST" else None)
    lacking = None
    if request.method == "POST" and form.is_valid() and not (lacking := _lacking(first, form.cleaned_data["analyst"])):
        row = _ask(request, first, form.cleaned_data["analyst"])
        asked = _("%(consultant)s has been asked to read %(client)s again without seeing the first reading.")
        messages.success(request, asked % {"consultant": row.analyst.username, "client": row.client})
        return redirect("studio")
    status = HTTPStatus.CONFLICT if lacking else HTTPStatus.OK
    return render(request, "studio/second_form.html", {"form": form, "first": first, "lacking": lacking}, status=status)


def _lacking(first: Sitting, analyst: User) -> consents.ConsentMissing | None:
    """Return which consent is missing for a second reading: to be read, and by somebody else than the owner."""
    others = () if analyst.pk == first.client.owner_id else (Purpose.ASSOCIATES,)
    return consents.lacking(first.client, Purpose.ANALYSIS, *others)


@transaction.atomic
def _ask(request: UserRequest, first: Sitting, analyst: User) -> Sitting:
    access.let_in(analyst, first.client)
    row = store.start_sitting(first.client, analyst, first.kit, first.own_method or first.method, blind_to=first)
    audit.note(request.user, Action.SECOND_ASKED, row)
    return row


@require_http_methods(["GET", "HEAD", "POST"])
def agreement(request: UserRequest, pk: int) -> HttpResponse:
    """Show how a sitting compares with those that read the same client apart from it, or have the two compared."""
    waiting = access.to_compare(request.user).filter(Q(pk=pk) | Q(blind_to=pk))
    if request.method == "POST":
        return _compare(request, pk, waiting)
    first = waiting.first()
    if first is not None:  # the other reading is hidden as yet, whichever of the two the address names
        return render(request, "studio/agreement_waits.html", {"client": first.client, "number": pk})
    row = access.sitting(request.user, pk)
    readings = access.double_readings(request.user)
    found = readings.filter(pk=row.pk) | readings.filter(blind_to=row)
    pairs = [(sitting, double_reading(sitting), _lights(sitting)) for sitting in found]
    return render(request, "studio/agreement.html", {"sitting": row, "pairs": pairs})


def _lights(second: Sitting) -> str:
    return sitting_light.two_lights(second.blind_to, second) if second.blind_to else ""


def _compare(request: UserRequest, pk: int, waiting: QuerySet[Sitting]) -> HttpResponse:
    found = list(waiting)
    if not found:
        access.sitting(request.user, pk)
    for row in found:
        turns.lay_side_by_side(row, request.user)
    return redirect("agreement", pk)


@access.for_owner
def studio_wide(request: UserRequest) -> HttpResponse:
    """Show how far the studio's analysts agree, over all double readings."""
    found = access.double_readings(request.user).filter(client__owner=request.user)
    pairs = [(row, double_reading(row)) for row in found]
    whole = studio_agreement(pair for _row, pair in pairs if isinstance(pair, DoubleReading))
    read = access.sittings(request.user).filter(client__owner=request.user).exclude(revealed_at=None)
    context = {"pairs": pairs, "whole": whole, "named": named_against_odds(read)}
    return render(request, "studio/studio_agreement.html", context)
