"""The stock of snippets: the drawers with what they hold, more of them, and what comes in and goes out of each."""

from http import HTTPStatus
from typing import Any

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.consultation.stock.files import stock_csv
from tenter.consultation.stock.snippets import Stock
from tenter.errors import TenterError
from tenter.language import in_a_row
from tenter.report.on_screen.pick_words import stock_words
from tenter.report.on_screen.stock_swatches import snippet_swatches
from tenter.report.words import terms
from tenter.report.words.wording import sentence
from tenter.web.models import SnippetRecord
from tenter.web.rules import access, audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.stock import stock_room
from tenter.web.stock.stock_forms import FromKitForm, LabelForm, MoveForm, SnippetForm, StockTableForm


@require_safe
@never_cache
def stock(request: UserRequest) -> HttpResponse:
    """Show every drawer with its colour and its count, and what is to be reordered."""
    owner = access.studio_owner(request.user)
    rows = {row.drawer: row for row in stock_room.rows_of(owner)}
    found = stock_room.stock_of(owner)
    swatches = snippet_swatches(found)
    shown = [
        {"row": rows[swatch.drawer], "swatch": swatch, "held": stock_words(found[swatch.drawer])} for swatch in swatches
    ]
    context = {
        "drawers": shown,
        "low": [one for one, swatch in zip(shown, swatches, strict=True) if found[swatch.drawer].is_low],
        "counted": _counted(found),
    }
    return render(request, "stock/stock.html", context)


def _counted(found: Stock) -> str:
    count = sum(one.count for one in found)
    drawers = ngettext("%(count)s drawer", "%(count)s drawers", len(found)) % {"count": len(found)}
    pieces = ngettext("%(count)s piece", "%(count)s pieces", count) % {"count": count}
    return in_a_row([drawers, pieces])


@require_safe
@never_cache
def table(request: UserRequest) -> HttpResponse:
    """Give the stock as it is now, as a file that can be taken in again."""
    content = stock_csv(stock_room.stock_of(access.studio_owner(request.user)))
    return HttpResponse(
        content,
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": 'attachment; filename="stock.csv"', "Cache-Control": "no-store"},
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def add(request: UserRequest) -> HttpResponse:
    """Take in snippets, by hand, as a table, or out of a kit."""
    kits, sent = access.kits(request.user), request.POST.get("by", "")
    given = {sent: (request.POST, request.FILES)}
    forms: dict[str, Any] = {
        "one": SnippetForm(*given.get("one", ())),
        "table": StockTableForm(*given.get("table", ())),
        "kit": FromKitForm(kits, *given.get("kit", ())),
    }
    form = forms.get(sent)
    if form is not None and form.is_valid() and _put_in(request, form):
        return redirect("stock")
    context = {"forms": forms, "kits": kits.exists(), "sent": sent}
    status = HTTPStatus.OK if form is None else HTTPStatus.UNPROCESSABLE_ENTITY
    return render(request, "stock/stock_add.html", context, status=status)


def _put_in(request: UserRequest, form: forms.Form) -> bool:
    """Put a form's snippets into their drawers; False where one is in use, and the form says so then."""
    snippets = form.cleaned_data["snippets"]
    try:
        with transaction.atomic():
            stock_room.put_into_drawers(access.studio_owner(request.user), request.user, snippets)
            audit.note(request.user, Action.SNIPPETS_ADDED, f"{len(snippets)}")
    except TenterError as error:
        form.add_error(None, f"{sentence(str(error))}.")
        return False
    added = ngettext("%(count)s snippet added.", "%(count)s snippets added.", len(snippets))
    messages.success(request, added % {"count": len(snippets)})
    return True


# -- one drawer --------------------------------------------------------------------------------------------------------


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def snippet(request: UserRequest, pk: int) -> HttpResponse:
    """Show a drawer with what went in and out of it, and count what comes."""
    row = access.snippet(request.user, pk)
    found = stock_room.stock_of(row.owner)
    form = MoveForm(found, row.drawer, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid() and _moved(request, row, form):
        return redirect("snippet", row.pk)
    return _show(request, row, form, 200 if request.method != "POST" else HTTPStatus.UNPROCESSABLE_ENTITY)


def _show(request: UserRequest, row: SnippetRecord, form: MoveForm, status: int = 200) -> HttpResponse:
    found = stock_room.stock_of(row.owner)
    [swatch] = [one for one in snippet_swatches(found) if one.drawer == row.drawer]
    context = {
        "row": row,
        "swatch": swatch,
        "held": stock_words(found[row.drawer]),
        "movements": [
            {"row": one, "why": terms.why_moved(one.why)}
            for one in row.movements.select_related("by", "sitting__client")
        ],
        "seen": set(access.sittings(request.user).values_list("pk", flat=True)),
        "form": form,
        "label": LabelForm(initial={"name": row.name, "reorder_at": row.reorder_at}),
    }
    return render(request, "stock/snippet.html", context, status=status)


def _moved(request: UserRequest, row: SnippetRecord, form: MoveForm) -> bool:
    moved = form.cleaned_data["moved"]
    if not moved:
        messages.success(request, _("The count was right, so nothing changed."))
        return True
    try:
        with transaction.atomic():
            if stock_room.move(row.owner, request.user, moved, form.cleaned_data["key"]):
                audit.note(request.user, Action.STOCK_MOVED, row)
    except TenterError as error:
        form.add_error(None, f"{sentence(str(error))}.")
        return False
    return True


@require_POST
def label(request: UserRequest, pk: int) -> HttpResponse:
    """Change what a snippet is called, and at how few pieces it is reordered."""
    row = access.snippet(request.user, pk)
    form = LabelForm(request.POST)
    if not form.is_valid():
        messages.error(request, " ".join(str(error) for errors in form.errors.values() for error in errors))
    else:
        SnippetRecord.objects.filter(pk=row.pk).update(**form.cleaned_data)
        messages.success(request, _("The label is changed."))
    return redirect("snippet", row.pk)


@require_POST
def clear(request: UserRequest, pk: int) -> HttpResponse:
    """Take a snippet out of the stock, so that its drawer can be another's."""
    row = access.snippet(request.user, pk)
    with transaction.atomic():
        stock_room.clear(row)
        audit.note(request.user, Action.DRAWER_CLEARED, row)
    messages.success(request, _("Drawer %(drawer)s is free for another snippet.") % {"drawer": row.drawer})
    return redirect("stock")
