"""The sittings: the list, and what one holds."""

from http import HTTPStatus

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.client.consent import Purpose
from tenter.consultation.sitting.sitting import Sitting as LiveSitting
from tenter.report.words import terms
from tenter.web.models import Sitting
from tenter.web.papers import sitting_light
from tenter.web.photographs.forms import PhotographForm
from tenter.web.rules import access, audit, consents, keeping
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.sent.looking_up import look_up
from tenter.web.store import answering, kept_lights, screen_link, store, turns

_PAGES = ("bench", "show", "sitting", "evidence")


def sittings(request: UserRequest) -> HttpResponse:
    """List the sittings that the user may see, the latest first."""
    seen = access.sittings(request.user)
    rows = list(seen.values_list("pk", "client__name", "analyst__username", "started__year"))
    found = look_up(request, rows, lambda row: map(str, row[1:]), lambda rows: seen.filter(pk__in=[r[0] for r in rows]))
    return render(request, "people/sittings.html", {"list": found, "sittings": found.page.object_list})


def sitting(request: UserRequest, pk: int) -> HttpResponse:
    """Show what a sitting holds so far."""
    return _show(request, access.sitting(request.user, pk))


@require_safe
def resume(request: UserRequest, pk: int) -> HttpResponse:
    """Go on with a sitting where it stands: at the arrival, on the bench, or at its verdict."""
    row = access.sitting(request.user, pk)
    if row.closed or row.analyst_id != request.user.pk:
        return redirect("sitting", row.pk)
    if row.revealed_at:
        return redirect("verdict", row.pk)
    return redirect("bench" if row.events.exists() else "arrival", row.pk)


@require_POST
def end(request: UserRequest, pk: int) -> HttpResponse:
    """End a sitting: what it holds stays readable, and nothing more is written down."""
    row = access.own_sitting(request.user, pk)
    turns.end(row, request.user)
    answering.learn(row)
    return redirect(_back(request), row.pk)


@require_POST
def open_again(request: UserRequest, pk: int) -> HttpResponse:
    """Let an ended sitting go on."""
    row = access.own_sitting(request.user, pk)
    consents.refuse_if_ended(row.client)
    try:
        turns.open_again(row, request.user)
    except turns.StaysClosed as error:
        return _show(request, row, str(error), HTTPStatus.CONFLICT)
    page, cloths = _back(request), request.POST.get("cloths", "")
    if page == "bench" and cloths:
        return redirect(reverse(page, args=[row.pk], query={"cloths": cloths}))
    return redirect(page, row.pk)


@require_POST
def new_link(request: UserRequest, pk: int) -> HttpResponse:
    """Put an end to the links to the client's screen, and open a new one."""
    row = access.own_sitting(request.user, pk)
    link = screen_link.make_new(row)
    audit.note(request.user, Action.SCREEN_LINK_MADE, row)
    return redirect("client-screen", link)


def _show(request: UserRequest, row: Sitting, problem: str = "", status: int = 200) -> HttpResponse:
    with store.load(row) as live:
        context = {"sitting": row, "entries": len(live.entries), "phase": _phase(live)}
        context["method"] = terms.method_title(live.method.title)
        context["stopped"] = consents.ended(row.client)
        light = kept_lights.light_of_sitting(row)
        context["light"] = {"row": light, "headline": kept_lights.check_in(light).headline} if light else None
        context["later_lights"] = sitting_light.later_lights(row)
        context |= _to_shoot(request, row)
        return render(request, "people/sitting.html", {**context, "problem": problem}, status=status)


def _to_shoot(request: UserRequest, row: Sitting) -> dict[str, object]:
    """Return what the control for a photograph needs; nothing where none can be taken in for this sitting now."""
    refused = consents.ended(row.client) or consents.lacking(row.client, Purpose.MEASURE)
    if row.closed or refused or photo_keys.problem():
        return {}
    form = PhotographForm(request.user, row.client, initial={"sitting": row.pk})
    return {"form": form, "kept_until": keeping.photograph_day(row.client)}


def _phase(live: LiveSitting) -> str:
    """Return the title of the phase that a sitting is in; empty once all are done."""
    titles = (terms.phase(phase.title) for phase in live.method.phases if phase.id == live.phase)
    return next(titles, "")


def _back(request: UserRequest) -> str:
    """Return the page of the sitting that a button was on."""
    page = request.POST.get("back", "")
    return page if page in _PAGES else "sitting"
