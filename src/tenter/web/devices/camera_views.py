"""The phone as camera: one control, which opens the phone's own camera; what it takes goes to the sitting in progress.

The page has no camera of its own: a form's file field asks the system for one photograph at a time.
"""

from http import HTTPStatus
from typing import Any, cast

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.consultation.client.consent import Purpose
from tenter.errors import TenterError
from tenter.photo.face.quick_look import QuickLook, quick_look
from tenter.photo.files.loading import photo_from_bytes
from tenter.report.words.wording import sentence
from tenter.web.devices import door
from tenter.web.devices.network_views import version_of
from tenter.web.models import Photograph, Sitting
from tenter.web.photographs.card_forms import CardForm, card_within, last_card
from tenter.web.photographs.kept_photograph import form_of_shot, keep_photograph
from tenter.web.pictures import measuring, pictures
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.rules import access, consents
from tenter.web.rules.consents import ConsentMissing
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.sent.row_numbers import row_number


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def camera(request: UserRequest) -> HttpResponse:
    """Show the camera's page, or take a photograph in; raises `Http404` for no device."""
    sitting = _chosen(request)
    lacking = _lacking(sitting) if sitting else None
    if request.method != "POST" or sitting is None or lacking:
        status = HTTPStatus.CONFLICT if request.method == "POST" else HTTPStatus.OK
        return _show(request, sitting, lacking, (), status)
    card = CardForm(request.POST)
    faults = sent_picture_faults(request)
    if not faults and not card.is_valid():
        faults = [_("Say which card stands beside the face.")]
    if not faults:
        picture = cast("UploadedFile[Any]", request.FILES["picture"]).read()
        form = form_of_shot(request.user, sitting.client, sitting, picture, card.cleaned_data)
        row = keep_photograph(request, sitting.client, form) if form.is_valid() else None
        if row is not None:
            return redirect(f"{reverse('device-camera')}?of={sitting.pk}&shot={row.pk}")
        faults = [str(fault) for said in form.errors.values() for fault in said]
    return _show(request, sitting, None, faults, HTTPStatus.UNPROCESSABLE_ENTITY)


def sent_picture_faults(request: UserRequest) -> list[str]:
    """Return what keeps a picture that a device sent from being looked at, each in a sentence."""
    if is_too_large(request):
        most = pictures.LARGEST_UPLOAD // 1_000_000
        return [_("The photograph is larger than %(most)s MB. Take it at a smaller size.") % {"most": most}]
    if "picture" not in request.FILES:
        return [_("No photograph came. Press the button and take one.")]
    return []


def _chosen(request: UserRequest) -> Sitting | None:
    """Return the sitting that photographs go to: the one chosen, or else the latest in progress.

    A photograph is for the sitting that the page had named, or for none.
    """
    found = door.in_progress(door.connected(request))
    said = request.POST if request.method == "POST" else request.GET
    number = row_number(said.get("of", ""))
    named = found.filter(pk=number).first() if number is not None else None
    return named if named or request.method == "POST" else found.first()


def _lacking(sitting: Sitting) -> ConsentMissing | None:
    return consents.ended(sitting.client) or consents.lacking(sitting.client, Purpose.MEASURE)


def _show(
    request: UserRequest,
    sitting: Sitting | None,
    lacking: ConsentMissing | None,
    faults: "list[str] | tuple[str, ...]" = (),
    status: int = HTTPStatus.OK,
) -> HttpResponse:
    device = door.connected(request)
    card = {**last_card(access.studio_owner(request.user)), **(request.POST.dict() if request.method == "POST" else {})}
    context = {
        "sitting": sitting,
        "others": door.in_progress(device).exclude(pk=sitting.pk)[: door.MOST_SITTINGS] if sitting else (),
        "lacking": lacking,
        "locked": photo_keys.problem(),
        "faults": faults,
        "card_form": CardForm(initial=card),
        "beside": card_within(str(card["chart"])),
        "version": version_of(device),
        **(_looked_at(request, sitting) if sitting and not faults else {}),
    }
    return render(request, "devices/camera.html", context, status=status)


def _looked_at(request: UserRequest, sitting: Sitting) -> dict[str, object]:
    """Return what a first look says of the photograph just taken; nothing where none was."""
    number = row_number(request.GET.get("shot", ""))
    row = Photograph.objects.filter(pk=number, sitting=sitting, by=request.user).first() if number else None
    if row is None:
        return {}
    try:
        return {"shot": row, "look": _look(row)}
    except TenterError as error:
        return {"shot": row, "look": QuickLook(faults=(f"{sentence(str(error)).rstrip('.')}.",))}


def _look(row: Photograph) -> QuickLook:
    photo = photo_from_bytes(pictures.opened_picture(row), _("the photograph"))
    return quick_look(photo, measuring.card_choice_of(row))
