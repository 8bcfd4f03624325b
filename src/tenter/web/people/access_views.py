"""Which associates see a client."""

from http import HTTPStatus

from django.contrib.auth.models import User
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render

from tenter.consultation.client.consent import Purpose
from tenter.web.models import Access, Client
from tenter.web.people.forms import AccessForm
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest


@access.for_owner
def person_access(request: UserRequest, pk: int) -> HttpResponse:
    """Show and change which associates see a client."""
    client = access.owned_client(request.user, pk)
    lacking = consents.lacking(client, Purpose.ASSOCIATES)
    form = AccessForm(request.user, client, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid() and not (lacking and form.added):
        with transaction.atomic():
            _change_access(request, client, set(form.cleaned_data["users"]), set(form.before))
        return redirect("person", client.pk)
    context = {"form": form, "client": client, "lacking": lacking}
    status = HTTPStatus.CONFLICT if request.method == "POST" and lacking else HTTPStatus.OK
    return render(request, "people/person_access.html", context, status=status)


def _change_access(request: UserRequest, client: Client, chosen: set[User], before: set[User]) -> None:
    for user in chosen - before:
        if access.let_in(user, client):
            audit.note(request.user, Action.ACCESS_GIVEN, f"{audit.said_of(client)}, {audit.said_of(user)}")
    for user in before - chosen:
        Access.objects.filter(client=client, user=user).delete()
        audit.note(request.user, Action.ACCESS_TAKEN, f"{audit.said_of(client)}, {audit.said_of(user)}")
