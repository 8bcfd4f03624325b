"""Can the client wear this? A garment's colour beside a sitting's palette: by name or reading, or by a photograph.

Of a name and a reading nothing is kept.
"""

from http import HTTPStatus

import numpy as np
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.colorimetry.measurement import D65_10, Colours
from tenter.consultation.client.consent import Purpose
from tenter.consultation.colours.colours import PersonalPalette
from tenter.consultation.findings.verdict import PhaseMissing
from tenter.consultation.garments.check import GarmentCheck, check_garment
from tenter.consultation.garments.garment import Garment
from tenter.consultation.personal.suitability import Known
from tenter.consultation.wishes.honouring import wished_away
from tenter.consultation.wishes.wishes import Wishes
from tenter.errors import TenterError
from tenter.report.on_screen.garment_words import garment_words, wished_away_words
from tenter.report.words import terms
from tenter.report.words.wording import sentence
from tenter.web.garments.garment_form import GarmentForm, GarmentPhotographForm
from tenter.web.models import Sitting, ThingPhotograph
from tenter.web.papers import handed
from tenter.web.papers.client_wishes import wishes_for
from tenter.web.pictures import intake
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.rules import access, consents
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.verdict.verdict_views import offer


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def garment(request: UserRequest, pk: int) -> HttpResponse:
    """Ask for a garment's colour, and say where the client wears it; or take in a photograph of it."""
    row = access.sitting(request.user, pk)
    if row.revealed_at is None:
        return offer(request, row, status=HTTPStatus.CONFLICT)
    consents.refuse_if_ended(row.client)
    try:
        palette, known = handed.palette_and_known(row)
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row, error.owed, status=HTTPStatus.CONFLICT)
    lacking = consents.lacking(row.client, Purpose.MEASURE)
    may_keep, photograph = lacking is None, None
    if request.method == "POST":
        consents.refuse_if_ended(row.client, Purpose.MEASURE)  # never asked: it is answered, and not kept
        photograph = GarmentPhotographForm(
            request.POST, request.FILES, may_keep=may_keep, too_large=is_too_large(request)
        )
        if photograph.is_valid() and (taken := _taken(request, row, photograph)):
            return redirect("garment-photograph", taken.pk)
    form = GarmentForm(request.GET if "colour" in request.GET else None)
    context = {
        "sitting": row,
        "form": form,
        "photograph": photograph or GarmentPhotographForm(may_keep=may_keep),
        "lacking": lacking,
        "no_more": consents.ended(row.client, Purpose.MEASURE),
        "locked": photo_keys.problem(),
        "asked": access.things(request.user).filter(sitting=row, entry=None),
        **(_answered(form, palette, known, wishes_for(row.client)) if form.is_valid() else {}),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if photograph else HTTPStatus.OK
    return render(request, "garments/garment.html", context, status=status)


def _taken(request: UserRequest, row: Sitting, form: GarmentPhotographForm) -> ThingPhotograph | None:
    """Put a photograph in line; None where there is no key to seal it by, and the form says so then."""
    taken = ThingPhotograph(sitting=row, by=request.user, **form.fields_of())
    return taken if intake.taken_in(request, form, taken) else None


def _answered(form: GarmentForm, palette: PersonalPalette, known: Known, wishes: Wishes) -> dict[str, object]:
    try:
        asked = form.garment(palette)
        found = check_garment(palette, known, asked)
    except TenterError as error:
        form.add_error("colour", f"{sentence(str(error))}.")
        return {}
    return told_of(asked, found, wishes)


def told_of(asked: Garment, found: GarmentCheck, wishes: Wishes) -> dict[str, object]:
    """Return what the page says of a garment and draws of it."""
    against = {said: None for colour in asked.colours for said in wished_away(wishes, colour.lab)}
    return {
        "words": garment_words(found),
        "unwanted": wished_away_words([*against]),
        "swatches": swatches(asked, found),
    }


def swatches(asked: Garment, found: GarmentCheck) -> list[tuple[str, str]]:
    """Return the garment's colours and the nearest of the palette as they are drawn, each with what it is."""
    many = len(asked.colours) > 1
    named = [
        (_part_words(number, colour.area) if many else _("the garment"), colour.lab)
        for number, colour in enumerate(asked.colours, start=1)
    ]
    if found.nearest:
        yours = _("your %(colour)s") % {"colour": terms.colour(found.nearest.colour.name)}
        named.append((yours, found.nearest.colour.lab))
    names, labs = zip(*named, strict=True)
    shown, _truly = Colours(np.array(labs), D65_10).on_screen()
    return list(zip(shown, names, strict=True))


def _part_words(number: int, area: float) -> str:
    return _("colour %(number)s, %(share)s %% of it") % {"number": number, "share": round(100 * area)}
