"""A letter to a client, as one of the papers: written by whoever may change the client's card."""

from http import HTTPStatus

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from tenter.report.own_words.studio_words import Topic, paragraphs
from tenter.web.papers import own_words
from tenter.web.papers.own_words import WordsSlot
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.studio.words_forms import LetterForm
from tenter.web.sweeping import traces


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def letter(request: UserRequest, pk: int) -> HttpResponse:
    """Write a letter to a client; every earlier version stays until it is erased."""
    client = access.card_to_edit(request.user, pk)
    if request.method == "POST":
        consents.refuse_if_ended(client)
    now = own_words.latest(client.owner, WordsSlot(Topic.LETTER, client=client))
    language = now.language if now else client.language or own_words.main_language(client.owner)
    sent = request.POST if request.method == "POST" else None
    form = LetterForm(Topic.LETTER, sent, initial={"text": now.text if now else "", "language": language})
    if sent is not None and form.is_valid():
        slot = WordsSlot(Topic.LETTER, language=form.cleaned_data["language"], client=client)
        with transaction.atomic():
            if own_words.save_text(client.owner, request.user, slot, form.cleaned_data["text"]):
                audit.note(request.user, Action.LETTER_WRITTEN, client)
        written = bool(form.cleaned_data["text"])
        messages.success(request, _("The letter is kept.") if written else _("No letter is printed now."))
        return redirect("letter", client.pk)
    rows = own_words.versions(client.owner, WordsSlot(Topic.LETTER, client=client))
    context = {
        "client": client,
        "form": form,
        "versions": [(row, paragraphs(row.text)) for row in rows],
        "erasable": any(not row.erased for row in rows),
    }
    status = HTTPStatus.OK if sent is None else HTTPStatus.UNPROCESSABLE_ENTITY
    return render(request, "studio/letter.html", context, status=status)


@require_POST
def erase(request: UserRequest, pk: int) -> HttpResponse:
    """Empty every version of a client's letter for good."""
    client = access.card_to_edit(request.user, pk)
    with transaction.atomic():
        own_words.erase_words(client.owner, WordsSlot(Topic.LETTER, client=client))
        audit.note(request.user, Action.LETTER_ERASED, client)
    traces.remove_traces()
    messages.success(request, _("The letter is erased, with every earlier version of it."))
    return redirect("letter", client.pk)
