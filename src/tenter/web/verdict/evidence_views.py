"""The verdict's second layer, for the consultant: the evidence by axis, contradictions, and what would settle it."""

from http import HTTPStatus

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.consultation.findings.verdict import PhaseMissing
from tenter.report.reading.one_screen import OneScreen
from tenter.web.bench.bench_links import bench_link
from tenter.web.models import Sitting
from tenter.web.papers import sitting_light
from tenter.web.people.told_rows import shown_results
from tenter.web.rules import access, consents
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import sheets, store
from tenter.web.verdict.naming_form import NamingForm
from tenter.web.verdict.verdict_views import offer

_AT_ONCE = 2  # contradictions that are shown before the key for the others is pressed


@require_safe
@never_cache
def evidence(request: UserRequest, pk: int) -> HttpResponse:
    """Show why the verdict is what it is, or before its reveal only the offer to reveal it."""
    row = access.sitting(request.user, pk)
    return offer(request, row) if row.revealed_at is None else shown(request, row)


def shown(request: UserRequest, row: Sitting, refused: NamingForm | None = None) -> HttpResponse:
    """Return the evidence of a revealed verdict; `refused` is what could not be named, to be mended."""
    try:
        screen = sheets.screen_of(row)
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row, error.owed)
    repeats = [(number, one, bench_link(one.hold)) for number, one in enumerate(screen.repeats, 1)]
    context = {
        "sitting": row,
        "screen": screen,
        "sheet": screen.sheet,
        "repeats": repeats[:_AT_ONCE],
        "more": repeats[_AT_ONCE:],
        "settle": bench_link(screen.settles) if screen.settles else "",
        "told_before": shown_results(request.user, row.client),
        "lights": sitting_light.light_of_verdict(row),
        "stopped": consents.ended(row.client),
        "form": (refused or _naming(row, screen)) if row.analyst_id == request.user.pk else None,
    }
    status = HTTPStatus.OK if refused is None else HTTPStatus.UNPROCESSABLE_ENTITY
    return render(request, "verdict/evidence.html", context, status=status)


def _naming(row: Sitting, screen: OneScreen) -> NamingForm:
    named = screen.named
    said = {"category": named.category, "reason": named.reason} if named else {"category": screen.by_odds}
    return NamingForm(store.method_of(row).categories, screen.by_odds, initial=said)
