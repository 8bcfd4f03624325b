"""From the door to the bench: a sitting starts from the day, from a client's card, or with a name alone."""

from http import HTTPStatus

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.consultation.client.consent import Purpose
from tenter.web.day.day_forms import WalkInForm
from tenter.web.day.day_views import show_day
from tenter.web.day.new_card import make_card
from tenter.web.day.start_form import StartForm, last_used
from tenter.web.models import Sitting
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.client_language import said_in_clients_language
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.shown_words import showed_other_words
from tenter.web.store import answering, kept_readings, store


@require_safe
def choose(request: UserRequest) -> HttpResponse:
    """Show who could sit, on which kit and by which method."""
    return _show(request, StartForm(request.user, initial={"client": request.GET.get("client")}))


@require_POST
def start(request: UserRequest) -> HttpResponse:
    """Start a sitting of one of the user's clients, on the last kit and by the last method unless others are said.

    Whoever has not agreed to it yet is asked first.
    """
    form = StartForm(request.user, request.POST)
    if not form.is_valid():
        return _show(request, form)
    client = form.cleaned_data["client"]
    if consents.lacking(client, Purpose.ANALYSIS):
        chosen = {name: request.POST[name] for name in ("kit", "method") if request.POST.get(name)}
        return redirect(reverse("agree", args=[client.pk], query=chosen))
    return redirect("arrival", begin(request, form).pk)


def begin(request: UserRequest, form: StartForm) -> Sitting:
    """Start what a valid form says, and note it."""
    said = form.cleaned_data
    known = answering.prior_for(request.user)
    kit = kept_readings.kit_to_sit_with(said["kit"])
    row = store.start_sitting(said["client"], request.user, kit, said["method"], analyst_prior=known)
    audit.note(request.user, Action.SITTING_STARTED, row)
    return row


@require_POST
def walk_in(request: UserRequest) -> HttpResponse:
    """Make a card for somebody by name, or find theirs, and go on to what they agree to."""
    form = WalkInForm(request.POST)
    if not form.is_valid():
        return show_day(request, form)
    known = [] if form.cleaned_data["new"] else form.known(request.user)
    if known:
        context = {"name": form.cleaned_data["name"], "known": known}
        return render(request, "day/which.html", context, status=HTTPStatus.CONFLICT)
    return redirect("agree", make_card(request.user, form.cleaned_data["name"]).pk)


@require_http_methods(["GET", "HEAD", "POST"])
def agree(request: UserRequest, pk: int) -> HttpResponse:
    """Ask a client for the one consent that a sitting needs, and start once they agree."""
    client = access.client(request.user, pk)
    if client.minor:
        return redirect("consents", client.pk)  # a guardian is asked there, by name
    form = StartForm(request.user, {**request.GET.dict(), "client": client.pk})
    if request.method == "POST" and showed_other_words(request, consents.words_asked(client)):
        return redirect(request.get_full_path())
    if request.method == "POST" and form.is_valid():
        if consents.lacking(client, Purpose.ANALYSIS):
            consents.give_consent(client, [Purpose.ANALYSIS], consents.usual_end(), request.user)
            audit.note(request.user, Action.CONSENT_GIVEN, f"{audit.said_of(client)}, {Purpose.ANALYSIS}")
        return redirect("arrival", begin(request, form).pk)
    context = {
        "client": client,
        "asked": consents.shown_to(client)[Purpose.ANALYSIS],
        "shown": consents.words_asked(client),
        "until": consents.usual_end(),
        "kit": last_used(request.user)[0],
        **said_in_clients_language(client),
    }
    return render(request, "day/agree.html", context)


def _show(request: UserRequest, form: StartForm) -> HttpResponse:
    context = {
        "form": form,
        "has_client": access.clients(request.user).exists(),
        "has_kit": access.kits(request.user).exists(),
    }
    status = HTTPStatus.BAD_REQUEST if form.errors else HTTPStatus.OK
    return render(request, "day/start.html", context, status=status)
