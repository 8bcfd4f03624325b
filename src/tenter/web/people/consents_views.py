"""A client's consents: asked and written down, taken back, and shown as proof."""

from http import HTTPStatus

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.consultation.client.consent import Purpose, asked_for
from tenter.language import language
from tenter.web.models import Client, Consent
from tenter.web.people.consent_form import ConsentForm
from tenter.web.rules import access, audit, consents, keeping, photo_promise
from tenter.web.rules.audit import Action
from tenter.web.rules.client_language import said_in_clients_language
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.shown_words import showed_other_words
from tenter.web.server.in_language import own_name
from tenter.web.sweeping import kept_memory, photo_sweep


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def card(request: UserRequest, pk: int) -> HttpResponse:
    """Show what a client agrees to, or write down what they agree to now."""
    client = access.client(request.user, pk)
    if request.method != "POST":
        return _show(request, client, ConsentForm(client))
    if showed_other_words(request, consents.words_asked(client)):
        return redirect("consents", client.pk)
    form = ConsentForm(client, request.POST)
    if not form.is_valid():
        return _show(request, client, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    said = form.cleaned_data
    with transaction.atomic():
        for row in consents.give_consent(client, form.agreed, said["until"], request.user, said.get("guardian", "")):
            audit.note(request.user, Action.CONSENT_GIVEN, f"{audit.said_of(client)}, {row.purpose}")
        photo_promise.hold_to_consent(client, request.user)
    count = len(form.agreed)
    told = ngettext("%(count)s consent written down.", "%(count)s consents written down.", count) % {"count": count}
    messages.success(request, told)
    return redirect("person", client.pk)


def _show(request: UserRequest, client: Client, form: ConsentForm, status: int = HTTPStatus.OK) -> HttpResponse:
    due = photo_promise.past_their_day(client)
    able = [row for row in due if access.may_erase(request.user, row)]
    context = {"client": client, "form": form, "standing": form.standing, "due": len(due), "erasable": len(able)}
    context["boxes"] = list(zip(form["purposes"], form.standing, strict=True))
    read = consents.shown_to(client)
    context["back"] = [(one, read[one.asked.purpose].withdrawn) for one in form.standing]
    context["shown"] = consents.words_asked(client)
    context |= said_in_clients_language(client)
    context["times"] = keeping.times_of(client.owner)
    context["given"] = any(one.answer and one.answer.given for one in form.standing)
    return render(request, "people/consents.html", context, status=status)


@require_POST
def take_back(request: UserRequest, pk: int) -> HttpResponse:
    """Write down that the client takes a consent back, and let it count at once; `Http404` for another purpose."""
    client = access.client(request.user, pk)
    try:
        purpose = Purpose(request.POST.get("purpose", ""))
    except ValueError:
        raise Http404 from None
    with transaction.atomic():
        if consents.take_back_consent(client, purpose, request.user) is None:
            return redirect("consents", client.pk)
        audit.note(request.user, Action.CONSENT_TAKEN_BACK, f"{audit.said_of(client)}, {purpose}")
        if purpose is Purpose.MEASURE:
            photo_promise.hold_to_consent(client, request.user)
    kept_memory.forget_everywhere()
    asked = asked_for(purpose)
    told = _("Taken back: %(purpose)s. %(what_follows)s") % {"purpose": asked.named, "what_follows": asked.withdrawn}
    messages.success(request, told)
    return redirect("consents", client.pk)


@require_POST
def erase_due(request: UserRequest, pk: int) -> HttpResponse:
    """Delete the photographs of a client that are past their day, without waiting for the next sweep."""
    client = access.client(request.user, pk)
    able = [row for row in photo_promise.past_their_day(client) if access.may_erase(request.user, row)]
    count = photo_sweep.erase_pictures(able, request.user)
    told = ngettext("%(count)s photograph deleted.", "%(count)s photographs deleted.", count) % {"count": count}
    messages.success(request, told)
    return redirect("consents", client.pk)


@require_safe
@never_cache
def proof(request: UserRequest, pk: int) -> HttpResponse:
    """Show what was agreed, when, until when and in which words, on a page that prints."""
    client = access.client(request.user, pk)
    context = {
        "client": client,
        "standing": consents.standing(client),
        "answers": [_answer(row) for row in consents.history(client)],
        "studio": access.studio_name(client.owner),
        "now": timezone.now(),
    }
    return render(request, "people/consents_proof.html", context)


def _answer(row: Consent) -> dict[str, object]:
    """Return an answer with its title, and the language of its words where that is another than the page's."""
    other = row.language if row.language not in ("", language().code) else ""
    return {"title": asked_for(Purpose(row.purpose)).title, "row": row, "tongue": own_name(other) if other else ""}
