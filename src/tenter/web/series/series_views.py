"""Two cloths in turn: a series of a client's photographs taken in, measured, shown and let go of."""

from http import HTTPStatus

from django.contrib import messages
from django.db import transaction
from django.db.models import Min
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.consultation.client.consent import Purpose
from tenter.web.models import Client, Photograph, PhotoSeries, SeriesFrame
from tenter.web.papers import photo_together
from tenter.web.photographs import measured_views
from tenter.web.pictures import intake, queue, series_measuring
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.series import page
from tenter.web.series.forms import PatternForm, SeriesForm
from tenter.web.store import store


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def start(request: UserRequest, pk: int) -> HttpResponse:
    """Ask for a series, or take one in."""
    client = access.client(request.user, pk)
    able = _able(request, client)
    lacking = consents.ended(client) or consents.lacking(client, Purpose.MEASURE, Purpose.COMPARE)
    if request.method == "POST" and not lacking:
        form = SeriesForm(client, able, request.POST, request.FILES, too_large=is_too_large(request))
        if form.is_valid() and (row := _kept(request, client, form)):
            return redirect("series", row.pk)
        return _ask(request, client, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    status = HTTPStatus.CONFLICT if request.method == "POST" else HTTPStatus.OK
    return _ask(request, client, SeriesForm(client, able), status, lacking)


def _able(request: UserRequest, client: Client) -> list[Photograph]:
    """Return the photographs that may be laid side by side, numbered as on their own page."""
    found = photo_together.numbered(access.photographs(request.user).filter(client=client))
    return [row for row in found if consents.narrowed(row, Purpose.COMPARE)]


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
        "cloths": _cloths(request),
    }
    return render(request, "series/series_form.html", context, status=status)


def _cloths(request: UserRequest) -> list[tuple[str, str]]:
    """Return number and name of the cloths of the studio's latest kit."""
    kit = access.kits(request.user).first()
    return [(drape.id, drape.name) for drape in store.kit_of(kit).drapes] if kit else []


def _kept(request: UserRequest, client: Client, form: SeriesForm) -> PhotoSeries | None:
    """Keep a series and its new photographs, sealed, and put them in line; None where there is no key."""
    said = form.cleaned_data
    rows = list(said["kept"]) or [
        Photograph(
            client=client,
            by=request.user,
            chart=said["chart"],
            deletes_on=said["deletes_on"],
        )
        for _ in said["pictures"]
    ]
    if not intake.sealed(form, ((row.name, picture) for row, picture in zip(rows, said["pictures"], strict=False))):
        return None
    series = PhotoSeries(
        client=client,
        by=request.user,
        chart=said["chart"],
        cloth_a=said["cloth_a"],
        cloth_b=said["cloth_b"],
        pattern=said["pattern"],
    )
    with transaction.atomic():
        series.save()
        audit.note(request.user, Action.SERIES_ADDED, series)
        for place, row in enumerate(rows):
            if row.pk is None:
                intake.hold_new_to_consent(request, row)
                row.save()
                audit.note(request.user, Action.PHOTOGRAPH_ADDED, row)
            SeriesFrame.objects.create(series=series, photograph=row, place=place)
    queue.put_in_line(series)
    for row in rows[: len(said["pictures"])]:
        queue.put_in_line(row)
    return series


# -- one series --------------------------------------------------------------------------------------------------------


@require_safe
@never_cache
def series(request: UserRequest, pk: int) -> HttpResponse:
    """Show what was measured, or how far it is."""
    return _show(request, access.one_series(request.user, pk))


def _show(request: UserRequest, row: PhotoSeries, status: int = 200, form: PatternForm | None = None) -> HttpResponse:
    result, problem = measured_views.outcome(row, series_measuring.series_result_of)
    cloths = _cloths(request)
    names = dict(cloths)
    fields = {name: getattr(row, name) for name in ("cloth_a", "cloth_b", "pattern")}
    context = {
        "frames": page.frames(row),
        **(page.series_page_content(row, result.series) if result else {}),
        "series": row,
        "may_erase": access.may_erase(request.user, row),
        "result": result,
        "problem": problem,
        "cloths": cloths,
        "name_a": names.get(row.cloth_a, ""),
        "name_b": names.get(row.cloth_b, ""),
        "goes_on": row.frames.aggregate(day=Min("photograph__deletes_on"))["day"],
        "form": form or PatternForm(initial=fields),
    }
    return render(request, "series/series.html", context, status=status)


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
    messages.success(request, "The comparison is erased. Its photographs are kept with the others.")
    return redirect("photographs", client)
