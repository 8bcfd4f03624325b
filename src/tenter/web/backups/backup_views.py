"""Everything handed over as one file, for whoever opened the studio on this machine."""

import secrets

from django.contrib import messages
from django.http import Http404
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from tenter.errors import TenterError
from tenter.web.backups.backup import write_backup
from tenter.web.replays import catching_up
from tenter.web.rules import audit
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.server import temporary_files
from tenter.web.server.data_dir import data_dir
from tenter.web.server.sent_file import sent_once


@require_POST
def backup(request: UserRequest) -> HttpResponseBase:
    """Hand everything over as one file; to whoever opened the studio on this machine, and `Http404` to anybody else.

    Where photographs' files are missing, their names are shown first.
    """
    if not request.user.is_superuser:
        raise Http404
    path = temporary_files.folder_in(data_dir()) / f"backup-{secrets.token_hex(8)}.zip"
    try:
        made = write_backup(path, catching_up.A_FEW)
    except TenterError as error:
        messages.error(request, _("No backup was made: %(why)s.") % {"why": error})
        return redirect("studio")
    if made.lacking and "without" not in request.POST:
        path.unlink()
        return render(request, "backups/studio_backup_lacks.html", {"lacking": made.lacking})
    audit.note(request.user, Action.BACKED_UP)
    return sent_once(path, f"tenter-{timezone.localtime():%Y-%m-%d-%H%M}.zip", "application/zip")
