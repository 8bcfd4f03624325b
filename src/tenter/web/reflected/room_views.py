"""The studio's own room: how much of a drape's light reaches a face there, measured by photographs or from a file."""

from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.errors import TenterError
from tenter.report.words.wording import sentence
from tenter.web.models import KeptRoom, KitRecord, PhotoSeries
from tenter.web.photographs import measured_views
from tenter.web.pictures import series_measuring
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.reflected.room_form import RoomFileForm, RoomSeriesForm
from tenter.web.reflected.room_page import room_of_series, room_page_content
from tenter.web.rules import access, consents
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.sent.row_numbers import row_number
from tenter.web.series.series_intake import keep_series, series_lacking, series_photographs
from tenter.web.store import kept_rooms
from tenter.web.store.asked_surface import KnownCloths, may_measure_room


@require_safe
@never_cache
def room(request: UserRequest, pk: int) -> HttpResponse:
    """Show the room that is used, and the ways to measure one."""
    return _show(request, access.kit(request.user, pk), RoomFileForm())


def _show(request: UserRequest, record: KitRecord, form: RoomFileForm, status: int = 200) -> HttpResponse:
    used = access.rooms(request.user).first()
    context = {
        "record": record,
        "room": used,
        "form": form,
        "clients": access.clients(request.user).order_by("name"),
        **(room_page_content(used.document) if used else {}),
    }
    return render(request, "reflected/room.html", context, status=status)


@require_POST
def from_file(request: UserRequest, pk: int) -> HttpResponse:
    """Take a room in that was measured elsewhere."""
    record, form = access.kit(request.user, pk), RoomFileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _show(request, record, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    said = form.cleaned_data
    return _kept(request, record, kept_rooms.room_document(said["file"]), said["key"])


def _kept(request: UserRequest, record: KitRecord, document: dict[str, object], key: str) -> HttpResponse:
    with transaction.atomic():
        row = kept_rooms.keep_room(access.studio_owner(request.user), request.user, document, key)
        note(request.user, Action.ROOM_MEASURED, row)
    messages.success(request, _("Your room is saved and used from now on."))
    return redirect("room", record.pk)


@require_safe
@never_cache
def saved(request: UserRequest, pk: int) -> HttpResponse:
    """Give the room that is used as a file."""
    record, used = access.kit(request.user, pk), access.rooms(request.user).first()
    if used is None:
        return redirect("room", record.pk)
    headers = {"Content-Disposition": 'attachment; filename="room.json"'}
    return JsonResponse(used.document, headers=headers, json_dumps_params={"indent": 1})


# -- by photographs ----------------------------------------------------------------------------------------------------


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def photographs(request: UserRequest, pk: int) -> HttpResponse:
    """Ask for photographs of a client with two drapes in turn, or take them in."""
    record, number = access.kit(request.user, pk), row_number(request.GET.get("client", ""))
    if number is None:
        return redirect("room", record.pk)
    client, cloths = access.client(request.user, number), KnownCloths.of(record)
    able, lacking = series_photographs(request, client), series_lacking(client)
    said: tuple[Any, ...] = (request.POST, request.FILES) if request.method == "POST" and not lacking else ()
    form = RoomSeriesForm(cloths, client, able, *said, too_large=is_too_large(request))
    if said and form.is_valid() and (row := keep_series(request, client, form)):
        return redirect(f"{reverse('room-measured', args=[record.pk])}?series={row.pk}")
    status = HTTPStatus.OK if request.method != "POST" else HTTPStatus.CONFLICT if lacking else _WRONG
    context = {
        "record": record,
        "client": client,
        "form": form,
        "lacking": lacking,
        "locked": photo_keys.problem(),
        "cloths": cloths.names,
        "earlier": [row for row in access.client_series(request.user, client) if may_measure_room(record, row)],
    }
    return render(request, "reflected/room_photographs.html", context, status=status)


_WRONG = HTTPStatus.UNPROCESSABLE_ENTITY


@require_safe
@never_cache
def measured(request: UserRequest, pk: int) -> HttpResponse:
    """Show what a series of photographs says of the room, or how far it is."""
    record, row = access.kit(request.user, pk), _series(request, request.GET.get("series", ""))
    if row is None:
        return redirect("room", record.pk)
    result, problem = measured_views.outcome(row, series_measuring.series_result_of)
    context: dict[str, Any] = {"record": record, "series": row, "problem": problem}
    if result is not None and not problem:
        context |= {"notes": result.series.notes, **_told(record, row, result)}
    return render(request, "reflected/room_measured.html", context)


def _series(request: UserRequest, text: str) -> PhotoSeries | None:
    number = row_number(text)
    return None if number is None else access.one_series(request.user, number)


def _told(record: KitRecord, row: PhotoSeries, result: series_measuring.SeriesResult) -> dict[str, Any]:
    if not result.series.accepted:
        return {"refusals": result.series.refusals}
    try:
        document = room_of_series(KnownCloths.of(record), row, result).to_json()
    except TenterError as error:
        return {"refusals": [sentence(str(error))]}
    used = KeptRoom.objects.filter(owner=record.owner, key=_key(row)).first()
    return {**room_page_content(document), "found": True, "used_since": used}


@require_POST
def use(request: UserRequest, pk: int) -> HttpResponse:
    """Use the room of a series from now on; raises `Http404` where the series shows none."""
    record, row = access.kit(request.user, pk), _series(request, request.POST.get("series", ""))
    if row is None:
        raise Http404
    consents.refuse_if_ended(row.client)
    try:
        result = None if row.waits else series_measuring.series_result_of(row)
        if result is None:
            raise Http404
        document = room_of_series(KnownCloths.of(record), row, result).to_json()
    except TenterError:
        return redirect(f"{reverse('room-measured', args=[record.pk])}?series={row.pk}")  # which says why
    return _kept(request, record, document, _key(row))


def _key(row: PhotoSeries) -> str:
    """Return what one measuring of a series is kept under: sent twice, it is one room."""
    return f"{row.name} {row.turn}"
