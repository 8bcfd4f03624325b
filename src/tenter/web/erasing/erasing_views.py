"""A client erased: what goes with the client is shown, and asked about once."""

from http import HTTPStatus

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.web.erasing import client_erasing
from tenter.web.erasing.erasing_form import EraseClientForm
from tenter.web.rules import access
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.server.clean_disk import Left


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def erase(request: UserRequest, pk: int) -> HttpResponse:
    """Show what is erased with a client, and erase it; for the client's owner alone."""
    client = access.owned_client(request.user, pk)
    copies = client_erasing.safety_copies_here() if request.user.is_superuser else []
    form = EraseClientForm(client, copies, request.POST if request.method == "POST" else None)
    if form.is_valid():
        done = client_erasing.erase_client(client, request.user, with_copies=form.cleaned_data.get("copies", False))
        (messages.warning if done.left is Left.MORE else messages.success)(request, str(done))
        return redirect("people")
    context = {
        "client": client,
        "form": form,
        "counted": client_erasing.counted_with(client),
        "logged": _(Action.CLIENT_ERASED),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound else HTTPStatus.OK
    return render(request, "erasing/person_erase.html", context, status=status)
