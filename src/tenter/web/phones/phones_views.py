"""The studio's phones: learned from photographs of the card, listed, shown and forgotten."""

from http import HTTPStatus
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tenter.photo.cards import ChartKind
from tenter.web.models import LearnedPhone, PhonePhotograph
from tenter.web.phones.forms import PhoneForm
from tenter.web.photographs import measured_views, phone_page
from tenter.web.pictures import intake, phone_learning, pictures, queue
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.rules import access, audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def phones(request: UserRequest) -> HttpResponse:
    """Show the phones of the studio, or take photographs in to learn another from."""
    if request.method == "POST":
        form = PhoneForm(request.POST, request.FILES, too_large=is_too_large(request))
        if form.is_valid() and (row := _taken_in(request, form)):
            return redirect("phone", row.pk)
        return _show(request, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    return _show(request, PhoneForm())


def _show(request: UserRequest, form: PhoneForm, status: int = 200) -> HttpResponse:
    rows = list(access.phones(request.user))
    context = {
        "phones": [phone_page.told_phone(row) for row in rows],
        "form": form,
        "locked": photo_keys.problem(),
        "waiting": any(row.waits for row in rows),
    }
    return render(request, "phones/phones.html", context, status=status)


def _taken_in(request: UserRequest, form: PhoneForm) -> LearnedPhone | None:
    """Keep photographs of the card, sealed, and put the phone in line; None where there is no key."""
    said = form.cleaned_data
    row = LearnedPhone(
        owner=access.studio_owner(request.user),
        by=request.user,
        phone=said["phone"],
        chart=ChartKind.CLASSIC24,
        card=said["values"],
    )
    shots = [PhonePhotograph(of=row, file=name[:120], problem=problem) for name, _picture, problem in said["pictures"]]
    kept = [
        (shot.name, picture)
        for shot, (_n, picture, problem) in zip(shots, said["pictures"], strict=True)
        if not problem
    ]
    if not intake.sealed(form, kept):
        return None
    with transaction.atomic():
        row.save()
        for shot in shots:
            shot.save()
        audit.note(request.user, Action.PHONE_ADDED, row)
    queue.put_in_line(row)
    return row


# -- one phone ---------------------------------------------------------------------------------------------------------


@require_safe
@never_cache
def phone(request: UserRequest, pk: int) -> HttpResponse:
    """Show what was learned, or how far it is."""
    row = access.phone(request.user, pk)
    result, problem = measured_views.outcome(row, phone_learning.phone_result_of)
    context: dict[str, Any] = {
        "told": phone_page.told_phone(row),
        "result": result,
        "problem": problem,
        "earlier": row.phone in phone_learning.by_name(row.owner),
    }
    return render(request, "phones/phone.html", context)


state = measured_views.state_of(access.phone)


@require_POST
def forget(request: UserRequest, pk: int) -> HttpResponse:
    """Delete what was learned, and photographs that wait; what was measured with it stays as it is."""
    row = access.phone(request.user, pk)
    for photograph in row.photographs.all():
        pictures.remove_picture(photograph.name)
    with transaction.atomic():
        audit.note(request.user, Action.PHONE_FORGOTTEN, row)
        row.delete()
    messages.success(request, _("The phone %(phone)s is forgotten.") % {"phone": row.phone})
    return redirect("phones")


@require_POST
def of_photograph(request: UserRequest, pk: int) -> HttpResponse:
    """Say which learned phone took a client's photograph, or that none did, and have it measured again.

    Raises `Http404` for a phone that is not offered.
    """
    row = access.photograph(request.user, pk)
    name = request.POST.get("phone", "")
    if name not in ("", *phone_page.offered_phones(row)):
        raise Http404
    measured_views.anew(request, row, phone=name)
    return redirect("photograph", row.pk)
