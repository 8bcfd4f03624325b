"""The clients."""

from collections.abc import Callable, Sequence

from django.contrib import messages
from django.db import transaction
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tenter.web.models import Client
from tenter.web.people.forms import ClientForm
from tenter.web.people.minor_form import ChangedCardForm
from tenter.web.people.thread import thread
from tenter.web.people.told_rows import shown_results
from tenter.web.rules import access, audit, consents, photo_promise
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.looking_up import look_up, plain
from tenter.web.server.in_language import own_name
from tenter.web.sweeping import kept_memory


def people(request: UserRequest) -> HttpResponse:
    """List the clients that the user may see, by name."""
    names = sorted(access.clients(request.user).values_list("name", "pk"), key=lambda row: (plain(row[0]), row[1]))
    found = look_up(request, names, lambda row: row[:1], _with_sittings(request))
    return render(request, "people/people.html", {"list": found, "owner": access.owns_studio(request.user)})


def _with_sittings(request: UserRequest) -> Callable[[Sequence[tuple[str, int]]], list[Client]]:
    """Return a way to the clients of one page, each with the number of the sittings that the user may see."""

    def fetched(names: Sequence[tuple[str, int]]) -> list[Client]:
        keys = [key for _name, key in names]
        seen = Q(sittings__in=access.sittings(request.user))
        rows = Client.objects.filter(pk__in=keys).select_related("owner")
        return sorted(rows.annotate(held=Count("sittings", filter=seen, distinct=True)), key=lambda c: keys.index(c.pk))

    return fetched


def person(request: UserRequest, pk: int) -> HttpResponse:
    """Show a client and the client's sittings."""
    client = access.client(request.user, pk)
    found = access.sittings(request.user).filter(client=client)
    revealed = found.filter(revealed_at__isnull=False)
    told = {
        "several": revealed.count() > 1,
        "read": None if consents.ended(client) else revealed.order_by("-revealed_at").first(),
        "blind": access.reads_blind(request.user, client),
        "own": client.owner_id == request.user.pk,
        "thread": thread(request.user, client),
        "told": client.told.exists(),
        "told_before": shown_results(request.user, client),
        "standing": consents.standing(client),
        "papers_in": own_name(client.language) if client.language else "",
    }
    return render(request, "people/person.html", {"client": client} | told)


def add(request: UserRequest) -> HttpResponse:
    """Add a client to the user's studio."""
    owner = access.studio_owner(request.user)
    form = ClientForm(owner, request.POST or None)
    if request.method == "POST" and form.is_valid():
        form.instance.owner = owner
        client = form.save()
        access.let_in(request.user, client, made_card=True)
        audit.note(request.user, Action.CLIENT_ADDED, client)
        return redirect("person", client.pk)
    return render(request, "people/person_form.html", {"form": form})


def edit(request: UserRequest, pk: int) -> HttpResponse:
    """Change a client's card."""
    client = access.card_to_edit(request.user, pk)
    form = ChangedCardForm(client.owner, request.POST or None, instance=client)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            form.save()
            audit.note(request.user, Action.CLIENT_EDITED, client)
            sooner = photo_promise.hold_to_a_minors_day(client, request.user) if form.is_minor_now else 0
        return _ask_the_guardian(request, client, sooner) if form.is_minor_now else redirect("person", client.pk)
    return render(request, "people/person_form.html", {"form": form, "client": access.client(request.user, pk)})


def _ask_the_guardian(request: UserRequest, client: Client, sooner: int) -> HttpResponse:
    """Lead to the consents of a client who is under 18 from now on: what was agreed counts no more."""
    kept_memory.forget_everywhere()
    messages.warning(
        request,
        _(
            "The client is under 18 now, so what was agreed counts no more. Ask the parent or guardian, and write down "
            "their name here. Until then nothing is measured, written or handed over."
        ),
    )
    if sooner:
        told = ngettext(
            "%(count)s photograph got an earlier day of deletion.",
            "%(count)s photographs got an earlier day of deletion.",
            sooner,
        )
        messages.warning(request, told % {"count": sooner})
    return redirect("consents", client.pk)
