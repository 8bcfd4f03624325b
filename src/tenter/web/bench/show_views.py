"""The show round: after the verdict one cloth after the other, one key each, and what the client brought."""

import secrets
from http import HTTPStatus

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import pgettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from tenter.consultation.cloths.said_cloths import cloths_said
from tenter.consultation.findings.verdict import PhaseMissing
from tenter.errors import TenterError
from tenter.web.bench.bench_words import BROUGHT
from tenter.web.bench.show_state import ShowState, show_state
from tenter.web.bench.stage import stage_document, told, write_from_page
from tenter.web.models import Sitting
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import store

_BEST, _YES = pgettext_lazy("a cloth shown", "Best"), pgettext_lazy("a cloth shown", "Yes")
_AWAY, _NO = pgettext_lazy("a cloth shown", "Away"), pgettext_lazy("a cloth shown", "No")
_WORTHS = (
    ("best", _BEST, "1", _BEST),
    ("yes", _YES, "2 g", _YES),
    ("away", _AWAY, "3", pgettext_lazy("a cloth shown", "Away from the face")),
    ("no", _NO, "4 w", _NO),
)


@never_cache
@require_GET
def show(request: UserRequest, pk: int) -> HttpResponse:
    """Show the round, with the next cloth or the one that the address names; before the reveal, the verdict's page.

    What a `TenterError` says of the address is on the page.
    """
    row = access.own_sitting(request.user, pk)
    try:
        return _page(request, row) if row.revealed_at else redirect("verdict", row.pk)
    except PhaseMissing:  # entries were undone after the reveal
        return redirect("verdict", row.pk)


@never_cache
@require_GET
def state(request: UserRequest, pk: int) -> HttpResponse:
    """Return the round as a document."""
    return told(request, pk, _document)


@never_cache
@require_POST
def entry(request: UserRequest, pk: int) -> HttpResponse:
    """Write down what was shown or brought, and answer with the round as it is then."""
    return write_from_page(request, pk, "show", _page, _document)


def _page(request: UserRequest, row: Sitting, problem: str = "", status: int = 200) -> HttpResponse:
    try:
        now = _look(request, row)
    except PhaseMissing:
        raise
    except TenterError as error:
        now, problem, status = _look(None, row), str(error), HTTPStatus.UNPROCESSABLE_ENTITY
    return render(request, "bench/show.html", {**_context(row, now), "problem": problem}, status=status)


def _document(request: UserRequest, row: Sitting) -> dict[str, object]:
    now = _look(request, row)
    return stage_document(request, now, "bench/show_stage.html", _context(row, now))


def _look(request: UserRequest | None, row: Sitting) -> ShowState:
    if row.revealed_at is None:
        raise TenterError(_("cloths are shown only after the verdict is revealed; reveal it first"))
    wanted = request.GET.get("cloths", "").strip() if request else ""
    with store.load(row) as live:
        wanted = " ".join(cloths_said(live.kit, wanted))
        return show_state(live, wanted, ended=row.closed is not None)


def _context(row: Sitting, now: ShowState) -> dict[str, object]:
    return {
        "sitting": row,
        "state": now,
        "version": now.event + row.turn,
        "key": secrets.token_hex(16),
        "worths": _WORTHS,
        "kinds": [(str(kind), words) for kind, words in BROUGHT.items()],
    }
