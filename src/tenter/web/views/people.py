"""The clients."""

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from tenter.web import access, audit
from tenter.web.audit import Action
from tenter.web.forms import ClientForm


def people(request: HttpRequest) -> HttpResponse:
    """List the clients that the user may see."""
    found = access.clients(request.user).annotate(held=Count("sittings", distinct=True))
    return render(request, "tenter/people.html", {"people": found})


def person(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a client and her sittings."""
    client = access.client(request.user, pk)
    found = access.sittings(request.user).filter(client=client)
    return render(request, "tenter/person.html", {"client": client, "sittings": found})


def add(request: HttpRequest) -> HttpResponse:
    """Add a client of the user's own."""
    form = ClientForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        form.instance.owner = request.user
        client = form.save()
        audit.note(request.user, Action.CLIENT_ADDED, client)
        return redirect("person", client.pk)
    return render(request, "tenter/person_form.html", {"form": form})


def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a client's card."""
    client = access.client(request.user, pk)
    form = ClientForm(request.POST or None, instance=client)
    if request.method == "POST" and form.is_valid():
        form.save()
        audit.note(request.user, Action.CLIENT_EDITED, client)
        return redirect("person", client.pk)
    return render(request, "tenter/person_form.html", {"form": form, "client": access.client(request.user, pk)})
