"""Methods of the studio's own: taken in once, shown, and never changed."""

from django.http import HttpResponse
from django.shortcuts import redirect, render

from tenter.web.cloths.kit_forms import MethodForm
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import store


@access.for_owner
def add(request: UserRequest) -> HttpResponse:
    """Take in a method file."""
    form = MethodForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        record = store.add_method(request.user, form.cleaned_data["file"])
        note(request.user, Action.METHOD_ADDED, record)
        return redirect("method", record.pk)
    return render(request, "cloths/method_form.html", {"form": form})


def method(request: UserRequest, pk: int) -> HttpResponse:
    """Show what a method says, and its file."""
    record = access.method(request.user, pk)
    return render(request, "cloths/method.html", {"record": record, "method": store.method_in(record.toml)})
