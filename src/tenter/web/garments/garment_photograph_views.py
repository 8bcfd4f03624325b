"""One photograph of a garment: how far it is, where the client wears it, and what to do where that cannot be told."""

from http import HTTPStatus
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.findings.verdict import PhaseMissing
from tenter.consultation.garments.check import check_garment, not_read
from tenter.consultation.garments.given import reading_of
from tenter.errors import TenterError
from tenter.report.on_screen.garment_words import garment_words
from tenter.web.cloths import cloth_page
from tenter.web.garments.garment_form import GarmentAgainForm
from tenter.web.garments.garment_views import told_of
from tenter.web.models import ThingPhotograph
from tenter.web.papers import handed
from tenter.web.papers.client_wishes import wishes_for
from tenter.web.photographs import measured_views
from tenter.web.photographs.card_forms import CARD_CHOICES, figures_of
from tenter.web.pictures import cloth_measuring, thing_measuring, tries
from tenter.web.pictures.cloth_measuring import ClothResult
from tenter.web.pictures.measuring import only_covered
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.verdict.verdict_views import offer


@require_safe
@never_cache
def photograph(request: UserRequest, pk: int) -> HttpResponse:
    """Say where the client wears the garment, or how far its photograph is."""
    return _page(request, access.thing(request.user, pk))


def _page(
    request: UserRequest, row: ThingPhotograph, again: GarmentAgainForm | None = None, status: int = HTTPStatus.OK
) -> HttpResponse:
    if row.sitting.revealed_at is None:
        return offer(request, row.sitting, status=HTTPStatus.CONFLICT)
    result, problem = measured_views.outcome(row, cloth_measuring.cloth_result_of)
    try:
        told = _told(request, row, result) if result else {}
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row.sitting, error.owed, status=HTTPStatus.CONFLICT)
    context = {
        "photograph": row,
        "sitting": row.sitting,
        "problem": problem,
        "may_erase": access.may_erase(request.user, row),
        "card": CARD_CHOICES.get(row.chart, row.chart),
        "figures": figures_of(row),
        "again_form": again or GarmentAgainForm(initial=_as_read(row, result), auto_id="again-%s"),
        **told,
    }
    return render(request, "garments/garment_photograph.html", context, status=status)


def _as_read(row: ThingPhotograph, result: ClothResult | None) -> dict[str, Any]:
    corners = [list(corner) for corner in result.where.outline] if result else []
    return {"shows": row.shows, "outline": str(corners)}


def _told(request: UserRequest, row: ThingPhotograph, result: ClothResult) -> dict[str, Any]:
    """Return the answer in words, and what is drawn of the garment."""
    shown = result.picture
    refused = [reason["text"] for reason in shown["reasons"] if reason["refuses"]]
    found = {
        "shown": shown,
        "lines": cloth_page.lines(shown, {}),
        "notes": [reason["text"] for reason in shown["reasons"] if not reason["refuses"]],
        "only_covered": only_covered(reason["code"] for reason in result.document["reasons"]),
        "called_even": result.where.evenly_lit,
    }
    garment = thing_measuring.garment_of(result)
    if garment is None:
        return {**found, "words": garment_words(not_read(refused))}
    near = [int(number) for number in request.GET.getlist("near") if number in map(str, range(1, 100))]
    near = [number for number in near if number <= len(garment.colours)]
    palette, known = handed.palette_and_known(row.sitting)
    check = check_garment(palette, known, garment, near)
    parts = [(number, number in near) for number in range(1, len(garment.colours) + 1)] if garment.is_print else []
    told = told_of(garment, check, wishes_for(row.sitting.client))
    return {**found, **told, "parts": parts, "reading": reading_of(garment)}


state = measured_views.state_of(access.thing)
picture = measured_views.picture_of(access.thing)
small = measured_views.small_of(access.thing)


@require_POST
def again(request: UserRequest, pk: int) -> HttpResponse:
    """Measure a photograph again: as a print or not, or where the garment is said to be."""
    row = access.thing(request.user, pk)
    form = GarmentAgainForm(request.POST, auto_id="again-%s")
    if not row.has_picture or not form.is_valid():
        return _page(request, row, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    try:
        sealed = tries.sealed_corrections(row.name, form.where)
    except TenterError as error:
        form.add_error(None, f"{error}.")
        return _page(request, row, form, HTTPStatus.CONFLICT)
    measured_views.anew(request, row, corrections=sealed, shows=form.cleaned_data["shows"])
    return redirect("garment-photograph", row.pk)


@require_POST
def erase(request: UserRequest, pk: int) -> HttpResponse:
    """Erase the photograph and everything that was measured in it, at once."""
    row = access.thing(request.user, pk)
    measured_views.erased(request, row, _("The photograph is erased, and the answer with it."))
    return redirect("brought" if row.entry else "garment", row.sitting_id)
