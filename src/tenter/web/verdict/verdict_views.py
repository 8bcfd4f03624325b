"""The verdict: hidden until the analyst asks for it, then a screen to turn to the client, and papers to hand over."""

from contextlib import nullcontext
from http import HTTPStatus

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.findings.verdict import PhaseMissing, owed
from tenter.language import language
from tenter.report.client_paper.turned import turned_verdict
from tenter.report.handing_over.papers import pdf_of
from tenter.report.reading.named_result import Paper
from tenter.web.models import Sitting
from tenter.web.papers import handed, handed_papers
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.client_language import in_clients_language
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import store, turns

_OWED = "verdict/verdict_owed.html"


@require_safe
@never_cache
def verdict(request: UserRequest, pk: int) -> HttpResponse:
    """Show the verdict to the client, or before its reveal only the offer to reveal it."""
    row = access.sitting(request.user, pk)
    return offer(request, row) if row.revealed_at is None else turned(request, row)


def turned(request: UserRequest, row: Sitting) -> HttpResponse:
    """Return a revealed verdict as one turns it to the client."""
    try:
        paper = handed.paper_of(row)
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row, error.owed)
    context = {"sitting": row, "paper": paper, "stopped": consents.ended(row.client), "ours": language()}
    with in_clients_language(row.client):  # all but what is the consultant's to press
        return render(request, "verdict/verdict.html", {**context, "turned": turned_verdict(paper)})


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
    with nullcontext() if for_studio else in_clients_language(row.client):
        content, _notes = pdf_of(paper)
    audit.note(request.user, Action.SHEET_WRITTEN, row)
    if not for_studio:
        handed_papers.note_papers(row, request.user)
    which, name = "studio-sheet" if for_studio else "your-colours", slugify(row.client.name) or "client"
    return HttpResponse(
        content,
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
