"""What a client loves, hates and has to keep to: said by whoever may change the client's card."""

from http import HTTPStatus

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from tenter.consultation.wishes.said_wishes import WishKind
from tenter.errors import TenterError
from tenter.report.words import terms
from tenter.report.words.wording import sentence
from tenter.web.models import ClientWish
from tenter.web.papers import client_wishes
from tenter.web.people.wish_form import WISH_KINDS, WishForm
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sweeping import traces


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def wishes(request: UserRequest, pk: int) -> HttpResponse:
    """Show a client's wishes, or take in another."""
    client = access.card_to_edit(request.user, pk)
    if request.method == "POST":
        consents.refuse_if_ended(client)
    form = WishForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        try:
            with transaction.atomic():
                client_wishes.add_wish(client, request.user, form.cleaned_data["wish"])
                audit.note(request.user, Action.WISHES_CHANGED, client)
        except TenterError as error:
            form.add_error(None, f"{sentence(str(error))}.")
        else:
            return redirect("wishes", client.pk)
    context = {
        "client": client,
        "form": form,
        "wishes": [_shown(row) for row in client.wishes.all()],
        "shown": access.sittings(request.user).filter(client=client, revealed_at__isnull=False),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, "people/wishes.html", context, status=status)


def _shown(row: ClientWish) -> dict[str, object]:
    """Return a wish with its kind and its colour in the words of the page."""
    kind = client_wishes.said_in(row).kind
    about = row.about if kind is WishKind.NOTE else terms.of_hue_or_colour(row.about)
    return {"number": row.pk, "kind": WISH_KINDS[kind], "about": about, "why": row.why}


@require_POST
def take_back(request: UserRequest, pk: int) -> HttpResponse:
    """Delete one wish for good."""
    client = access.card_to_edit(request.user, pk)
    with transaction.atomic():
        if client_wishes.take_back_wish(client, request.POST.get("wish", "")):
            audit.note(request.user, Action.WISHES_CHANGED, client)
            messages.success(request, _("The wish is deleted."))
    traces.remove_traces()
    return redirect("wishes", client.pk)
