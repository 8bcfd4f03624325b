"""The consultant names the result, or leaves it to the odds: beside its evidence, once it is revealed."""

from uuid import uuid4

from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import sheets, store
from tenter.web.verdict.evidence_views import shown
from tenter.web.verdict.naming_form import NamingForm


@require_POST
def name_result(request: UserRequest, pk: int) -> HttpResponse:
    """Keep the result as the consultant names it, with their reason; also after the sitting has ended."""
    row = access.own_sitting(request.user, pk)
    if row.revealed_at is None:
        return redirect("verdict", row.pk)
    consents.refuse_if_ended(row.client)
    method, odds = store.method_of(row), sheets.screen_of(row).by_odds
    form = NamingForm(method.categories, odds, request.POST)
    if not form.is_valid():
        return shown(request, row, form)
    said = form.cleaned_data
    store.name_result(row, ConsultantVerdict(said["category"], method.name, note=said["reason"]), said["key"])
    audit.note(request.user, Action.RESULT_NAMED, row)
    return redirect("evidence", row.pk)


@require_POST
def leave_to_odds(request: UserRequest, pk: int) -> HttpResponse:
    """Take back what was named; it stays in the record."""
    row = access.own_sitting(request.user, pk)
    consents.refuse_if_ended(row.client)
    if row.revealed_at is not None and store.leave_to_odds(row, uuid4().hex):
        audit.note(request.user, Action.RESULT_LEFT, row)
    return redirect("evidence", row.pk)
