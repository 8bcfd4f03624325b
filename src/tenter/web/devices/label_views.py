"""A cloth's label scanned by a connected device: taken in there, and asked for by the pages on the computer."""

from collections.abc import Sequence
from http import HTTPStatus
from secrets import token_hex
from typing import Any, cast

from django.contrib.auth.models import User
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from tenter.errors import TenterError
from tenter.language import in_a_row
from tenter.photo.files.codes import codes_in
from tenter.report.words.wording import sentence
from tenter.web.devices import door
from tenter.web.devices.camera_views import sent_picture_faults
from tenter.web.devices.coming import labels_come
from tenter.web.devices.scans import SCANS, LabelSaid, LabelScan, cloths_by_label, is_in, label_said
from tenter.web.models import DeviceRight
from tenter.web.pictures.pictures import is_name
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.row_numbers import row_number
from tenter.web.store import store

_SHOWN = 40  # characters of a foreign code that are shown: enough to know it by


class _NotTaken(TenterError):
    """No cloth was found, or no one cloth; says what to do."""


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def label(request: UserRequest) -> HttpResponse:
    """Show the page that scans a label, or take a picture of one; raises `Http404` for no device.

    The picture is looked at in memory and kept nowhere.
    """
    door.connected(request)
    if request.method != "POST":
        return _show(request)
    key = request.POST.get("key", "")
    faults = sent_picture_faults(request)
    if not faults and not is_name(key):
        faults = [_("This page is an old one. Open it again.")]
    if not faults and SCANS.by_key(request.user, key) is None:
        content = cast("UploadedFile[Any]", request.FILES["picture"]).read()
        try:
            SCANS.keep(request.user, LabelScan(key, _label_in(request.user, content), timezone.now()))
        except TenterError as error:
            faults = [f"{sentence(str(error)).rstrip('.')}."]
    if faults:
        return _show(request, faults, HTTPStatus.UNPROCESSABLE_ENTITY)
    return redirect(reverse("device-label", query={"scan": key}))


def _label_in(user: User, content: bytes) -> LabelSaid:
    """Return what the one label in a picture says; raises `TenterError` where there is none, or more than one."""
    texts = codes_in(content, _("the picture"))
    if not texts:
        told = _("No label was found. Go nearer, hold phone and label flat, and give it more light.")
        raise _NotTaken(told)
    if len(texts) > 1:
        told = _("Several codes are in the picture: %(codes)s. None was taken. Scan one label by itself.")
        raise _NotTaken(told % {"codes": in_a_row(sorted(_in_short(text) for text in texts))})
    said = label_said(texts[0])
    if said is None:
        told = _("This code is not a cloth’s label. It says: %(text)s")
        raise _NotTaken(told % {"text": _in_short(texts[0])})
    if not cloths_by_label(user, said) and (said.kit is not None or not access.started_kits(user).exists()):
        told = _("None of your kits has the cloth of this label: %(text)s. Is it another studio’s, or an old one?")
        raise _NotTaken(told % {"text": said.cloth})
    return said


def _in_short(text: str) -> str:
    """Return what a code says, a label by its cloth's number, any other by its beginning."""
    said = label_said(text)
    plain = "".join(sign if sign.isprintable() else " " for sign in (said.cloth if said else text))
    return plain if len(plain) <= _SHOWN else f"{plain[:_SHOWN]}…"


def _show(request: UserRequest, faults: Sequence[str] = (), status: int = HTTPStatus.OK) -> HttpResponse:
    device = door.connected(request)
    scan = SCANS.by_key(request.user, request.GET.get("scan", ""))
    sitting = door.in_progress(device).first() if device.right == DeviceRight.BENCH else None
    context = {
        "faults": faults,
        "scan": scan,
        "cloths": cloths_by_label(request.user, scan.label) if scan else (),
        "key": token_hex(16),
        "takes_faces": device.right == DeviceRight.CAMERA,
        "bench": reverse("bench", args=[sitting.pk]) if sitting else "",
    }
    return render(request, "devices/label.html", context, status=status)


# -- on the computer ---------------------------------------------------------------------------------------------------


@require_GET
@never_cache
def scanned(request: UserRequest) -> JsonResponse:
    """Return the cloth that a person's device scanned within the last minute, as the page that asks can use it.

    kit: of that page, whose cloths alone are given; without one any number is. Raises `Http404` for another's kit.
    """
    scan = SCANS.latest(request.user, timezone.now())
    told = {"on": labels_come(request.user), "scan": scan.key if scan else "", "cloth": "", "said": ""}
    number = row_number(request.GET.get("kit", ""))
    record = access.kit(request.user, number) if number is not None else None
    if scan is None:
        return JsonResponse(told)
    cloth = {"cloth": scan.label.cloth}
    if record is None:
        return JsonResponse(told | cloth | {"said": _("Scanned: %(cloth)s") % cloth})
    kit = store.kit_of(record)
    if not is_in(request.user, scan.label, record, kit):
        said = _("%(cloth)s was scanned. It is no cloth of this kit.") % cloth
        return JsonResponse(told | {"said": said})
    named = {"cloth": scan.label.cloth, "name": kit[scan.label.cloth].name}
    return JsonResponse(told | cloth | {"said": _("Scanned: %(cloth)s %(name)s") % named})
