"""A backup put back by its owner: the file is looked at first, and what it holds is shown beside what it would replace.

Only then, with the password and a word typed, is it put in place. Between the two steps the file lies in the studio's
folder, and the login remembers its checksum: what is put in place is what was looked at.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import Any

from django.contrib import messages
from django.contrib.auth import get_user_model, logout
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.dateparse import parse_datetime
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from tenter.errors import TenterError
from tenter.web import audit, erased_marks, holdings, pending, throttle
from tenter.web.audit import Action
from tenter.web.backup import Backup, backup_of, label
from tenter.web.data_dir import data_dir
from tenter.web.models import Client
from tenter.web.restore import Restored, put_back, replayed_anew
from tenter.web.studio_forms import BackupFileForm, RestoreForm

_LOOKED_AT, _TOO_MANY = "restore", 429


@dataclass(frozen=True, slots=True)
class _LookedAt:
    """A backup that waits to be put back."""

    name: str
    backup: Backup
    differing: tuple[int, ...]


def _for_keeper(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Open a page to whoever opened the studio on this machine; to anybody else it does not exist."""

    @wraps(view)
    @never_cache
    def shown(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not request.user.is_superuser:
            raise Http404
        return view(request, *args, **kwargs)

    return shown


@_for_keeper
def choose(request: HttpRequest) -> HttpResponse:
    """Take a backup in and look at it; nothing is changed by that."""
    form = BackupFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        try:
            _look_at(request, file.name, file.read())
        except TenterError as error:
            form.add_error("file", f"{error}.")
        else:
            return redirect("restore-confirm")
    return render(request, "tenter/studio_restore.html", {"form": form})


def _look_at(request: HttpRequest, name: str, content: bytes) -> None:
    differing = replayed_anew(backup_of(content, name), name)
    pending.keep(data_dir(), content)
    seal = hashlib.sha256(content).hexdigest()
    request.session[_LOOKED_AT] = {"name": name, "seal": seal, "differing": list(differing)}


@_for_keeper
def confirm(request: HttpRequest) -> HttpResponse:
    """Show what the backup holds and what it would replace; with password and word, put it in place."""
    found = _found(request)
    if found is None:
        messages.warning(request, "There is no backup to put back. Choose the file once more.")
        return redirect("restore")
    form = RestoreForm(request.user, request.POST if request.method == "POST" else None)
    status = 200
    if request.method == "POST":
        if throttle.seconds_to_wait(request.user.username, request.META.get("REMOTE_ADDR", "")):
            form.add_error(None, "Too many wrong passwords. Wait a minute and try again.")
            status = _TOO_MANY
        elif form.is_valid():
            throttle.forget(request.user.username, request.META.get("REMOTE_ADDR", ""))
            return _put_back(request, found)
    context = {
        "form": form,
        "found": found,
        "made": parse_datetime(found.backup.made),
        "columns": (holdings.of_backup(found.backup), holdings.of_studio()),
        "erased": len(erased_marks.among(found.backup.rows.get(label(Client), ()), erased_marks.kept())),
    }
    return render(request, "tenter/studio_restore_confirm.html", context, status=status)


def _found(request: HttpRequest) -> _LookedAt | None:
    """Return the backup that this login has looked at, unless another has come into its place."""
    said, content = request.session.get(_LOOKED_AT), pending.content(data_dir())
    if not said or content is None or hashlib.sha256(content).hexdigest() != said["seal"]:
        return None
    return _LookedAt(said["name"], backup_of(content, said["name"]), tuple(said["differing"]))


def _put_back(request: HttpRequest, found: _LookedAt) -> HttpResponse:
    name = request.user.username
    try:
        done = put_back(found.backup, found.differing, data_dir())
    except TenterError as error:
        messages.error(request, f"{error}.")
        return redirect("restore")
    pending.drop(data_dir())
    logout(request)
    return _told(request, name, found, done)


def _told(request: HttpRequest, name: str, found: _LookedAt, done: Restored) -> HttpResponse:
    known = get_user_model().objects.filter(username=name).first()
    audit.note(known, Action.RESTORED, Path(done.safety_copy or "").name)
    context = {"done": done, "found": found, "made": parse_datetime(found.backup.made)}
    return render(request, "tenter/studio_restored.html", context)


@_for_keeper
@require_POST
def leave(request: HttpRequest) -> HttpResponse:
    """Let the backup go that was looked at."""
    request.session.pop(_LOOKED_AT, None)
    pending.drop(data_dir())
    messages.success(request, "Nothing was changed.")
    return redirect("studio")
