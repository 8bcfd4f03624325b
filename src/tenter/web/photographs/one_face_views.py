"""Photographs of one client measured together: what they say, and given to a sitting."""

from http import HTTPStatus

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.client.consent import Purpose
from tenter.errors import TenterError
from tenter.photo.reasons import OF_SEVERAL
from tenter.report.pictures.face_picture import colours_and_facts
from tenter.web.models import Client, Photograph
from tenter.web.papers import photo_together
from tenter.web.photographs import one_face, photo_page
from tenter.web.photographs.photograph_views import open_sittings, sitting_asked_for
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import given_face


@require_safe
@never_cache
def together(request: UserRequest, pk: int) -> HttpResponse:
    """Show what photographs of a client say together."""
    client = access.client(request.user, pk)
    consents.refuse_if_ended(client)
    rows = _chosen(request, client, request.GET.getlist("photograph"))
    if len(rows) < one_face.FEWEST_OF_ONE_FACE:
        messages.error(request, _("Choose two photographs or more to measure them together."))
        return redirect("photographs", client.pk)
    return _show(request, client, rows)


def _chosen(request: UserRequest, client: Client, asked: list[str]) -> list[Photograph]:
    """Return those of a client's photographs that were chosen and may be measured together."""
    seen = photo_together.numbered(access.photographs(request.user).filter(client=client))
    return [row for row in one_face.offer(seen).able if str(row.pk) in asked]


def _show(
    request: UserRequest, client: Client, rows: list[Photograph], status: int = 200, fault: str = ""
) -> HttpResponse:
    found = one_face.come_to(rows)
    colours, facts = colours_and_facts(found.measured)
    mine = access.sittings(request.user).filter(client=client)
    context = {
        "client": client,
        "found": found,
        "members": one_face.members(rows, found),
        "colours": colours,
        "facts": [*facts, *photo_page.contrast_lines(found.written())],
        "notes": [reason.text for reason in found.measured.reasons if reason.code not in OF_SEVERAL],
        "for_sheet": all(consents.may_use(row, Purpose.SHEET) for row in rows),
        "open_sittings": open_sittings(request, client.pk),
        "its_sitting": rows[-1].sitting_id,
        "given": one_face.sheets_of(rows, mine),
        "fault": fault,
    }
    return render(request, "photographs/one_face.html", context, status=status)


@require_POST
def use(request: UserRequest, pk: int) -> HttpResponse:
    """Give what photographs say together to a sitting of the same client; no season follows from it.

    Raises `Http404` for another client's sitting, and for too few photographs.
    """
    client = access.client(request.user, pk)
    consents.refuse_if_ended(client)
    sitting = sitting_asked_for(request)
    rows = _chosen(request, client, request.POST.getlist("photograph"))
    if sitting.client_id != client.pk or len(rows) < one_face.FEWEST_OF_ONE_FACE:
        raise Http404
    found = one_face.come_to(rows)
    try:
        given_face.give_face(sitting, None, one_face.to_give(rows, found, sitting), request.user)
    except TenterError as error:
        return _show(request, client, rows, HTTPStatus.CONFLICT, str(error))
    audit.note(request.user, Action.FACE_GIVEN, sitting)
    said = _("The reading sheet now uses these photographs together. Their colours decide no season.")
    messages.success(request, said)
    return redirect("photographs", client.pk)
