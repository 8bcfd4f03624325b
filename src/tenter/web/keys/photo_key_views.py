"""The photographs' key: its passphrase changed, a copy of it locked into a file, and keys from elsewhere taken in."""

from collections.abc import Callable
from functools import wraps
from http import HTTPStatus

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.report.words.wording import sentence
from tenter.web.devices.kept_certificates import reseal_certificates
from tenter.web.keys import photo_key_copy
from tenter.web.keys.forms import (
    BeginPassphraseForm,
    ChangePassphraseForm,
    CopyKeyForm,
    GivePassphraseForm,
    TakeKeyForm,
)
from tenter.web.pictures import queue
from tenter.web.rules import audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys
from tenter.web.sealing.passphrase import VARIABLE
from tenter.web.sealing.photo_keys import Keeper, Locked
from tenter.web.sealing.strength import RULE, strength_in_words


def for_opener(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Open a page to whoever opened the studio on this machine; to anybody else it does not exist."""

    @wraps(view)
    def shown(request: UserRequest) -> HttpResponse:
        if not request.user.is_superuser:
            raise Http404
        return view(request)

    return shown


@require_safe
@never_cache
@for_opener
def key(request: UserRequest) -> HttpResponse:
    """Show who keeps the key, and what can be done about it."""
    return _show(request)


def _show(request: UserRequest, status: int = 200, **forms: object) -> HttpResponse:
    context = {
        "keeper": photo_keys.keeper(),
        "locked": photo_keys.problem(),
        "leaving": bool(photo_keys.leaving()),
        "change": ChangePassphraseForm(),
        "copy": CopyKeyForm(),
        "give": GivePassphraseForm() if photo_keys.asks_at_start() else None,
        "begin": BeginPassphraseForm(),
        "take": TakeKeyForm(),
        "rule": RULE,
        "by_passphrase": photo_keys.keeper() is Keeper.PASSPHRASE,
        **forms,
    }
    return render(request, "keys/photo_key.html", context, status=status)


@require_POST
@for_opener
def change(request: UserRequest) -> HttpResponse:
    """Change the passphrase; what was sealed by the one before is sealed anew in the background."""
    form = ChangePassphraseForm(request.POST)
    if form.is_valid():
        try:
            photo_keys.change_passphrase(form.cleaned_data["now"], form.cleaned_data["passphrase"])
        except Locked as error:
            form.add_error(None, f"{sentence(str(error))}.")
        else:
            audit.note(request.user, Action.PHOTOGRAPH_PASSPHRASE)
            queue.seal_anew()
            reseal_certificates()
            changed = _(
                "The passphrase is changed. Start Tenter with the new one from now on: change it too wherever "
                "%(variable)s is set."
            )
            messages.success(request, changed % {"variable": VARIABLE})
            return redirect("photograph-key")
    return _show(request, HTTPStatus.UNPROCESSABLE_ENTITY, change=form)


@require_POST
@for_opener
def give(request: UserRequest) -> HttpResponse:
    """Unlock the photographs until Tenter stops."""
    form = GivePassphraseForm(request.POST)
    if form.is_valid():
        try:
            photo_keys.give_passphrase(form.cleaned_data["passphrase"])
        except Locked as error:
            form.add_error(None, f"{sentence(str(error))}.")
        else:
            audit.note(request.user, Action.PHOTOGRAPHS_UNLOCKED)
            messages.success(request, _("The photographs are unlocked until Tenter stops."))
            return redirect("day")
    return _show(request, HTTPStatus.UNPROCESSABLE_ENTITY, give=form)


@require_POST
@for_opener
def begin(request: UserRequest) -> HttpResponse:
    """Seal by a passphrase from now on, and lead to the sheet that it is written on by hand."""
    form = BeginPassphraseForm(request.POST)
    if form.is_valid():
        try:
            photo_keys.begin_passphrase(form.cleaned_data["passphrase"])
        except Locked as error:
            form.add_error(None, f"{sentence(str(error))}.")
        else:
            audit.note(request.user, Action.PHOTOGRAPH_PASSPHRASE)
            told = {"strength": strength_in_words(form.cleaned_data["passphrase"])}
            messages.success(request, _("Photographs are sealed with it. %(strength)s") % told)
            return redirect("recovery")
    return _show(request, HTTPStatus.UNPROCESSABLE_ENTITY, begin=form)


@login_not_required
@never_cache
@require_POST
def strength(request: HttpRequest) -> HttpResponse:
    """Say how strong what is being typed is; nothing of it is kept."""
    said = request.POST.get("passphrase", "")[:1000]
    return HttpResponse(strength_in_words(said) if said else "", content_type="text/plain; charset=utf-8")


@require_POST
@never_cache
@for_opener
def copy(request: UserRequest) -> HttpResponse:
    """Hand over a copy of the key, locked by a passphrase."""
    form = CopyKeyForm(request.POST)
    if form.is_valid():
        try:
            content = photo_key_copy.locked_copy(form.cleaned_data["passphrase"])
        except Locked as error:
            form.add_error(None, f"{sentence(str(error))}.")
        else:
            audit.note(request.user, Action.PHOTOGRAPH_KEY_COPIED)
            answer = HttpResponse(content, content_type="application/json")
            name = f"tenter-photo-key-{timezone.localtime():%Y-%m-%d}.json"
            answer["Content-Disposition"] = f'attachment; filename="{name}"'
            return answer
    return _show(request, HTTPStatus.UNPROCESSABLE_ENTITY, copy=form)


@require_POST
@for_opener
def take(request: UserRequest) -> HttpResponse:
    """Take in a copy of a key, or a passphrase of elsewhere or of earlier."""
    form = TakeKeyForm(request.POST, request.FILES)
    if form.is_valid():
        said = form.cleaned_data
        try:
            if said["file"]:
                found = photo_key_copy.take_in_keys(said["file"].read(photo_key_copy.LARGEST_KEY_COPY), said["word"])
            else:
                found = photo_key_copy.take_in_passphrase(said["word"])
        except Locked as error:
            form.add_error(None, f"{sentence(str(error))}.")
        else:
            if found:
                audit.note(request.user, Action.PHOTOGRAPH_KEY_TAKEN)
            messages.success(request, _taken(found))
            return redirect("photograph-key")
    return _show(request, HTTPStatus.UNPROCESSABLE_ENTITY, take=form)


def _taken(found: int) -> str:
    if found:
        return _("Photographs sealed with it can be opened here now.")
    return _("Nothing changed: no photograph here needs that key.")
