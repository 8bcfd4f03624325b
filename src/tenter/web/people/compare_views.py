"""Two sittings of one client: whether they show a change, and which causes are excluded."""

from http import HTTPStatus
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.consultation.compared.reanalysis import reanalysis
from tenter.errors import TenterError
from tenter.report.on_screen.reanalysis import ReanalysisPage, reanalysis_page
from tenter.report.words.wording import sentence
from tenter.web.models import Client
from tenter.web.people.compare_form import CompareForm
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import store

_AT_LEAST = 2


@require_safe
@never_cache
def compare(request: UserRequest, pk: int) -> HttpResponse:
    """Ask which two sittings, and say what the second shows beside the first."""
    client = access.card_to_edit(request.user, pk)
    read = access.sittings(request.user).filter(client=client, revealed_at__isnull=False)
    context: dict[str, Any] = {"client": client}
    if read.count() >= _AT_LEAST:
        asked = request.GET if "later" in request.GET else None
        form = CompareForm(read, access.kits(request.user), asked)
        context |= {"form": form, "page": _page(client, form) if form.is_bound and form.is_valid() else None}
        status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
        return render(request, "people/compare.html", context, status=status)
    return render(request, "people/compare.html", context)


def _page(client: Client, form: CompareForm) -> ReanalysisPage | None:
    """Return what is said of the two; None where they cannot be compared, and the form says why then."""
    rows = {when: form.cleaned_data[when] for when in ("earlier", "later")}
    try:
        with store.load_both(*rows.values()) as (earlier, later):
            found = reanalysis(form.sat("earlier", earlier), form.sat("later", later))
    except TenterError as error:
        form.add_error(None, f"{sentence(str(error))}.")
        return None
    return reanalysis_page(client.name, found)
