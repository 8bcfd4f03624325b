"""Studio, Connect a device: the network switched on and off, a code to scan, the list of devices.

All of it is for whoever opened the studio on this machine, and on this machine alone.
"""

import hashlib
from collections.abc import Callable
from contextlib import suppress
from functools import wraps
from http import HTTPStatus
from threading import Thread
from typing import TYPE_CHECKING, Any, cast

from django.contrib import messages
from django.contrib.auth.models import User
from django.core.handlers.asgi import ASGIHandler
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.errors import TenterError
from tenter.photo.face import quick_look
from tenter.report.words.wording import sentence
from tenter.report.workshop.qr_code import QUIET_SQUARES, qr_path, qr_squares
from tenter.web.devices import kept_certificates, pairing
from tenter.web.devices.forms import AddressForm, CodeForm
from tenter.web.devices.listener import LISTENER
from tenter.web.models import PairingCode
from tenter.web.rules import audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys

if TYPE_CHECKING:
    from tenter.web.pictures.body_limit import Application

_VERSION_DIGITS = 16  # of a hash that is only ever compared with the one before


def _for_this_machines_owner(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Open a page to whoever opened the studio on this machine; to anybody else it does not exist."""

    @wraps(view)
    def shown(request: UserRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not request.user.is_superuser:
            raise Http404
        return view(request, *args, **kwargs)

    return shown


@require_safe
@_for_this_machines_owner
@never_cache
def devices(request: UserRequest) -> HttpResponse:
    """Show whether devices can reach this machine, which are connected, and how another is."""
    return _page(request)


def _page(request: UserRequest, code: str = "", code_form: CodeForm | None = None, status: int = 200) -> HttpResponse:
    host, form = LISTENER.host, AddressForm()
    address = f"https://{host}{reverse('pair', args=[code])}" if code else ""
    context = {
        "host": host,
        "lost": bool(host) and host.rpartition(":")[0] not in dict(form.fields["address"].choices),  # type: ignore[attr-defined]
        "kept": kept_certificates.kept_certificates() if host else None,
        "address_form": form,
        "addresses": form.fields["address"].choices,  # type: ignore[attr-defined]  # it is one that offers words
        "code_form": code_form or CodeForm(request.user),
        "address": address,
        "qr": _drawn(address) if address else "",
        "right": PairingCode.objects.get(owner=request.user).get_right_display() if code else "",
        "minutes": int(pairing.CODE_LASTS.total_seconds() // 60),
        "devices": pairing.devices_of(request.user),
        "unused_days": pairing.UNUSED_ENDS.days,
        "locked": photo_keys.problem(),
        "version": _version(request.user),
    }
    return render(request, "devices/devices.html", context, status=status)


def _drawn(text: str) -> dict[str, object]:
    squares = qr_squares(text)
    side = len(squares) + 2 * QUIET_SQUARES
    return {"path": mark_safe(qr_path(squares)), "side": side, "rim": QUIET_SQUARES}


@require_safe
@_for_this_machines_owner
@never_cache
def state(request: UserRequest) -> HttpResponse:
    """Return what changes when a device is connected or the network is switched."""
    return JsonResponse({"version": _version(request.user)})


def _version(owner: User) -> str:
    said = [LISTENER.host, *(str(pk) for pk in pairing.devices_of(owner).values_list("pk", flat=True))]
    return hashlib.sha256(" ".join(said).encode()).hexdigest()[:_VERSION_DIGITS]


@require_POST
@_for_this_machines_owner
def switch_on(request: UserRequest) -> HttpResponse:
    """Listen at the chosen address."""
    form = AddressForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("Nothing was switched on: that is no address of this computer. Choose one below."))
        return redirect("devices")
    address = form.cleaned_data["address"]
    try:
        kept = kept_certificates.certificates_at(address)
        LISTENER.start(cast("Application", ASGIHandler()), address, kept_certificates.ssl_context(kept))
    except TenterError as error:
        messages.error(request, _("Nothing was switched on.") + f" {sentence(str(error)).rstrip('.')}.")
        return redirect("devices")
    Thread(target=_get_ready, daemon=True).start()
    audit.note(request.user, Action.NETWORK_ON, LISTENER.host)
    told = _("Your devices can reach this computer at %(host)s, and nothing else can.")
    messages.success(request, told % {"host": LISTENER.host})
    return redirect("devices")


def _get_ready() -> None:
    """Load what finds faces before the first photograph comes."""
    with suppress(TenterError):  # without it photographs are kept, and their page says what is missing
        quick_look.get_ready()


@require_POST
@_for_this_machines_owner
def switch_off(request: UserRequest) -> HttpResponse:
    """Listen no more; connected devices stay in the list and come back when it is switched on again."""
    LISTENER.stop()
    pairing.drop_codes(request.user)
    audit.note(request.user, Action.NETWORK_OFF)
    messages.success(request, _("No device reaches this computer any more."))
    return redirect("devices")


@require_POST
@_for_this_machines_owner
@never_cache
def make_code(request: UserRequest) -> HttpResponse:
    """Show a code to scan, once: it is kept nowhere and cannot be shown again."""
    if not LISTENER.host:
        messages.error(request, _("No code was made, because no device can reach this computer. Switch that on first."))
        return redirect("devices")
    form = CodeForm(request.user, request.POST)
    if not form.is_valid():
        return _page(request, code_form=form, status=HTTPStatus.UNPROCESSABLE_ENTITY)
    code = pairing.new_code(request.user, form.cleaned_data["user"], form.cleaned_data["right"])
    return _page(request, code)


@require_POST
@_for_this_machines_owner
def disconnect(request: UserRequest, pk: int) -> HttpResponse:
    """Disconnect a device; raises `Http404` for another studio's."""
    device = get_object_or_404(pairing.devices_of(request.user), pk=pk)
    name = device.name
    pairing.disconnect(device, request.user)
    messages.success(request, _("%(device)s is disconnected and shows nothing any more.") % {"device": name})
    return redirect("devices")


@require_safe
@_for_this_machines_owner
def certificate(_request: UserRequest) -> HttpResponse:
    """Return the authority's certificate as a file, for a device that takes it in by cable; `Http404` without one."""
    return certificate_file()


def certificate_file() -> HttpResponse:
    """Return the authority's certificate as phones take it in; raises `Http404` where there is none."""
    kept = kept_certificates.kept_certificates()
    if kept is None:
        raise Http404
    headers = {"Content-Disposition": 'attachment; filename="tenter-studio.cer"'}
    return HttpResponse(kept.authority_der, content_type="application/x-x509-ca-cert", headers=headers)
