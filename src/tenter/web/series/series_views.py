"""Two cloths in turn: a series of a client's photographs taken in, measured, shown and let go of."""

from collections.abc import Mapping
from http import HTTPStatus

from django.contrib import messages
from django.db import transaction
from django.db.models import Min
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.web.models import Client, PhotoSeries
from tenter.web.photographs import measured_views
from tenter.web.pictures import series_measuring
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.series import page
from tenter.web.series.forms import PatternForm, SeriesForm
from tenter.web.series.series_intake import keep_series, latest_cloths, series_lacking, series_photographs
from tenter.web.store.asked_surface import may_measure_room


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def start(request: UserRequest, pk: int) -> HttpResponse:
    """Ask for a series, or take one in."""
    client = access.client(request.user, pk)
    able = series_photographs(request, client)
    lacking = series_lacking(client)
    if request.method == "POST" and not lacking:
        form = SeriesForm(client, able, request.POST, request.FILES, too_large=is_too_large(request))
        if form.is_valid() and (row := keep_series(request, client, form)):
            return redirect("series", row.pk)
        return _ask(request, client, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    status = HTTPStatus.CONFLICT if request.method == "POST" else HTTPStatus.OK
    return _ask(request, client, SeriesForm(client, able), status, lacking)


def _ask(
    request: UserRequest,
    client: Client,
    form: SeriesForm,
    status: int = 200,
    lacking: consents.ConsentMissing | None = None,
) -> HttpResponse:
    context = {
        "lacking": lacking,
        "client": client,
        "form": form,
        "locked": photo_keys.problem(),
        "earlier": access.client_series(request.user, client),
        "cloths": latest_cloths(request),
    }
    return render(request, "series/series_form.html", context, status=status)


# -- one series --------------------------------------------------------------------------------------------------------


@require_safe
@never_cache
def series(request: UserRequest, pk: int) -> HttpResponse:
    """Show what was measured, or how far it is."""
    return _show(request, access.one_series(request.user, pk))


def _show(request: UserRequest, row: PhotoSeries, status: int = 200, form: PatternForm | None = None) -> HttpResponse:
    result, problem = measured_views.outcome(row, series_measuring.series_result_of)
    cloths = latest_cloths(request)
    names, kit = dict(cloths), access.kits(request.user).first()
    fields = {name: getattr(row, name) for name in ("cloth_a", "cloth_b", "pattern")}
    context = {
        "frames": page.frames(row),
        **(page.series_page_content(row, result.series) if result else {}),
        "series": row,
        "may_erase": access.may_erase(request.user, row),
        "result": result,
        "problem": problem,
        "cloths": cloths,
        "named_a": _named(row.cloth_a, names),
        "named_b": _named(row.cloth_b, names),
        "room_kit": kit if may_measure_room(kit, row) else None,
        "goes_on": row.frames.aggregate(day=Min("photograph__deletes_on"))["day"],
        "form": form or PatternForm(initial=fields),
    }
    return render(request, "series/series.html", context, status=status)


def _named(cloth: str, names: Mapping[str, str]) -> str:
    return f"{cloth} ({names[cloth]})" if names.get(cloth) else cloth


state = measured_views.state_of(access.one_series)


@require_POST
def again(request: UserRequest, pk: int) -> HttpResponse:
    """Measure again, with the cloths or their order put right."""
    row = access.one_series(request.user, pk)
    form = PatternForm(request.POST)
    if form.is_valid():
        form.hold_against(row.frames.count(), row.chart)
    if not form.is_valid():
        return _show(request, row, HTTPStatus.UNPROCESSABLE_ENTITY, form)
    measured_views.anew(request, row, Action.SERIES_CORRECTED, **form.cleaned_data)
    return redirect("series", row.pk)


@require_POST
def erase(request: UserRequest, pk: int) -> HttpResponse:
    """Erase what was measured; the photographs stay until they are erased themselves."""
    row = access.to_erase(request.user, access.one_series(request.user, pk))
    client = row.client_id
    with transaction.atomic():
        audit.note(request.user, Action.SERIES_ERASED, row)
        row.delete()
    messages.success(request, _("The comparison is erased. Its photographs are kept with the others."))
    return redirect("photographs", client)
