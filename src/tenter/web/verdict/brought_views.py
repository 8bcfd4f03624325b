"""What the client brought to the show round, by name or by photograph."""

import secrets
from http import HTTPStatus
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.consultation.client.consent import Purpose
from tenter.errors import TenterError
from tenter.report.words.wording import sentence
from tenter.web.bench import brought_things
from tenter.web.bench.brought_things import BroughtThing
from tenter.web.models import Sitting, ThingPhotograph
from tenter.web.pictures import intake
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.rules import access, consents
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.store import store
from tenter.web.verdict.brought_form import BroughtPhotographForm, kind_words
from tenter.web.verdict.verdict_views import offer


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def brought(request: UserRequest, pk: int) -> HttpResponse:
    """Show what was brought, or take in a photograph of a thing."""
    row = access.own_sitting(request.user, pk)
    if row.revealed_at is None:
        return offer(request, row, status=HTTPStatus.CONFLICT)
    if request.method == "POST":
        consents.refuse_if_ended(row.client)
    with store.load(row) as live:
        things = brought_things.brought_things(live)
    form = None
    lacking = consents.lacking(row.client, Purpose.MEASURE)
    if request.method == "POST" and not lacking:
        form = BroughtPhotographForm(request.POST, request.FILES, too_large=is_too_large(request))
        if form.is_valid() and _taken(request, row, form, things):
            return redirect("brought", row.pk)
    return _page(request, row, form, things, lacking)


def _page(
    request: UserRequest,
    row: Sitting,
    form: BroughtPhotographForm | None,
    things: tuple[BroughtThing, ...],
    lacking: consents.ConsentMissing | None,
) -> HttpResponse:
    paired, taken_back = brought_things.with_photographs(things, access.things(request.user).filter(sitting=row))
    asked = (form.data if form else request.GET).get("entry", "")
    named = next((thing for thing, photograph in paired if not photograph and str(thing.entry) == asked), None)
    fresh = BroughtPhotographForm(initial={"key": secrets.token_hex(16), "entry": named.entry if named else None})
    shown = form or fresh
    if named:
        for field in ("brought", "name", "worth"):
            del shown.fields[field]
    context = {
        "sitting": row,
        "things": [(thing, kind_words(thing.kind), photograph) for thing, photograph in paired],
        "taken_back": taken_back,
        "named": named,
        "form": shown,
        "ended": row.closed is not None,
        "locked": photo_keys.problem(),
        "lacking": lacking,
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form else HTTPStatus.OK
    if request.method == "POST" and lacking:
        status = HTTPStatus.CONFLICT
    return render(request, "verdict/brought.html", context, status=status)


def _taken(request: UserRequest, row: Sitting, form: BroughtPhotographForm, things: tuple[BroughtThing, ...]) -> bool:
    """Keep a photograph, and write down what it shows unless that is named already; the form says why it cannot be."""
    problem = photo_keys.problem()  # before anything is written down
    if problem:
        form.add_error(None, f"{sentence(problem)}.")
        return False
    try:
        entry = _entry(row, form.cleaned_data, things)
    except TenterError as error:
        form.add_error(None, f"{sentence(str(error))}.")
        return False
    if access.things(request.user).filter(sitting=row, entry=entry).exists():
        form.add_error(None, _("This thing has a photograph already. Erase that one first."))
        return False
    taken = ThingPhotograph(sitting=row, by=request.user, entry=entry, **form.fields_of())
    return intake.taken_in(request, form, taken, measured=form.is_measured)


def _entry(row: Sitting, said: dict[str, Any], things: tuple[BroughtThing, ...]) -> int:
    """Return the entry that a photograph belongs to: one that stands, or a new one."""
    if said["entry"]:
        if said["entry"] not in {thing.entry for thing in things}:
            raise TenterError(_("that thing is no longer on the list of what was brought; show it again"))
        return int(said["entry"])
    kind = said["brought"]
    name = said["name"].strip() or brought_things.name_for(kind, things)
    told = {"act": f"brought {said['worth']}", "brought": kind, "name": name, "key": f"{said['key']}p"}
    return brought_things.show(row, told, timezone.now())
