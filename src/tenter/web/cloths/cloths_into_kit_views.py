"""Measured cloths put into a kit: what would change is shown first, and the kit that there is stays as it is."""

import hashlib
from http import HTTPStatus

from django.contrib import messages
from django.db import transaction
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.consultation.cloths.photographed import KitDraft, PhotographedCloth, with_photographed
from tenter.consultation.readings.photo_readings import readings_of_cloths
from tenter.errors import TenterError
from tenter.report.on_screen import kit_changes
from tenter.report.words.wording import sentence
from tenter.web.cloths import cloth_page
from tenter.web.cloths.forms import IntoKitForm, KitChoice
from tenter.web.models import ClothPhotograph, KitRecord
from tenter.web.pictures import cloth_measuring
from tenter.web.rules import access
from tenter.web.rules.audit import Action, note
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import kept_readings, store


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def into_kit(request: UserRequest, pk: int) -> HttpResponse:
    """Show what the measured colours change in a kit; with the word, make another kit of the two.

    Raises `Http404` for another studio's kit.
    """
    row = access.cloth_photograph(request.user, pk)
    try:
        return _put_in(request, row) if request.method == "POST" else _looked_at(request, row)
    except TenterError as error:
        messages.error(request, f"{sentence(str(error))}.")
        return redirect("cloth-photograph", row.pk)


def _looked_at(request: UserRequest, row: ClothPhotograph) -> HttpResponse:
    kits = access.kits(request.user)
    return _show(request, row, _chosen(kits, request.GET["kit"]) if "kit" in request.GET else kits.first())


def _put_in(request: UserRequest, row: ClothPhotograph) -> HttpResponse:
    kits = access.kits(request.user)
    form = IntoKitForm(kits, request.POST)
    if not form.is_valid():
        return _show(request, row, _chosen(kits, form.data.get("kit", "")), HTTPStatus.UNPROCESSABLE_ENTITY, form)
    base = form.cleaned_data["kit"]
    draft = _draft(row, base)
    if _seal(draft) != form.cleaned_data["seen"]:
        messages.warning(
            request, _("The numbers or the colours have changed meanwhile. This is what would change now.")
        )
        return _show(request, row, base, HTTPStatus.CONFLICT)
    return redirect("kit", _made(request, row, form.cleaned_data["name"], base, draft).pk)


def _chosen(kits: QuerySet[KitRecord], said: str) -> KitRecord | None:
    """Return the kit that was asked for, or None for no kit; 404 for one that is not the studio's."""
    form = KitChoice(kits, {"kit": said})
    if not form.is_valid():
        raise Http404
    found: KitRecord | None = form.cleaned_data["kit"]
    return found


def _show(
    request: UserRequest,
    row: ClothPhotograph,
    base: KitRecord | None,
    status: int = 200,
    form: IntoKitForm | None = None,
) -> HttpResponse:
    kits, draft = access.kits(request.user), _draft(row, base)
    usual = {"kit": base, "name": _usual_name(base), "seen": _seal(draft)}
    context = {
        "photograph": row,
        "base": base,
        "choice": KitChoice(kits, initial={"kit": base}),
        "told": kit_changes.told_draft(draft),
        "form": form or IntoKitForm(kits, initial=usual),
    }
    return render(request, "cloths/cloths_into_kit.html", context, status=status)


def _draft(row: ClothPhotograph, base: KitRecord | None) -> KitDraft:
    """Return the kit file that would be made; raises `TenterError` where there is no numbered colour to put in."""
    return with_photographed(_cloths(row), base.csv if base else None)


def _cloths(row: ClothPhotograph) -> list[PhotographedCloth]:
    result = None if row.waits else cloth_measuring.cloth_result_of(row)
    return [] if result is None else cloth_page.cloths_in(row, result)


def _seal(draft: KitDraft) -> str:
    return hashlib.sha256(draft.text.encode()).hexdigest()


def _usual_name(base: KitRecord | None) -> str:
    day = f"{timezone.localdate():%d.%m.%Y}"
    return f"{base.name[:60]}, {day}" if base else _("Photographed, %(day)s") % {"day": day}


def _made(request: UserRequest, row: ClothPhotograph, name: str, base: KitRecord | None, draft: KitDraft) -> KitRecord:
    """Keep the new kit with the photographed colours as readings; pressed twice it is the same one."""
    owner = access.studio_owner(request.user)
    found = KitRecord.objects.filter(owner=owner, name=name, csv=draft.text).first()
    if found is None:
        with transaction.atomic():
            found = store.add_kit(owner, name, draft.text)
            day = timezone.localdate(row.taken_at).isoformat()
            kept_readings.begin_book(found, request.user, base, readings_of_cloths(_cloths(row), day))
            ClothPhotograph.objects.filter(pk=row.pk).update(kit=found)
            note(request.user, Action.KIT_ADDED, found)
    messages.success(request, kit_changes.draft_summary(draft))
    return found
