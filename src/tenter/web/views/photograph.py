"""One photograph: how far it is, what was measured, what is corrected, and its end. Pictures open in memory only."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.errors import TenterError
from tenter.web import (
    access,
    audit,
    measuring,
    one_face,
    phone_page,
    photo_page,
    photo_sweep,
    photo_together,
    pictures,
    queue,
    store,
    tries,
)
from tenter.web.audit import Action
from tenter.web.card_forms import CARDS, figures_of
from tenter.web.correction_forms import CorrectionsForm
from tenter.web.kept_until_forms import AnotherPromiseForm
from tenter.web.measuring import Result
from tenter.web.models import MeasuredFace, Photograph, Sitting
from tenter.web.photo_forms import Purpose
from tenter.web.views import measured

_REFUSED, _CONFLICT = 422, 409
_TOO_LONG = 19  # digits, for a row's number


@require_safe
@never_cache
def photograph(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what was measured, or how far it is."""
    return _show(request, access.photograph(request.user, pk))


def _show(
    request: HttpRequest,
    row: Photograph,
    status: int = 200,
    date_form: AnotherPromiseForm | None = None,
    fault: str = "",
) -> HttpResponse:
    result, problem = measured.outcome(row, measuring.result_of)
    context = {
        **(photo_page.said(result, "whole" in request.GET) if result else {}),
        "photograph": row,
        "result": result,
        "problem": problem,
        "fault": fault,
        "card": CARDS.get(row.chart, row.chart),
        "pointed_at": row.chart in measuring.POINTED_AT,
        "figures": figures_of(row),
        "phones": phone_page.offered(row),
        "read_by": phone_page.read_by(row, result.document) if result else "",
        "date_form": date_form or AnotherPromiseForm(row),
        "may_erase": access.may_erase(request.user, row),
        "for_print": Purpose.PRINTED in row.purposes,
        "for_sheet": Purpose.SHEET in row.purposes,
        "together": photo_together.with_others(row, access.photographs(request.user)) if result else None,
        **_sittings(request, row),
    }
    return render(request, "tenter/photograph.html", context, status=status)


def _sittings(request: HttpRequest, row: Photograph) -> dict[str, Any]:
    """Return the sittings that may be given this face, and those that have it."""
    seen = access.sittings(request.user).filter(client=row.client_id)
    return {"open_sittings": open_sittings(request, row.client_id), "given": one_face.sheets_of([row], seen)}


def open_sittings(request: HttpRequest, client: int) -> list[Sitting]:
    """Return the sittings of a client that the user may give a face to."""
    mine = access.sittings(request.user).filter(client=client, analyst=request.user, ended__isnull=True)
    return [sitting for sitting in mine if not sitting.closed]


def sitting_asked_for(request: HttpRequest) -> Sitting:
    """Return the user's own sitting whose number was sent, or answer 404."""
    number = request.POST.get("sitting", "")
    if not (number.isascii() and number.isdecimal() and len(number) < _TOO_LONG):
        raise Http404
    return access.own_sitting(request.user, int(number))


@require_safe
@never_cache
def state(request: HttpRequest, pk: int) -> JsonResponse:
    """Say how far it is."""
    return measured.progress(access.photograph(request.user, pk))


@require_safe
def picture(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the picture, opened in memory."""
    return measured.whole(access.photograph(request.user, pk))


@require_safe
def small(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a small one, for lists."""
    return measured.small(access.photograph(request.user, pk))


@require_safe
def part(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the part with the head and the card."""
    row = access.photograph(request.user, pk)
    return measured.answer(lambda: photo_page.part_of(pictures.opened(row), measuring.result_of(row)))


# -- corrected, dated, erased ------------------------------------------------------------------------------------------


@require_POST
def again(request: HttpRequest, pk: int) -> HttpResponse:
    """Measure again, with what is to be left out; what was given to a reading before stays there as it is."""
    row = access.photograph(request.user, pk)
    form = CorrectionsForm(request.POST)
    if not form.is_valid():
        return _show(request, row, _REFUSED, fault=form.faults())
    try:
        sealed = tries.sealed_corrections(row.name, form.corrections())
    except TenterError as error:
        return _show(request, row, _CONFLICT, fault=str(error))
    Photograph.objects.filter(pk=row.pk).update(corrections=sealed)
    audit.note(request.user, Action.PHOTOGRAPH_CORRECTED, row)
    queue.put_in_line(row)
    return redirect("photograph", row.pk)


@require_POST
def date(request: HttpRequest, pk: int) -> HttpResponse:
    """Change how long a photograph is kept."""
    row = access.photograph_to_erase(request.user, pk)
    form = AnotherPromiseForm(row, request.POST)
    if not form.is_valid():
        return _show(request, row, _REFUSED, form)
    Photograph.objects.filter(pk=row.pk).update(
        deletes_on=form.cleaned_data["deletes_on"], days_after_end=form.cleaned_data["days_after_end"]
    )
    audit.note(request.user, Action.PHOTOGRAPH_DATED, row)
    return redirect("photograph", row.pk)


@require_POST
def erase(request: HttpRequest, pk: int) -> HttpResponse:
    """Erase a photograph and everything that was measured in it, at once."""
    row = access.photograph_to_erase(request.user, pk)
    client = row.client_id
    photo_sweep.erase([row], request.user)
    messages.success(request, "The photograph is erased.")
    return redirect("photographs", client)


# -- the reading -------------------------------------------------------------------------------------------------------


@require_POST
def use(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the colours of an accepted photograph to a sitting of the same client; no season follows from them."""
    row = access.photograph(request.user, pk)
    sitting = sitting_asked_for(request)
    if sitting.client_id != row.client_id:
        raise Http404
    try:
        result = _to_give(row, sitting)
        store.give_face(sitting, row, result.document, request.user)
    except TenterError as error:
        return _show(request, row, _CONFLICT, fault=str(error))
    audit.note(request.user, Action.FACE_GIVEN, sitting)
    messages.success(request, "The reading sheet speaks of this face now. Its colours decide no season.")
    return redirect("photograph", row.pk)


def _to_give(row: Photograph, sitting: Sitting) -> Result:
    result = None if row.waits else measuring.result_of(row)
    if Purpose.SHEET not in row.purposes:
        raise TenterError("there is no consent to print these colours; ask the client, and take another photograph")
    if sitting.closed:
        raise TenterError("the sitting has ended; open it again to give it a face")
    if result is None or row.state != Photograph.State.DONE:
        raise TenterError("the photograph has not been accepted, so there is no face to give")
    return result


@require_POST
def leave_out(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a measured face out of a sitting again."""
    sitting = access.own_sitting(request.user, pk)
    if MeasuredFace.objects.filter(sitting=sitting).delete()[0]:
        audit.note(request.user, Action.FACE_TAKEN, sitting)
        messages.success(request, "The reading sheet speaks of no measured face any more.")
    return redirect("photographs", sitting.client_id)
