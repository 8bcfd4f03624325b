"""Methods of the studio's own: taken in once, shown, and never changed."""

from django.http import HttpResponse
from django.shortcuts import redirect, render

from tenter import Method
from tenter.language import in_a_row
from tenter.report.words import terms
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
    found = store.method_in(record.toml)
    context = {
        "record": record,
        "warnings": found.warnings,
        "seasons": [
            (terms.season(season), _categories(found, season))
            for season in dict.fromkeys(region.season for region in found.regions)
        ],
        "phases": [(terms.phase(phase.title), terms.question(phase.question)) for phase in found.phases],
    }
    return render(request, "cloths/method.html", context)


def _categories(found: Method, season: str) -> str:
    return in_a_row([terms.season(region.name) for region in found.regions if region.season == season])
