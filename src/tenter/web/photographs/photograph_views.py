"""One photograph: how far it is, what was measured, what is corrected, and its end. Pictures open in memory only."""

from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.client.consent import Purpose
from tenter.errors import TenterError
from tenter.web.models import Photograph, Sitting
from tenter.web.papers import photo_together
from tenter.web.photographs import measured_views, one_face, phone_page, photo_page
from tenter.web.photographs.card_forms import CARD_CHOICES, card_within, figures_of
from tenter.web.photographs.correction_forms import CorrectionsForm
from tenter.web.photographs.kept_until_forms import AnotherPromiseForm
from tenter.web.pictures import measuring, pictures, tries
from tenter.web.pictures.measuring import FaceResult
from tenter.web.rules import access, audit, consents, photo_promise
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.row_numbers import row_number
from tenter.web.store import given_face
from tenter.web.sweeping import traces


@require_safe
@never_cache
def photograph(request: UserRequest, pk: int) -> HttpResponse:
    """Show what was measured, or how far it is."""
    return _show(request, access.photograph(request.user, pk))


def _show(
    request: UserRequest,
    row: Photograph,
    status: int = 200,
    date_form: AnotherPromiseForm | None = None,
    fault: str = "",
) -> HttpResponse:
    result, problem = measured_views.outcome(row, measuring.face_result_of)
    context = {
        **(
            photo_page.photo_page_content(result, "whole" in request.GET, request.GET.get("region", ""))
            if result
            else {}
        ),
        "photograph": row,
        "result": result,
        "problem": problem,
        "fault": fault,
        "card": CARD_CHOICES.get(row.chart, row.chart),
        "card_within": card_within(row.chart),
        "pointed_at": row.chart in measuring.POINTED_AT,
        "figures": figures_of(row),
        "phones": phone_page.offered_phones(row),
        "read_by": phone_page.read_by(row, result.face) if result else "",
        "date_form": date_form or AnotherPromiseForm(row),
        "may_erase": access.may_erase(request.user, row),
        "may_drape": row.state == Photograph.State.DONE and row.chart in measuring.WITH_PATCHES,
        "for_sheet": consents.may_use(row, Purpose.SHEET),
        "together": photo_together.with_others(row, access.photographs(request.user)) if result else None,
        **_sittings(request, row),
    }
    return render(request, "photographs/photograph.html", context, status=status)


def _sittings(request: UserRequest, row: Photograph) -> dict[str, Any]:
    """Return the sittings that may be given this face, and those that have it."""
    seen = access.sittings(request.user).filter(client=row.client_id)
    return {"open_sittings": open_sittings(request, row.client_id), "given": one_face.sheets_of([row], seen)}


def open_sittings(request: UserRequest, client: int) -> list[Sitting]:
    """Return the sittings of a client that the user may give a face to."""
    mine = access.sittings(request.user).filter(client=client, analyst=request.user, ended__isnull=True)
    return [sitting for sitting in mine if not sitting.closed]


def sitting_asked_for(request: UserRequest) -> Sitting:
    """Return the user's own sitting whose number was sent; raises `Http404` where there is none."""
    number = row_number(request.POST.get("sitting", ""))
    if number is None:
        raise Http404
    return access.own_sitting(request.user, number)


state = measured_views.state_of(access.photograph)
picture = measured_views.picture_of(access.photograph)
small = measured_views.small_of(access.photograph)
part = measured_views.shown(  # with the head and the card
    access.photograph, lambda row: photo_page.part_of(pictures.opened_picture(row), measuring.face_result_of(row))
)


# -- corrected, dated, erased ------------------------------------------------------------------------------------------


@require_POST
def again(request: UserRequest, pk: int) -> HttpResponse:
    """Measure again, with what is to be left out; what was given to a reading before stays there as it is."""
    row = access.photograph(request.user, pk)
    form = CorrectionsForm(request.POST)
    if not form.is_valid():
        return _show(request, row, HTTPStatus.UNPROCESSABLE_ENTITY, fault=form.faults())
    try:
        sealed = tries.sealed_corrections(row.name, form.corrections())
    except TenterError as error:
        return _show(request, row, HTTPStatus.CONFLICT, fault=str(error))
    measured_views.anew(request, row, corrections=sealed)
    return redirect("photograph", row.pk)


@require_POST
def date(request: UserRequest, pk: int) -> HttpResponse:
    """Change how long a photograph is kept."""
    row = access.to_erase(request.user, access.photograph(request.user, pk))
    form = AnotherPromiseForm(row, request.POST)
    if not form.is_valid():
        return _show(request, row, HTTPStatus.UNPROCESSABLE_ENTITY, form)
    promised = {name: form.cleaned_data[name] for name in ("deletes_on", "days_after_end")}
    promised["deletes_on"] = photo_promise.within_consent(row.client, promised["deletes_on"])
    measured_views.changed(request, row, Action.PHOTOGRAPH_DATED, **promised)
    return redirect("photograph", row.pk)


@require_POST
def erase(request: UserRequest, pk: int) -> HttpResponse:
    """Erase a photograph and everything that was measured in it, at once."""
    row = access.photograph(request.user, pk)
    measured_views.erased(request, row)
    return redirect("photographs", row.client_id)


# -- the reading -------------------------------------------------------------------------------------------------------


@require_POST
def use(request: UserRequest, pk: int) -> HttpResponse:
    """Give the colours of an accepted photograph to a sitting; no season follows from them.

    Raises `Http404` for another client's sitting.
    """
    row = access.photograph(request.user, pk)
    sitting = sitting_asked_for(request)
    if sitting.client_id != row.client_id:
        raise Http404
    try:
        result = _to_give(row, sitting)
        given_face.give_face(sitting, row, result.face, request.user)
    except TenterError as error:
        return _show(request, row, HTTPStatus.CONFLICT, fault=str(error))
    audit.note(request.user, Action.FACE_GIVEN, sitting)
    messages.success(request, _("The reading sheet now uses this face. Its colours decide no season."))
    return redirect("photograph", row.pk)


def _to_give(row: Photograph, sitting: Sitting) -> FaceResult:
    consents.refuse_if_ended(row.client)
    result = None if row.waits else measuring.face_result_of(row)
    consents.require(row.client, Purpose.SHEET)
    if not consents.narrowed(row, Purpose.SHEET):
        raise TenterError(
            _("the client did not agree to the use of this photograph’s colours; choose another photograph")
        )
    if sitting.closed:
        raise TenterError(_("the sitting has ended; open it again to use a face in it"))
    if result is None or row.state != Photograph.State.DONE:
        raise TenterError(_("the photograph has not been accepted, so its face cannot be used"))
    return result


@require_POST
def leave_out(request: UserRequest, pk: int) -> HttpResponse:
    """Take a measured face out of a sitting again."""
    sitting = access.own_sitting(request.user, pk)
    if given_face.take_out(sitting):
        audit.note(request.user, Action.FACE_TAKEN, sitting)
        traces.remove_traces()
        messages.success(request, _("The reading sheet no longer uses a measured face."))
    return redirect("photographs", sitting.client_id)
