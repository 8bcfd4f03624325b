"""A folder chosen on a page, for whoever opened the studio on this machine: the names of folders, and nothing else."""

import os
from pathlib import Path

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.web.folders.own_folders import Subfolders, named_folder, starting_folders, subfolders
from tenter.web.keys.photo_key_views import for_opener
from tenter.web.rules.logged_in import UserRequest

# What it is chosen for: the page that takes it, its field there, and what Tenter has to be allowed in it.
_WANTED = {
    "daily": ("daily-backup", "folder", os.W_OK | os.X_OK),
    "incoming": ("incoming-folder", "path", os.R_OK | os.X_OK),
}


@require_safe
@never_cache
@for_opener
def choose_folder(request: UserRequest) -> HttpResponse:
    """Show the folders in one that the address names, or those to begin with; `Http404` for an unknown purpose."""
    wanted = request.GET.get("for", "")
    if wanted not in _WANTED:
        raise Http404
    page, field, needed = _WANTED[wanted]
    said = request.GET.get("in", "")
    folder = named_folder(said)
    inside, problem = _inside(folder) if folder else (Subfolders(()), "")
    if said and folder is None:
        problem = _("That folder is not there any more. Plug in its disk, or choose another.")
    context = {
        "wanted": wanted,
        "back": reverse(page),
        "field": field,
        "folder": folder,
        "above": folder.parent if folder and folder.parent != folder else None,
        "inside": inside,
        "problem": problem,
        "allowed": folder is not None and os.access(folder, needed),
        "starting": starting_folders(Path.home()),
        "home": Path.home(),
    }
    return render(request, "folders/choose_folder.html", context)


def _inside(folder: Path) -> tuple[Subfolders, str]:
    try:
        return subfolders(folder), ""
    except OSError:
        return Subfolders(()), _("Tenter may not look into this folder.")
