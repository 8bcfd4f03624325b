"""Handing over: from the verdict one click each, as files of the client's own, open to whom the verdict is open."""

from collections.abc import Callable
from http import HTTPStatus

from csp.constants import SELF
from csp.decorators import csp_replace, csp_update
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.clickjacking import xframe_options_sameorigin
from django.views.decorators.http import require_safe

from tenter.consultation.findings.verdict import PhaseMissing
from tenter.errors import MissingPart
from tenter.report.handing_over.handed_file import HandedFile
from tenter.report.printing.forms import SwatchForm
from tenter.web.models import Sitting
from tenter.web.papers import handed, handed_papers, printed_pair
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.verdict.verdict_views import offer

_PAIR = {
    "best": gettext_lazy("A best colour"),
    "less": gettext_lazy("A less good one"),
}  # as a page sends and calls them


def _hand(
    request: UserRequest,
    pk: int,
    make: Callable[[Sitting], HandedFile],
    action: Action,
    *,
    beside: bool = False,
    has_papers: bool = False,
) -> HttpResponse:
    """Return a file of a sitting, to be shown beside the page or kept; before the reveal, the offer to reveal.

    has_papers: whether the client's papers are in it, as they are now.
    """
    row = access.sitting(request.user, pk)
    if row.revealed_at is None:
        return offer(request, row, status=HTTPStatus.CONFLICT)
    consents.refuse_if_ended(row.client)
    try:
        file = make(row)
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row, error.owed, status=HTTPStatus.CONFLICT)
    except MissingPart as error:  # a font, or what draws a PDF
        messages.warning(request, _("Nothing was written: %(why)s.") % {"why": error})
        return redirect("verdict", row.pk)
    audit.note(request.user, action, row)
    if has_papers:
        handed_papers.note_papers(row, request.user)
    named = content_disposition_header(as_attachment=not beside, filename=file.name)
    return HttpResponse(file.content, content_type=file.media_type, headers={"Content-Disposition": str(named)})


@require_safe
@never_cache
@xframe_options_sameorigin
@csp_replace({"frame-ancestors": [SELF]})
def papers(request: UserRequest, pk: int) -> HttpResponse:
    """Give the client's papers as one PDF, to be opened beside the verdict."""
    return _hand(request, pk, handed.papers, Action.PAPERS_WRITTEN, beside=True, has_papers=True)


@require_safe
@never_cache
def given(request: UserRequest, pk: int) -> HttpResponse:
    """List the papers that the client was given."""
    row = access.sitting(request.user, pk)
    return offer(request, row, status=HTTPStatus.CONFLICT) if row.revealed_at is None else listed(request, row)


def listed(request: UserRequest, row: Sitting, fault: str = "", status: int = HTTPStatus.OK) -> HttpResponse:
    """Return the page of a sitting's papers; `fault` is why its photographs were not chosen."""
    pair = printed_pair.pair_of(row)
    now = [pair.best_id, pair.less_id] if pair else [None, None]
    able = printed_pair.offered_photographs(row, access.photographs(request.user))
    context = {
        "sitting": row,
        "papers": [(paper, handed_papers.words_of(paper)) for paper in row.handed_papers.select_related("by")],
        "pair": pair,
        "chosen": list(zip(_PAIR.values(), (pair.best, pair.less), strict=True)) if pair else [],
        "fields": [(*field, asked) for field, asked in zip(_PAIR.items(), now, strict=True)],
        "able": able if len(able) >= printed_pair.FEWEST_FOR_PAIR else [],
        "mine": row.analyst_id == request.user.pk,
        "fault": fault,
        "locked": photo_keys.problem() if pair else "",
        "stopped": consents.ended(row.client),
    }
    return render(request, "verdict/handed_papers.html", context, status=status)


@require_safe
@never_cache
def papers_again(request: UserRequest, pk: int) -> HttpResponse:
    """Give the client's papers as they were written once."""
    found = access.handed_paper(request.user, pk)
    again = Action.PAPERS_WRITTEN_AGAIN
    return _hand(request, found.sitting_id, lambda row: handed.papers_as_of(found), again, beside=True)  # noqa: ARG005


@require_safe
@never_cache
@csp_update({"frame-src": [SELF]})
def print_papers(request: UserRequest, pk: int) -> HttpResponse:
    """Show the papers with the printer's dialogue open."""
    row = access.sitting(request.user, pk)
    if row.revealed_at is None:
        return offer(request, row, status=HTTPStatus.CONFLICT)
    consents.refuse_if_ended(row.client)
    return render(request, "verdict/print_papers.html", {"sitting": row})


@require_safe
@never_cache
def swatches(request: UserRequest, pk: int) -> HttpResponse:
    """Give the sheets of swatches to print, in the form that the address names, or for the wallet."""
    asked = request.GET.get("form", "")
    form = SwatchForm(asked) if asked in [*SwatchForm] else SwatchForm.WALLET
    return _hand(request, pk, lambda row: handed.swatches(row, form), Action.SWATCHES_WRITTEN, beside=True)


@require_safe
@never_cache
def phone(request: UserRequest, pk: int) -> HttpResponse:
    """Give the page for the client's phone, as a file."""
    return _hand(request, pk, handed.phone_page_of, Action.PHONE_PAGE_WRITTEN)


@require_safe
@never_cache
def lock(request: UserRequest, pk: int) -> HttpResponse:
    """Give the picture for the lock screen of the client's phone."""
    return _hand(request, pk, handed.lock_screen_of, Action.LOCK_SCREEN_WRITTEN)


@require_safe
@never_cache
def programs(request: UserRequest, pk: int) -> HttpResponse:
    """Give the palette in the open formats of other programs."""
    return _hand(request, pk, handed.programs, Action.COLOURS_EXPORTED)


@require_safe
@never_cache
def changes(request: UserRequest, pk: int) -> HttpResponse:
    """Give the consultant's changes of the palette as a file, for the command line."""
    return _hand(request, pk, handed.changes_file, Action.PALETTE_CHANGES_WRITTEN)


@require_safe
@never_cache
def mail(request: UserRequest, pk: int) -> HttpResponse:
    """Give a draft of a mail to the client, which the user's own mail program opens and sends."""
    return _hand(request, pk, handed.mail, Action.MAIL_DRAFTED, has_papers=True)
