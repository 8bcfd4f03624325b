"""A client's wardrobe: where each piece is worn, what is missing, what a purchase adds, and a month without one."""

from http import HTTPStatus
from typing import Any

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.consultation.garments.buying import buy_list
from tenter.consultation.garments.gaps import wardrobe_coverage
from tenter.consultation.garments.outfits import outfits
from tenter.consultation.garments.resting import rest_plan
from tenter.consultation.garments.wardrobe import Piece
from tenter.errors import TenterError
from tenter.report.on_screen import wardrobe_words as words
from tenter.report.words import terms
from tenter.report.words.wording import sentence
from tenter.web.garments import wardrobe_rows
from tenter.web.garments.wardrobe_form import PieceForm, SpendForm, WardrobeTableForm
from tenter.web.garments.wardrobe_rows import Measure, WardrobeRow
from tenter.web.models import Client
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.sent_text import said_lines
from tenter.web.sweeping import traces


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def wardrobe(request: UserRequest, pk: int) -> HttpResponse:
    """Show a client's wardrobe against their palette, or take in another piece."""
    client = access.card_to_edit(request.user, pk)
    if request.method == "POST":
        consents.refuse_if_ended(client)
    against = wardrobe_rows.measure_for(request.user, client)
    if against is None:
        return render(request, "garments/wardrobe.html", {"client": client})
    many = "table" in request.FILES
    form = PieceForm(
        request.POST if request.method == "POST" and not many else None, initial={"colour": request.GET.get("colour")}
    )
    table = WardrobeTableForm(request.POST, request.FILES) if many else WardrobeTableForm(auto_id="table-%s")
    sent: PieceForm | WardrobeTableForm = table if many else form
    if sent.is_bound and sent.is_valid() and _kept(request, client, against, sent):
        return redirect("wardrobe", client.pk)
    context = {"client": client, "sitting": against.sitting, "form": form, "table": table}
    context |= _told(request, client, against)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if sent.errors else HTTPStatus.OK
    return render(request, "garments/wardrobe.html", context, status=status)


def _kept(request: UserRequest, client: Client, against: Measure, form: PieceForm | WardrobeTableForm) -> bool:
    """Keep one piece, or all of a table; the form says why it cannot be, and nothing is kept then."""
    try:
        with transaction.atomic():
            if isinstance(form, PieceForm):
                wardrobe_rows.add_piece(client, request.user, against, form.said)
            else:
                said = form.cleaned_data
                wardrobe_rows.add_table(client, request.user, against, said["table"], wished=said["wishes"])
            audit.note(request.user, Action.WARDROBE_CHANGED, client)
    except TenterError as error:
        lines = said_lines(error) if isinstance(form, WardrobeTableForm) else [sentence(str(error))]
        form.add_error(None, [f"{line}." for line in lines])
        return False
    return True


@require_safe
@never_cache
def table(request: UserRequest, pk: int) -> HttpResponse:
    """Give what is owned, or with `wishes` what is wished for, as a table that the command line reads."""
    client = access.card_to_edit(request.user, pk)
    wished = "wishes" in request.GET
    name = "wishes.csv" if wished else "owned.csv"
    return HttpResponse(
        wardrobe_rows.wardrobe_table(client, wished=wished),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


@require_POST
def change(request: UserRequest, pk: int) -> HttpResponse:
    """Note that a piece was worn or bought, or take it off the list."""
    row = access.piece(request.user, pk)
    if request.POST.get("act") != "off":
        consents.refuse_if_ended(row.client)
    with transaction.atomic():
        try:
            wardrobe_rows.changed(row, request.POST.get("act", ""))
        except TenterError:
            return redirect("wardrobe", row.client_id)
        audit.note(request.user, Action.WARDROBE_CHANGED, row.client)
    if request.POST.get("act") == "off":
        traces.remove_traces()
    return redirect("wardrobe", row.client_id)


def _told(request: UserRequest, client: Client, against: Measure) -> dict[str, Any]:
    found = wardrobe_rows.held_pieces(client, against)
    owned, wished = (wardrobe_rows.pieces(found, wished=wanted) for wanted in (False, True))
    plan = rest_plan(owned, contrast=against.contrast)
    spend = SpendForm(request.GET if "budget" in request.GET else None)
    return {
        "owned": [_line(one) for one in found if not one.row.wished],
        "wished": [_line(one) for one in found if one.row.wished],
        "gaps": [words.gap_words(part) for part in wardrobe_coverage(against.palette, owned)],
        "outfits": words.count_words(len(outfits(owned, against.contrast)), owned),
        "contrast": terms.contrast_words(against.contrast) if against.contrast else "",
        "spend": spend,
        "nothing_thrown": words.nothing_thrown_words(),
        "rest": words.rest_words(plan),
        "days": [words.outfit_words(outfit) for outfit in plan.days],
        **_bought(owned, wished, client, against, spend),
    }


def _line(one: WardrobeRow) -> dict[str, Any]:
    told = f"{words.piece_words(one.piece)} {words.cost_words(one.piece)}".strip() if one.piece else ""
    problem = ""
    if one.problem:
        problem = _("%(problem)s. Remove it and add it again.") % {"problem": sentence(one.problem)}
    return {"row": one.row, "kind": terms.piece_kind(one.row.kind), "told": told, "problem": problem}


def _bought(
    owned: list[Piece], wished: list[Piece], client: Client, against: Measure, spend: SpendForm
) -> dict[str, Any]:
    """Return what each wish adds by itself, and what to buy within the money and the pieces that may be spent."""
    most = wardrobe_rows.most_pieces(client)
    asked = spend.is_bound and spend.is_valid()
    money = spend.cleaned_data["budget"] if asked else sum(piece.price or 0.0 for piece in wished)
    if not wished:
        return {"most": most}
    found = buy_list(owned, wished, money, against.contrast, most)
    return {
        "most": most,
        "alone": [words.purchase_words(purchase) for purchase in found.every],
        "buy": words.buy_words(found) if asked else (),
    }
