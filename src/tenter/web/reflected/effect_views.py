"""A drape's effect: where on the face its light shows, where it is too small to see, and in which room."""

from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import mark_safe
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter import Face
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.reflected.effect import CONTRAST, EffectSize, ReflectedEffect
from tenter.consultation.reflected.on_face import FacePrediction
from tenter.errors import TenterError
from tenter.numerals import listed, number, signed
from tenter.report.pictures.face_colours import region_name
from tenter.report.pictures.reflected_map import reflected_map
from tenter.report.words.wording import sentence
from tenter.web.models import KitRecord, Sitting
from tenter.web.reflected.effect_form import EffectForm, RoomForm
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.row_numbers import row_number
from tenter.web.store import kept_readings, kept_rooms
from tenter.web.store.given_face import given_face_of


@require_safe
@never_cache
def effect(request: UserRequest, pk: int) -> HttpResponse:
    """Show what a cloth, a cape or a wall does to a face, or the form that asks which."""
    return _show(request, access.kit(request.user, pk), RoomForm())


@require_POST
def room(request: UserRequest, pk: int) -> HttpResponse:
    """Take the studio's own room in."""
    record, form = access.kit(request.user, pk), RoomForm(request.POST, request.FILES)
    if not form.is_valid():
        return _show(request, record, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    with transaction.atomic():
        said = form.cleaned_data
        row = kept_rooms.keep_room(access.studio_owner(request.user), request.user, said["file"], said["key"])
        note(request.user, Action.ROOM_MEASURED, row)
    messages.success(request, "Your room is saved and used from now on.")
    return redirect("effect", record.pk)


def _show(request: UserRequest, record: KitRecord, room_form: RoomForm, status: int = 200) -> HttpResponse:
    kit = kept_readings.kit_today(record).kit
    book = ReadingBook() if record.origin_id else kept_readings.book_of(record)
    asked = request.GET if "surface" in request.GET else None
    form = EffectForm(kit, book, asked, initial={"surface": kit.ids[0]})
    sitting = _sitting(request)
    face = given_face_of(sitting) if sitting else None
    measured = access.rooms(request.user).first()
    found = _found(form, face, measured) if asked is not None and form.is_valid() else None
    context = {
        "record": record,
        "form": form,
        "sitting": sitting if face else None,
        "room": measured,
        "room_form": room_form,
        "found": found,
        **(_shown(found) if found else {}),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else status
    return render(request, "reflected/effect.html", context, status=status)


def _sitting(request: UserRequest) -> Sitting | None:
    """Return the sitting whose client's face is asked for, or answer 404."""
    number_of = row_number(request.GET.get("sitting", ""))
    return None if number_of is None else access.sitting(request.user, number_of)


def _found(form: EffectForm, face: Face | None, measured: Any) -> FacePrediction | None:
    try:
        return form.prediction(face, kept_rooms.factors_in(measured) if measured else None)
    except TenterError as error:
        form.add_error(None, f"{sentence(str(error))}")
        return None


def _shown(found: FacePrediction) -> dict[str, Any]:
    seen = [region_name(r) for size in (EffectSize.VISIBLE, EffectSize.DEPENDS) for r in found.of_size(size)]
    small = [region_name(region) for region in found.of_size(EffectSize.TOO_SMALL)]
    return {
        "picture": mark_safe(reflected_map(found)),
        "rows": [_row(one) for one in found.effects.values()],
        "seen": sentence(listed(seen)),
        "small": listed(small),
        "notes": (*found.notes, CONTRAST),
    }


def _row(one: ReflectedEffect) -> dict[str, object]:
    low, high = one.delta_e_2000_range
    return {
        "place": region_name(one.region),
        "delta_e": number(one.delta_e_2000, 2),
        "range": f"{number(low, 2)} to {number(high, 2)}",
        "changes": [signed(value) for value in one.delta_lab],
        "size": str(one.size),
    }
