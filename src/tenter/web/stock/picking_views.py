"""The pick list of a sitting: which drawers give a piece, what is printed, and what the client has already."""

from http import HTTPStatus
from secrets import token_hex

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from tenter.consultation.findings.verdict import PhaseMissing
from tenter.consultation.stock.movements import Movement, MovementReason, picked
from tenter.errors import TenterError
from tenter.report.on_screen.pick_words import by_hand_line, pick_summary
from tenter.report.words.wording import sentence
from tenter.web.models import Sitting, SnippetRecord
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.row_numbers import row_number
from tenter.web.stock import stock_room
from tenter.web.stock.picking import ForClient, for_client
from tenter.web.stock.stock_forms import TakeForm, WithinForm
from tenter.web.verdict.verdict_views import offer


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def pick(request: UserRequest, pk: int) -> HttpResponse:
    """Show what a sitting's palette takes out of the drawers, or count down what was taken."""
    row = access.sitting(request.user, pk)
    if row.revealed_at is None:
        return offer(request, row, status=HTTPStatus.CONFLICT)
    asked = WithinForm(request.GET)
    within = asked.cleaned_data["within"] if asked.is_valid() else None
    try:
        found = for_client(row, within)
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row, error.owed, status=HTTPStatus.CONFLICT)
    if request.method == "POST":
        consents.refuse_if_ended(row.client)
        return _taken(request, row, found)
    context = {
        "sitting": row,
        "list": found,
        "summary": pick_summary(found.found),
        "by_hand": by_hand_line(found.found),
        "asked": WithinForm(initial={"within": f"{within:g}" if within is not None else ""}),
        "stocked": stock_room.rows_of(row.client.owner).exists(),
        "key": token_hex(16),
    }
    return render(request, "stock/pick.html", context)


def _taken(request: UserRequest, row: Sitting, found: ForClient) -> HttpResponse:
    """Count down the drawers that were ticked, once for one press, or say why not."""
    again = redirect(f"{request.path}?{request.GET.urlencode()}" if request.GET else request.path)
    key = request.POST.get("key", "")
    if row.picked.filter(key=key).exists():
        return again
    form = TakeForm(found.found.drawers, request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(str(error) for errors in form.errors.values() for error in errors))
        return again
    drawers = form.cleaned_data["drawers"]
    try:
        with transaction.atomic():
            if stock_room.move(row.client.owner, request.user, picked(drawers, stock_room.now()), key, row):
                audit.note(request.user, Action.STOCK_PICKED, row)
    except TenterError as error:
        messages.error(request, _("%(problem)s. Nothing was counted.") % {"problem": sentence(str(error))})
        return again
    said = ngettext("%(count)s piece taken from stock.", "%(count)s pieces taken from stock.", len(drawers))
    messages.success(request, said % {"count": len(drawers)})
    return again


@require_POST
def put_back(request: UserRequest, pk: int) -> HttpResponse:
    """Count one piece of a drawer back in, which the client does not get after all.

    Raises `Http404` for a drawer of which the sitting has none out.
    """
    row = access.sitting(request.user, pk)
    held: dict[int | None, SnippetRecord] = {snippet.pk: snippet for snippet, _ in stock_room.out_for(row)}
    snippet = held.get(row_number(request.POST.get("snippet", "")))
    if snippet is None:
        raise Http404
    key = request.POST.get("key", "")[:64] or token_hex(16)
    if snippet.cleared:
        said = _("The piece could not be put back, because drawer %(drawer)s has been cleared since.")
        messages.error(request, said % {"drawer": snippet.drawer})
        return redirect("pick", row.pk)
    back = Movement(snippet.drawer, 1, MovementReason.PUT_BACK, stock_room.now())
    with transaction.atomic():
        if stock_room.move(row.client.owner, request.user, [back], key, row):
            audit.note(request.user, Action.STOCK_MOVED, snippet)
    messages.success(request, _("One piece is back in drawer %(drawer)s.") % {"drawer": snippet.drawer})
    return redirect("pick", row.pk)
