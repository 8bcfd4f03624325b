"""What a device on the room's network sees before and after it is connected: its way in, and where it belongs."""

from http import HTTPStatus

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from tenter.consultation.client.consent import Purpose
from tenter.web.devices import door, kept_certificates, pairing
from tenter.web.devices.devices_views import certificate_file
from tenter.web.devices.forms import NameForm
from tenter.web.models import DeviceRight, PairedDevice
from tenter.web.rules import consents
from tenter.web.store import screen_link


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def pair(request: HttpRequest, code: str) -> HttpResponse:
    """Say what a code stands for, and connect the device that sends it."""
    address = request.META.get("REMOTE_ADDR", "")
    form = NameForm(request.POST or None)
    try:
        if request.method == "POST" and form.is_valid():
            device, secret = pairing.connect(code, form.cleaned_data["name"], address)
            return _connected(device, secret)
        row = pairing.known_code(code, address)
    except pairing.TooManyCodes as error:
        return _refused(request, error, HTTPStatus.TOO_MANY_REQUESTS)
    except pairing.CodeRefused as error:
        return _refused(request, error, HTTPStatus.NOT_FOUND)
    kept = kept_certificates.kept_certificates()
    return render(request, "devices/pair.html", {"form": form, "code": code, "row": row, "kept": kept})


def _connected(_device: PairedDevice, secret: str) -> HttpResponse:
    answer = redirect("device")
    answer.set_cookie(
        door.COOKIE, secret, max_age=door.COOKIE_SECONDS, secure=True, httponly=True, samesite="Strict", path="/"
    )
    return answer


def _refused(request: HttpRequest, error: Exception, status: HTTPStatus) -> HttpResponse:
    return render(request, "devices/refused.html", {"why": error}, status=status)


@login_not_required
@require_safe
@never_cache
def certificate(_request: HttpRequest) -> HttpResponse:
    """Return the authority's certificate, which is no secret; raises `Http404` where there is none."""
    return certificate_file()


@require_safe
@never_cache
def home(request: HttpRequest) -> HttpResponse:
    """Lead a device to where it belongs, or wait there until a sitting begins; raises `Http404` for no device."""
    device = door.connected(request)
    where = place_of(device)
    if where:
        return redirect(where)
    return render(request, "devices/waiting.html", {"device": device, "version": version_of(device)})


@require_safe
@never_cache
def state(request: HttpRequest) -> JsonResponse:
    """Return what changes when a device has something else to show; raises `Http404` for no device."""
    return JsonResponse({"version": version_of(door.connected(request))})


def place_of(device: PairedDevice) -> str:
    """Return the address at which a device works now; nothing while no sitting is in progress."""
    if device.right == DeviceRight.CAMERA:
        return reverse("device-camera")
    if device.right == DeviceRight.BENCH:
        sitting = door.in_progress(device).first()
        return reverse("bench", args=[sitting.pk]) if sitting else ""
    shown = door.shown_now(device).first()
    return reverse("client-screen", args=[screen_link.link_of(shown)]) if shown else ""


def version_of(device: PairedDevice) -> str:
    """Return what changes whenever a device has something else to show."""
    if device.right != DeviceRight.CAMERA:
        return place_of(device)
    sittings = list(door.in_progress(device)[: door.MOST_SITTINGS])
    return " ".join(f"{one.pk}{'' if consents.lacking(one.client, Purpose.MEASURE) else '+'}" for one in sittings)
