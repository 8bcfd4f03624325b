"""What the bench and the show round share: a stage that is drawn anew after every entry, as a page or as a document."""

from collections.abc import Callable
from dataclasses import asdict
from http import HTTPStatus

from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.utils import timezone

from tenter.errors import TenterError
from tenter.web.bench.bench_entry import MovedOn, enter
from tenter.web.bench.bench_state import BenchState
from tenter.web.bench.show_state import ShowState
from tenter.web.models import Sitting
from tenter.web.rules import access, consents
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store.turns import Closed

StagePage = Callable[[UserRequest, Sitting, str, int], HttpResponse]
Document = Callable[[UserRequest, Sitting], dict[str, object]]


def stage_document(
    request: UserRequest, now: BenchState | ShowState, template: str, context: dict[str, object]
) -> dict[str, object]:
    """Return what a stage shows now as a document, with the stage itself as `template` draws it of `context`."""
    return {**asdict(now), "version": context["version"], "stage": render_to_string(template, context, request)}


def told(request: UserRequest, pk: int, document: Document) -> JsonResponse:
    """Answer with the document of one's own sitting, or with why there is none."""
    row = access.own_sitting(request.user, pk)
    try:
        return JsonResponse(document(request, row))
    except TenterError as error:
        return JsonResponse({"problem": str(error)}, status=HTTPStatus.UNPROCESSABLE_ENTITY)


def write_from_page(request: UserRequest, pk: int, name: str, page: StagePage, document: Document) -> HttpResponse:
    """Write down in one's own sitting what a page sent, and answer with the page or the document, as the page wants it.

    name: of the page's address, to go back to.
    """
    row = access.own_sitting(request.user, pk)
    wants_document = request.headers.get("Accept", "").startswith("application/json")
    try:
        consents.refuse_if_ended(row.client)
        event = enter(row, _said(request), timezone.now())
    except TenterError as error:
        row.refresh_from_db()
        status = (
            HTTPStatus.CONFLICT
            if isinstance(error, (MovedOn, Closed, consents.ConsentMissing))
            else HTTPStatus.UNPROCESSABLE_ENTITY
        )
        if not wants_document:
            return page(request, row, str(error), status)
        now = document(request, row) if status is HTTPStatus.CONFLICT else {}
        return JsonResponse({**now, "problem": str(error)}, status=status)
    if not wants_document:
        return redirect(name, row.pk)
    row.refresh_from_db(fields=("held", "turn", "ended"))
    moved = event is not None and request.POST.get("seen") not in (None, "", str(event.number - 1))
    return JsonResponse({**document(request, row), "saved": True, "moved": moved})


def _said(request: UserRequest) -> dict[str, str]:
    """Return what a page sent; without scripts each flag and each sign is a field of its own."""
    said = {name: str(value) for name, value in request.POST.items()}
    for one, several in (("flag", "flags"), ("sign", "signs")):
        said[several] = " ".join([*request.POST.getlist(several), *request.POST.getlist(one)]).strip()
    return said
