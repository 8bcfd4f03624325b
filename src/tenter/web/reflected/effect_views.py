"""A drape's effect: where on the face its light shows, where it is too small to see, and in which room."""

from http import HTTPStatus
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter import Face
from tenter.consultation.reflected.on_face import FacePrediction
from tenter.errors import TenterError
from tenter.report.pictures.reflected_map import reflected_map
from tenter.report.words.wording import sentence
from tenter.web.models import Photograph, Sitting
from tenter.web.pictures import measuring
from tenter.web.reflected.drapes_page import why_not_shown
from tenter.web.reflected.effect_form import EffectForm
from tenter.web.reflected.effect_page import effect_page_content
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.row_numbers import row_number
from tenter.web.series.series_intake import series_lacking
from tenter.web.store import kept_rooms
from tenter.web.store.asked_surface import KnownCloths
from tenter.web.store.given_face import given_face_of

_PORTRAITS = 5  # offered beside an effect, at most


@require_safe
@never_cache
def effect(request: UserRequest, pk: int) -> HttpResponse:
    """Show what a cloth, a cape or a wall does to a face, or the form that asks which."""
    record = access.kit(request.user, pk)
    cloths = KnownCloths.of(record)
    asked = request.GET if "surface" in request.GET else None
    form = EffectForm(cloths, asked, initial={"surface": cloths.kit.ids[0]})
    sitting = _sitting(request)
    face = given_face_of(sitting) if sitting else None
    measured = access.rooms(request.user).first()
    found = _found(form, face, measured) if asked is not None and form.is_valid() else None
    context = {
        "record": record,
        "form": form,
        "sitting": sitting if face else None,
        "room": measured,
        "cloths": cloths.names,
        "found": found,
        "portraits": _portraits(request, sitting) if found else [],
        **(_shown(found) if found else {}),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, "reflected/effect.html", context, status=status)


def _sitting(request: UserRequest) -> Sitting | None:
    """Return the sitting whose client's face is asked for, or answer 404."""
    number_of = row_number(request.GET.get("sitting", ""))
    return None if number_of is None else access.sitting(request.user, number_of)


def _portraits(request: UserRequest, sitting: Sitting | None) -> list[Photograph]:
    """Return the latest photograph of each client that drapes can be shown on, or of a sitting's client alone."""
    shown = access.photographs(request.user).filter(state=Photograph.State.DONE, chart__in=measuring.WITH_PATCHES)
    of_client = shown.filter(client=sitting.client_id) if sitting else shown
    latest: dict[int, Photograph] = {}
    for row in of_client:
        if row.client_id not in latest and not why_not_shown(row) and not series_lacking(row.client):
            latest[row.client_id] = row
        if len(latest) == _PORTRAITS:
            break
    return list(latest.values())


def _found(form: EffectForm, face: Face | None, measured: Any) -> FacePrediction | None:
    try:
        return form.prediction(face, kept_rooms.factors_in(measured) if measured else None)
    except TenterError as error:
        form.add_error(None, f"{sentence(str(error))}")
        return None


def _shown(found: FacePrediction) -> dict[str, Any]:
    return {"picture": mark_safe(reflected_map(found)), **effect_page_content(found)}
