"""The verdict: hidden until the analyst asks for it, then on one screen and as the papers to hand over and to keep."""

from http import HTTPStatus

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.findings.verdict import PhaseMissing, owed
from tenter.report.handing_over.papers import pdf_of
from tenter.report.reading.named_result import Paper
from tenter.report.reading.one_screen import OneScreen
from tenter.web.bench.bench_links import bench_link
from tenter.web.models import Sitting
from tenter.web.papers import handed, handed_papers, sitting_light
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import sheets, store, turns
from tenter.web.verdict.naming_form import NamingForm

_OWED = "verdict/verdict_owed.html"


@require_safe
@never_cache
def verdict(request: UserRequest, pk: int) -> HttpResponse:
    """Show the verdict, or before its reveal only the offer to reveal it."""
    row = access.sitting(request.user, pk)
    return offer(request, row) if row.revealed_at is None else shown(request, row)


def shown(request: UserRequest, row: Sitting, refused: NamingForm | None = None) -> HttpResponse:
    """Return the page of a revealed verdict; `refused` is what could not be named, to be mended."""
    try:
        screen = sheets.screen_of(row)
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row, error.owed)
    context = {
        "sitting": row,
        "screen": screen,
        "sheet": screen.sheet,
        "repeats": [(repeat.line, bench_link(repeat.hold)) for repeat in screen.repeats],
        "settle": bench_link(screen.settles) if screen.settles else "",
        "stopped": consents.ended(row.client),
        "lights": sitting_light.light_of_verdict(row),
        "form": (refused or _naming(row, screen)) if row.analyst_id == request.user.pk else None,
    }
    status = HTTPStatus.OK if refused is None else HTTPStatus.UNPROCESSABLE_ENTITY
    return render(request, "verdict/verdict.html", context, status=status)


def _naming(row: Sitting, screen: OneScreen) -> NamingForm:
    named = screen.named
    said = {"category": named.category, "reason": named.reason} if named else {"category": screen.by_odds}
    return NamingForm(store.method_of(row).categories, screen.by_odds, initial=said)


@require_POST
def reveal(request: UserRequest, pk: int) -> HttpResponse:
    """Reveal the verdict: once, by the analyst, and on the record. What the analyst judged before was judged blind."""
    row = access.own_sitting(request.user, pk)
    consents.refuse_if_ended(row.client)
    with store.load(row) as live:
        missing = owed(live)
    if missing and row.revealed_at is None:
        return offer(request, row, missing, status=HTTPStatus.CONFLICT)
    if Sitting.objects.filter(pk=row.pk, revealed_at=None).update(revealed_at=timezone.now()):
        audit.note(request.user, Action.VERDICT_REVEALED, row)
        if row.blind_to_id is not None:  # the first reading is open to them from now on
            turns.end(row, request.user)
    return redirect("verdict", row.pk)


@require_safe
@never_cache
def sheet(request: UserRequest, pk: int) -> HttpResponse:
    """Give the client's paper as a PDF, or the studio's sheet; before the reveal, the offer to reveal."""
    row = access.sitting(request.user, pk)
    if row.revealed_at is None:
        return offer(request, row, status=HTTPStatus.CONFLICT)
    consents.refuse_if_ended(row.client)
    for_studio = request.GET.get("paper") == Paper.STUDIO
    try:
        paper = handed.studio_sheet_of(row) if for_studio else handed.paper_of(row)
    except PhaseMissing as error:
        return offer(request, row, error.owed, status=HTTPStatus.CONFLICT)
    audit.note(request.user, Action.SHEET_WRITTEN, row)
    if not for_studio:
        handed_papers.note_papers(row, request.user)
    which, name = "studio-sheet" if for_studio else "your-colours", slugify(row.client.name) or "client"
    return HttpResponse(
        pdf_of(paper)[0],
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{which}-{name}.pdf"'},
    )


def offer(
    request: UserRequest, row: Sitting, missing: tuple[str, ...] | None = None, status: int = 200
) -> HttpResponse:
    """Return the page that stands in the verdict's place: the offer to reveal it, or what is still owed."""
    if missing is None:
        with store.load(row) as live:
            missing = owed(live)
    mine = row.analyst_id == request.user.pk
    context = {"sitting": row, "owed": missing, "said": PhaseMissing(missing) if missing else "", "mine": mine}
    return render(request, _OWED, context, status=status)
