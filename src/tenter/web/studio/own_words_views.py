"""A studio's own words for its papers, for its owner: written, kept with every earlier version, looked at, erased."""

from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.consultation.words import terms
from tenter.report.own_words.studio_words import EVERY_SEASON, Logo, Topic, paragraphs
from tenter.web.models import StudioText
from tenter.web.papers import own_words
from tenter.web.papers.own_words import WordsSlot
from tenter.web.rules import access, audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.studio.words_forms import (
    LABELS,
    PictureForm,
    PreviewForm,
    SlotForm,
    TextForm,
    tag_or_none,
)
from tenter.web.sweeping import traces

_HEADS = (Topic.LETTERHEAD, Topic.LOGO, Topic.SIGNATURE, Topic.SIGNED)


@require_safe
@never_cache
@access.for_owner
def words(request: UserRequest) -> HttpResponse:
    """Show what is written and what is not."""
    owner = request.user
    main = own_words.main_language(owner)
    language = tag_or_none(request.GET.get("language", "")) or main
    tongues = own_words.languages(owner)
    rows = own_words.newest(owner)
    context = {
        "heads": [_line(rows, WordsSlot(topic, "", _language(topic, language))) for topic in _HEADS],
        "everybody": _line(rows, WordsSlot(Topic.MAKE_UP, EVERY_SEASON, language)),
        "methods": [
            (title, [(name, is_season, *_both(rows, name, language)) for name, is_season in names])
            for title, names in own_words.seasons_of(owner).items()
        ],
        "shown_in": language,
        "main": main,
        "languages": tongues if language in tongues else [*tongues, language],
        "version": own_words.words_for(owner).version,
    }
    return render(request, "studio/words.html", context)


def _language(topic: Topic, language: str) -> str:
    return "" if topic in own_words.WITHOUT_LANGUAGE else language


def _both(rows: Any, name: str, language: str) -> tuple[dict[str, Any], dict[str, Any]]:
    text, make_up = (_line(rows, WordsSlot(topic, name, language)) for topic in own_words.OF_A_SEASON)
    return text, make_up


def _line(rows: Any, slot: WordsSlot) -> dict[str, Any]:
    """Return a slot as the page lists it: what stands there, and where it is written."""
    row = rows.get((slot.topic, slot.of, slot.language))
    said = {"label": LABELS[slot.topic]}
    return said | {"row": row, "is_picture": slot.is_picture, "address": _address(slot)}


def _address(slot: WordsSlot) -> str:
    page = reverse("words-picture" if slot.is_picture else "words-write")
    said = {"topic": slot.topic, "of": slot.of, "language": slot.language}
    return f"{page}?{urlencode({name: value for name, value in said.items() if value})}"


def _slot(request: UserRequest, sent: QueryDict) -> WordsSlot:
    """Return the slot that is asked for, or answer 404."""
    form = SlotForm(request.user, sent)
    if not form.is_valid():
        raise Http404
    slot: WordsSlot = form.cleaned_data["slot"]
    return slot


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@access.for_owner
def write(request: UserRequest) -> HttpResponse:
    """Write a text; every earlier version stays, and can be used again. Raises `Http404` for the place of a picture."""
    slot = _slot(request, request.GET)
    if slot.is_picture:
        raise Http404
    now = own_words.latest(request.user, slot)
    sent = request.POST if request.method == "POST" else None
    form = TextForm(slot.topic, sent, initial={"text": now.text if now else _usual(slot)})
    if sent is not None and form.is_valid():
        with transaction.atomic():
            if own_words.save_text(request.user, request.user, slot, form.cleaned_data["text"]):
                audit.note(request.user, Action.WORDS_WRITTEN, slot.topic)
        messages.success(request, _kept(own_words.latest(request.user, slot)))
        return redirect(_back(slot))
    context = {"slot": slot, "form": form, "title": _title(slot), "back": _back(slot), **_earlier(request, slot)}
    status = HTTPStatus.OK if sent is None else HTTPStatus.UNPROCESSABLE_ENTITY
    return render(request, "studio/words_write.html", context, status=status)


def _usual(slot: WordsSlot) -> str:
    return "en" if slot.topic is Topic.LANGUAGE else ""


def _kept(row: StudioText | None) -> str:
    if row and row.text:
        return _("Kept as version %(number)s.") % {"number": row.number}
    return _("Nothing is printed there now.")


def _title(slot: WordsSlot) -> str:
    season = {"season": terms.season_sentence(slot.of)}
    if slot.topic is Topic.TEXT:
        return _("Your text for %(season)s") % season
    if slot.topic is Topic.MAKE_UP:
        return _("Your make-up advice for %(season)s") % season if slot.of else _("Your make-up advice for everybody")
    return str(LABELS[slot.topic])


def _back(slot: WordsSlot) -> str:
    return f"{reverse('words')}?{urlencode({'language': slot.language})}" if slot.language else reverse("words")


def _earlier(request: UserRequest, slot: WordsSlot) -> dict[str, Any]:
    rows = own_words.versions(request.user, slot)
    return {"versions": [(row, paragraphs(row.text)) for row in rows], "erasable": any(not row.erased for row in rows)}


# -- pictures ----------------------------------------------------------------------------------------------------------


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@access.for_owner
def picture(request: UserRequest) -> HttpResponse:
    """Take in a logo or a picture of a signature, use an earlier one again, or leave it out.

    Raises `Http404` for the place of a text.
    """
    slot = _slot(request, request.GET)
    if not slot.is_picture:
        raise Http404
    act = request.POST.get("act", "")
    form = PictureForm(slot.topic, *((request.POST, request.FILES) if act == "send" else ()))
    if act == "leave":
        return _keep(request, slot, None)
    if act == "again":
        return _keep(request, slot, own_words.picture_of(_row(request, slot)))
    if form.is_valid():
        return _keep(request, slot, form.cleaned_data["picture"])
    context = {"slot": slot, "form": form, "title": _title(slot), **_earlier(request, slot)}
    status = HTTPStatus.UNPROCESSABLE_ENTITY if act else HTTPStatus.OK
    return render(request, "studio/words_picture.html", context, status=status)


def _row(request: UserRequest, slot: WordsSlot) -> StudioText:
    number = request.POST.get("version", "")
    found = [row for row in own_words.versions(request.user, slot) if str(row.number) == number and row.picture]
    if not found:
        raise Http404
    return found[0]


def _keep(request: UserRequest, slot: WordsSlot, chosen: Logo | None) -> HttpResponse:
    with transaction.atomic():
        if own_words.save_picture(request.user, request.user, slot, chosen):
            audit.note(request.user, Action.WORDS_WRITTEN, slot.topic)
    messages.success(request, _("The picture is kept.") if chosen else _("No picture is printed there now."))
    return redirect("words")


@require_safe
@never_cache
@access.for_owner
def shown_picture(request: UserRequest, pk: int) -> HttpResponse:
    """Give one version of a logo or a signature; raises `Http404` where it was left out."""
    row = get_object_or_404(StudioText, pk=pk, owner=request.user, topic__in=own_words.PICTURE_TOPICS)
    found = own_words.picture_of(row)
    if found is None:
        raise Http404
    return HttpResponse(found.content, content_type=found.media_type, headers={"X-Content-Type-Options": "nosniff"})


# -- erased, and looked at ---------------------------------------------------------------------------------------------


@require_POST
@access.for_owner
def erase(request: UserRequest) -> HttpResponse:
    """Empty every version of a text or a picture for good.

    Raises `Http404` for a place that is none.
    """
    slot = _slot(request, request.POST)
    with transaction.atomic():
        count = own_words.erase_words(request.user, slot)
        audit.note(request.user, Action.WORDS_ERASED, slot.topic)
    traces.remove_traces()
    messages.success(request, _erased(count))
    return redirect(_back(slot))


def _erased(count: int) -> str:
    return ngettext(
        "%(count)s version erased. Papers printed with them cannot be made again.",
        "%(count)s versions erased. Papers printed with them cannot be made again.",
        count,
    ) % {"count": count}


@require_safe
@never_cache
@access.for_owner
def preview(request: UserRequest) -> HttpResponse:
    """Show the studio's words as papers carry them."""
    form = PreviewForm(request.user, request.GET or None)
    asked: dict[str, Any] = form.cleaned_data if form.is_valid() else {}
    category, season = asked.get("of") or next(iter(form.pairs.values()))
    found = own_words.words_for(request.user, None, asked.get("language", ""), asked.get("version"))
    rows = own_words.newest(request.user, asked.get("version"))
    context = {
        "form": form,
        "words": found,
        "category": category,
        "text": found.text_for(category, season),
        "make_up": found.make_up(category, season),
        "logo": rows.get((Topic.LOGO, "", "")),
        "signed": rows.get((Topic.SIGNED, "", "")),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, "studio/words_preview.html", context, status=status)
