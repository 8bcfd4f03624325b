"""A backup put back by its owner: the file is looked at first, and what it holds is shown beside what it would replace.

Only then, with the password and a word typed, is it put in place. Between the two steps the file lies in the studio's
folder, and the login remembers its checksum: what is put in place is what was looked at.
"""

from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from functools import wraps
from http import HTTPStatus
from pathlib import Path
from typing import Any

from django.contrib import messages
from django.contrib.auth import get_user_model, logout
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.dateparse import parse_datetime
from django.utils.formats import date_format
from django.utils.timezone import localtime
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from tenter.errors import TenterError
from tenter.web.backups import holdings, pending
from tenter.web.backups.backup_file import Backup, read_backup
from tenter.web.backups.checking import Checked, check_backup
from tenter.web.backups.forms import BackupFileForm, RestoreForm
from tenter.web.backups.holdings import Holdings
from tenter.web.backups.restore import Restored, put_back
from tenter.web.models import Client
from tenter.web.rules import audit, erased_marks
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.sealing.sealed_box import unboxed
from tenter.web.server import throttle
from tenter.web.server.data_dir import data_dir

_LOOKED_AT = "restore"


@dataclass(frozen=True, slots=True)
class _LookedAt:
    """A backup that waits to be put back, and what was found in it."""

    name: str
    backup: Backup
    found: Checked
    holdings: Holdings


def _for_keeper(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Open a page to whoever opened the studio on this machine; to anybody else it does not exist."""

    @wraps(view)
    @never_cache
    def shown(request: UserRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not request.user.is_superuser:
            raise Http404
        return view(request, *args, **kwargs)

    return shown


@_for_keeper
def choose(request: UserRequest) -> HttpResponse:
    """Take a backup in and look at it; nothing is changed by that."""
    form = BackupFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        try:
            _look_at(request, file.name, unboxed(file.chunks(), Passphrase(form.cleaned_data["passphrase"])))
        except TenterError as error:
            form.add_error("file", f"{error}.")
        else:
            return redirect("restore-confirm")
    return render(request, "backups/studio_restore.html", {"form": form})


def _look_at(request: UserRequest, name: str, content: Iterable[bytes]) -> None:
    found: dict[str, Any] = {}

    def look(path: Path) -> None:
        found.update(asdict(check_backup(read_backup(path, name))))

    seal = pending.keep_backup(data_dir(), content, look)
    latest = found.pop("latest")
    request.session[_LOOKED_AT] = {
        "name": name,
        "seal": seal,
        "found": found,
        "latest": latest.isoformat() if latest else None,
    }


@_for_keeper
def confirm(request: UserRequest) -> HttpResponse:
    """Show what the backup holds and what it would replace; with password and word, put it in place."""
    found = _found(request)
    if found is None:
        messages.warning(request, _("There is no backup to put back. Choose the file once more."))
        return redirect("restore")
    form = RestoreForm(request.user, request.POST if request.method == "POST" else None)
    status = 200
    if request.method == "POST":
        if throttle.seconds_to_wait(request.user.username, request.META.get("REMOTE_ADDR", "")):
            form.add_error(None, _("Too many wrong passwords. Wait a minute and try again."))
            status = HTTPStatus.TOO_MANY_REQUESTS
        elif form.is_valid():
            throttle.forget_tries(request.user.username, request.META.get("REMOTE_ADDR", ""))
            return _put_back(request, found)
    context = {
        "form": form,
        "found": found,
        "made": parse_datetime(found.backup.made),
        "columns": (found.holdings, holdings.of_studio()),
        "erased": len(erased_marks.among(found.backup.rows_of(Client), erased_marks.kept())),
    }
    return render(request, "backups/studio_restore_confirm.html", context, status=status)


def _found(request: UserRequest) -> _LookedAt | None:
    """Return the backup that this login has looked at, unless another has come into its place."""
    said = request.session.get(_LOOKED_AT)
    if said is None:
        return None
    path = pending.waiting(data_dir(), said["seal"])
    if path is None:
        return None
    latest = parse_datetime(said["latest"] or "")
    found = Checked(**said["found"] | {"latest": latest, "differing": tuple(said["found"]["differing"])})
    backup = read_backup(path, said["name"])
    return _LookedAt(said["name"], backup, found, holdings.of_backup(backup, found))


def _put_back(request: UserRequest, found: _LookedAt) -> HttpResponse:
    name = request.user.username
    try:
        done = put_back(found.backup, found.found, data_dir())
    except TenterError as error:
        messages.error(request, f"{error}.")
        return redirect("restore")
    pending.drop(data_dir())
    logout(request)
    return _told(request, name, found, done)


def _told(request: UserRequest, name: str, found: _LookedAt, done: Restored) -> HttpResponse:
    known = get_user_model().objects.filter(username=name).first()
    audit.note(known, Action.RESTORED, Path(done.safety_copy or "").name)
    context = {"done": done, "found": found, "counted": _counted(found, done)}
    return render(request, "backups/studio_restored.html", context)


def _counted(found: _LookedAt, done: Restored) -> str:
    """Return in a sentence what was put back, and of which moment."""
    made = parse_datetime(found.backup.made)
    entries, photographs = done.entries, found.holdings.files
    of_sittings = ngettext("%(count)s sitting", "%(count)s sittings", done.sittings)
    with_entries = ngettext("with %(count)s entry", "with %(count)s entries", entries)
    and_photographs = ngettext("and %(count)s photograph", "and %(count)s photographs", photographs)
    return _("%(of_sittings)s %(with_entries)s %(and_photographs)s, from the backup of %(moment)s.") % {
        "of_sittings": of_sittings % {"count": done.sittings},
        "with_entries": with_entries % {"count": entries},
        "and_photographs": and_photographs % {"count": photographs},
        "moment": date_format(localtime(made), "DATETIME_FORMAT") if made else "",
    }


@_for_keeper
@require_POST
def leave(request: UserRequest) -> HttpResponse:
    """Let the backup go that was looked at."""
    request.session.pop(_LOOKED_AT, None)
    pending.drop(data_dir())
    messages.success(request, _("Nothing was changed."))
    return redirect("studio")
