"""The sittings: the list, a new one, and what one holds."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from tenter.web import access, audit, store
from tenter.web.audit import Action
from tenter.web.forms import StartForm
from tenter.web.views.day import show_day


def sittings(request: HttpRequest) -> HttpResponse:
    """List the sittings that the user may see."""
    return render(request, "tenter/sittings.html", {"sittings": access.sittings(request.user)})


@require_POST
def start(request: HttpRequest) -> HttpResponse:
    """Start a sitting of one of the user's clients on one of the user's kits."""
    form = StartForm(request.user, request.POST)
    if not form.is_valid():
        return show_day(request, form)
    said = form.cleaned_data
    row = store.start(said["client"], request.user, said["kit"], said["method"])
    audit.note(request.user, Action.SITTING_STARTED, row)
    return redirect("sitting", row.pk)


def sitting(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what a sitting holds so far."""
    row = access.sitting(request.user, pk)
    with store.load(row) as live:
        context = {"sitting": row, "entries": len(live.entries), "phase": live.phase, "method": live.method}
        return render(request, "tenter/sitting.html", context)
