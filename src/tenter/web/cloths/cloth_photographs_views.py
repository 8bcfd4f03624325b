"""The studio's photographs of cloths: the list, and another one."""

from http import HTTPStatus

from django.contrib.auth.models import User
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.web.cloths.forms import SHOWN, ClothUploadForm
from tenter.web.models import KEPT_DAYS, ClothPhotograph
from tenter.web.pictures import intake
from tenter.web.pictures.upload_limit import is_too_large
from tenter.web.rules import access
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.store import store

_USUAL_FIRST = "D001"


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def photographs(request: UserRequest) -> HttpResponse:
    """Show the photographs of cloths, or take another in."""
    if request.method == "POST":
        form = ClothUploadForm(request.POST, request.FILES, too_large=is_too_large(request))
        if form.is_valid() and (row := _kept(request, form)):
            return redirect("cloth-photograph", row.pk)
        return _show(request, form, HTTPStatus.UNPROCESSABLE_ENTITY)
    return _show(request, ClothUploadForm(initial={"first": _first(request.user)}))


def _first(user: User) -> str:
    """Return the number that a studio's cloths begin with."""
    kit = access.kits(user).first()
    return store.kit_of(kit).ids[0] if kit else _USUAL_FIRST


def _show(request: UserRequest, form: ClothUploadForm, status: int = 200) -> HttpResponse:
    found = list(access.cloth_photographs(request.user))
    for row in found:
        row.said = str(SHOWN[row.shows])
    context = {
        "photographs": found,
        "form": form,
        "locked": photo_keys.problem(),
        "days": KEPT_DAYS,
        "waiting": any(row.waits for row in found),
    }
    return render(request, "cloths/cloth_photographs.html", context, status=status)


def _kept(request: UserRequest, form: ClothUploadForm) -> ClothPhotograph | None:
    """Keep a photograph, sealed, and put it in line; None where there is no key, and the form says so then."""
    said = form.cleaned_data
    row = ClothPhotograph(
        owner=access.studio_owner(request.user),
        by=request.user,
        shows=said["shows"],
        rows=said["rows"],
        columns=said["columns"],
        numbers=said["numbers"],
        chart=said["chart"],
        card=said["card"],
        deletes_on=said["deletes_on"],
    )
    return row if intake.taken_in(request, form, row) else None
