"""The clients."""

from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from tenter.web import access, audit
from tenter.web.audit import Action
from tenter.web.forms import ClientForm


def people(request: HttpRequest) -> HttpResponse:
    """List the clients that the user may see."""
    seen = Q(sittings__in=access.sittings(request.user))
    found = access.clients(request.user).annotate(held=Count("sittings", filter=seen, distinct=True))
    return render(request, "tenter/people.html", {"people": found})


def person(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a client and the client's sittings."""
    client = access.client(request.user, pk)
    found = access.sittings(request.user).filter(client=client)
    told = {"blind": access.reads_blind(request.user, client), "own": client.owner_id == request.user.pk}
    return render(request, "tenter/person.html", {"client": client, "sittings": found} | told)


def add(request: HttpRequest) -> HttpResponse:
    """Add a client to the user's studio."""
    form = ClientForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        form.instance.owner = access.studio_owner(request.user)
        client = form.save()
        access.let_in(request.user, client)
        audit.note(request.user, Action.CLIENT_ADDED, client)
        return redirect("person", client.pk)
    return render(request, "tenter/person_form.html", {"form": form})


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a client's card."""
    client = access.card_to_edit(request.user, pk)
    form = ClientForm(request.POST or None, instance=client)
    if request.method == "POST" and form.is_valid():
        form.save()
        audit.note(request.user, Action.CLIENT_EDITED, client)
        return redirect("person", client.pk)
    return render(request, "tenter/person_form.html", {"form": form, "client": access.client(request.user, pk)})
