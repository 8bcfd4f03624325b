"""The recovery sheet: a page to print, with what to keep and where, and room to write a passphrase in by hand.

It never holds a password or passphrase: a printer's memory and a folder of printouts are no place for one.
"""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.web.keys.photo_key_views import for_opener
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_key_note, photo_keys
from tenter.web.sealing.daily_note import read_daily
from tenter.web.server.data_dir import data_dir

_SHORT = 8  # characters of the key's name that are printed: enough to tell two sheets apart


@require_safe
@never_cache
@for_opener
def recovery(request: UserRequest) -> HttpResponse:
    """Show the sheet, for whoever opened the studio on this machine."""
    note = photo_key_note.read_note()
    context = {
        "today": timezone.localdate(),
        "address": request.build_absolute_uri("/"),
        "data": data_dir(),
        "keeper": photo_keys.keeper(),
        "key_name": note.id[:_SHORT] if note else "",
        "daily": read_daily(),
    }
    return render(request, "daily/recovery.html", context)
