"""The palette: as a shop hangs it, and changed by the consultant with plain controls, each of which can be undone."""

import secrets
from http import HTTPStatus

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Part
from tenter.consultation.findings.verdict import PhaseMissing
from tenter.consultation.personal.edits import offers
from tenter.errors import TenterError
from tenter.language import all_of
from tenter.report.words import terms
from tenter.web.models import Sitting
from tenter.web.papers import handed, palette_edits
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import store
from tenter.web.verdict import palette_board
from tenter.web.verdict.palette_form import edit_of
from tenter.web.verdict.verdict_views import offer

_FAMILIES = tuple(f for f in HueFamily if f is not HueFamily.METAL)
_PARTS = (
    (Part.ACCENT, gettext_lazy("with them")),
    (Part.NEAR_FACE, gettext_lazy("near the face")),
    (Part.NEUTRAL, gettext_lazy("a neutral")),
    (Part.WHITE, gettext_lazy("a white")),
)


@require_safe
@never_cache
def palette(request: UserRequest, pk: int) -> HttpResponse:
    """Show the palette, and what can be done with the colour that the address names."""
    row = access.sitting(request.user, pk)
    return offer(request, row) if row.revealed_at is None else _page(request, row)


@require_POST
def edit(request: UserRequest, pk: int) -> HttpResponse:
    """Keep one change of the palette, or take the last one back."""
    row = access.own_sitting(request.user, pk)
    if row.revealed_at is None:
        return redirect("palette", row.pk)
    consents.refuse_if_ended(row.client)
    said = {name: str(value) for name, value in request.POST.items()}
    try:
        if said.get("act") == "undo":
            palette_edits.take_back_edit(row, said.get("key", ""))
        else:
            palette_edits.keep_edit(row, edit_of(said, store.kit_of(row.kit)), said.get("key", ""))
    except TenterError as error:
        return _page(request, row, str(error), HTTPStatus.UNPROCESSABLE_ENTITY)
    audit.note(request.user, Action.PALETTE_CHANGED, row)
    stays = said.get("act") == "move"
    return redirect(reverse("palette", args=[row.pk], query={"colour": said["colour"]} if stays else None))


def _page(request: UserRequest, row: Sitting, problem: str = "", status: int = 200) -> HttpResponse:
    try:
        made, known = handed.palette_and_known(row)
    except PhaseMissing as error:  # entries were undone after the reveal
        return offer(request, row, error.owed)
    asked = request.POST if request.method == "POST" else request.GET
    colour = palette_board.found(made, asked.get("colour", ""))
    earlier, later = palette_board.neighbours(made, colour) if colour else (None, None)
    family = asked.get("add", "")
    stopped = consents.ended(row.client)
    mine = row.analyst_id == request.user.pk and not stopped
    added = offers(made, HueFamily(family), known) if mine and family in [*_FAMILIES] else ()
    hung = palette_board.board(made)
    context = {
        "sitting": row,
        "board": hung,
        "categories": all_of([terms.season(category) for category in made.categories]),
        "mine": mine,
        "stopped": stopped,
        "changes": len(palette_edits.edits_of(row)),
        "key": secrets.token_hex(16),
        "problem": problem,
        "colour": next((c for c in palette_board.every(hung) if colour and c.key == asked.get("colour")), None),
        "earlier": earlier,
        "later": later,
        "swaps": palette_board.swaps(made, colour, known) if colour and mine else (),
        "families": [(str(f), terms.hue(f)) for f in _FAMILIES],
        "family": family if added else "",
        "family_words": terms.hue(family) if added else "",
        "added": palette_board.choosable(added, made),
        "parts": _PARTS,
    }
    return render(request, "verdict/palette.html", context, status=status)
