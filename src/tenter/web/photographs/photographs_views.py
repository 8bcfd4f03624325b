"""A client's photographs: the list, another one, and all of them erased."""

from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from tenter.consultation.client.consent import Purpose
from tenter.web.models import Client, Photograph
from tenter.web.papers import photo_together
from tenter.web.photographs import one_face, photo_baseline, taking_in_views
from tenter.web.photographs.forms import PhotographForm
from tenter.web.photographs.kept_photograph import keep_photograph
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.rules import access, consents, keeping
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.sweeping import photo_sweep


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def photographs(request: UserRequest, pk: int) -> HttpResponse:
    """Show a client's photographs, or take another in."""
    client = access.client(request.user, pk)
    lacking = consents.ended(client) or consents.lacking(client, Purpose.MEASURE)
    if request.method == "POST" and not lacking:
        form = PhotographForm(request.user, client, request.POST, request.FILES, too_large=is_too_large(request))
        if form.is_valid() and (row := keep_photograph(request, client, form)):
            return redirect("photograph", row.pk)
        return _show(request, client, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    form = PhotographForm(request.user, client, initial={"sitting": _sitting_now(request, client)})
    return _show(request, client, form, HTTPStatus.CONFLICT if request.method == "POST" else HTTPStatus.OK, lacking)


def _sitting_now(request: UserRequest, client: Client) -> str | int | None:
    """Return the number of the sitting that is asked for, or else of the one the client has open with the user."""
    mine = access.sittings(request.user).filter(client=client, analyst=request.user, ended__isnull=True)
    return request.GET.get("sitting") or mine.values_list("pk", flat=True).first()


def _show(
    request: UserRequest,
    client: Client,
    form: PhotographForm,
    status: int = 200,
    lacking: consents.ConsentMissing | None = None,
) -> HttpResponse:
    found = photo_together.numbered(access.photographs(request.user).filter(client=client))
    coming = taking_in_views.offered(request, client)
    context = {
        **coming,
        "version": taking_in_views.version_of(found, coming),
        "client": client,
        "photographs": found,
        "erasable": sum(access.may_erase(request.user, row) for row in found),
        "series": access.client_series(request.user, client),
        "form": form,
        "lacking": lacking,
        "locked": photo_keys.problem(),
        "together": photo_together.photographs_together(found),
        "one_face": one_face.offer(found),
        **_against(found, request.GET.get("baseline", "")),
        "kept_until": keeping.photograph_day(client),
        "waiting": any(row.waits for row in found),
    }
    return render(request, "photographs/photographs.html", context, status=status)


def _against(found: list[Photograph], chosen: str) -> dict[str, Any]:
    """Return what may be the baseline, and the others against the one that is."""
    able = photo_baseline.choices(found)
    baseline = next((row for row in able if str(row.pk) == chosen), None)
    return {
        "baselines": able,
        "baseline": baseline,
        "against": photo_baseline.against(able, baseline) if baseline else [],
    }


@require_POST
def erase_all(request: UserRequest, pk: int) -> HttpResponse:
    """Erase every photograph of a client that the user may erase."""
    client = access.client(request.user, pk)
    found = access.photographs(request.user).filter(client=client)
    count = photo_sweep.erase_pictures([row for row in found if access.may_erase(request.user, row)], request.user)
    messages.success(request, _erased(count))
    return redirect("photographs", client.pk)


def _erased(count: int) -> str:
    if count == 0:
        return _("There was nothing to erase.")
    return ngettext("%(count)s photograph erased.", "%(count)s photographs erased.", count) % {"count": count}
