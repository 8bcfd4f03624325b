"""The page of the daily backup, for whoever opened the studio here: its folder, and how the last one went."""

from http import HTTPStatus

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from tenter.report.words.wording import sentence
from tenter.web.daily import daily_backup
from tenter.web.daily.forms import FolderAndPassphraseForm, FolderForm
from tenter.web.keys.photo_key_views import for_opener
from tenter.web.rules import audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import passphrase, photo_keys
from tenter.web.sealing.daily_note import change_daily, read_daily, seal_daily_to
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.sealing.photo_keys import Locked


@never_cache
@for_opener
def daily(request: UserRequest) -> HttpResponse:
    """Show the daily backup, and take the folder that it goes to."""
    note = read_daily()
    kind = FolderForm if note.has_key or passphrase.GIVEN else FolderAndPassphraseForm
    chosen = request.GET.get("folder") or note.folder
    form = kind(request.POST if request.method == "POST" else None, initial={"folder": chosen})
    if request.method == "POST" and form.is_valid():
        try:
            _set_up(form)
        except Locked as error:
            form.add_error(None, f"{sentence(str(error))}.")
        else:
            audit.note(request.user, Action.DAILY_BACKUP_SET)
            return _write(request)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, "daily/daily.html", {"form": form, "daily": note}, status=status)


def _set_up(form: FolderForm) -> None:
    """Keep the folder, and a public key where there is none yet; raises `Locked` for a wrong or short passphrase."""
    if not read_daily().has_key:
        said = form.cleaned_data.get("passphrase")
        if said:
            photo_keys.require_long(said)
            photo_keys.require_own(said)
        seal_daily_to(Passphrase(said) if said else passphrase.GIVEN)
    change_daily(folder=form.cleaned_data["folder"], failed="", failed_at="")


@require_POST
@for_opener
def write(request: UserRequest) -> HttpResponse:
    """Write a backup to the folder now."""
    return _write(request)


def _write(request: UserRequest) -> HttpResponse:
    if daily_backup.write_daily_now():
        audit.note(request.user, Action.BACKED_UP)
        messages.success(request, _("A backup was written and sealed: %(file)s.") % {"file": read_daily().last_file})
    else:
        messages.error(request, _("No backup was written. %(why)s") % {"why": read_daily().failed})
    return redirect("daily-backup")


@require_POST
@for_opener
def stop(request: UserRequest) -> HttpResponse:
    """Write no more of them; those that were written stay."""
    change_daily(folder="", failed="", failed_at="")
    audit.note(request.user, Action.DAILY_BACKUP_STOPPED)
    messages.success(request, _("No daily backup is written any more. Those that were written are kept."))
    return redirect("daily-backup")
