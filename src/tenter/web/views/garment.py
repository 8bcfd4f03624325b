"""Can the client wear this? A garment's colour, by name or reading, beside a sitting's palette. Nothing is kept."""

from http import HTTPStatus

import numpy as np
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.colorimetry.measurement import D65_10, Colours
from tenter.consultation.garments.check import GarmentCheck, check_garment
from tenter.consultation.garments.garment import Garment
from tenter.consultation.personal.colours import PersonalPalette
from tenter.consultation.personal.suitability import Known
from tenter.consultation.verdict import PhaseMissing
from tenter.errors import TenterError
from tenter.report.garment_words import garment_words
from tenter.report.wording import sentence
from tenter.web import access, handed
from tenter.web.garment_form import GarmentForm
from tenter.web.views.verdict import offer


@require_safe
@never_cache
def garment(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a garment's colour, and say where the client wears it."""
    row = access.sitting(request.user, pk)
    if row.revealed_at is None:
        return offer(request, row, status=HTTPStatus.CONFLICT)
    try:
        palette, known = handed.palette_and_known(row)
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row, error.owed, status=HTTPStatus.CONFLICT)
    form = GarmentForm(request.GET if "colour" in request.GET else None)
    context = {"sitting": row, "form": form, **(_answered(form, palette, known) if form.is_valid() else {})}
    return render(request, "tenter/garment.html", context)


def _answered(form: GarmentForm, palette: PersonalPalette, known: Known) -> dict[str, object]:
    try:
        asked = form.garment(palette)
        found = check_garment(palette, known, asked)
    except TenterError as error:
        form.add_error("colour", f"{sentence(str(error))}.")
        return {}
    return {"words": garment_words(found), "swatches": _swatches(asked, found)}


def _swatches(asked: Garment, found: GarmentCheck) -> list[tuple[str, str]]:
    """Return the garment's colour and the nearest of the palette as they are drawn, each with what it is."""
    named = [("the garment", asked.colours[0].lab)]
    if found.nearest:
        named.append((f"your {found.nearest.colour.name}", found.nearest.colour.lab))
    shown, _ = Colours(np.array([lab for _, lab in named]), D65_10).on_screen()
    return [(hexed, name) for hexed, (name, _) in zip(shown, named, strict=True)]
