"""Photographs that come in: sealed, written down and put in line, whatever they show."""

from collections.abc import Iterable

from django.contrib import messages
from django.db import transaction
from django.forms import Form
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tenter.report.words.wording import sentence
from tenter.web.models import Picture
from tenter.web.pictures import pictures, queue
from tenter.web.rules import audit, photo_promise
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys


def sealed(form: Form, contents: Iterable[tuple[str, bytes]]) -> bool:
    """Keep pictures under their names; False where there is no key, and the form says so then."""
    try:
        for name, content in contents:
            pictures.keep_picture(name, content)
    except photo_keys.Locked as error:
        form.add_error(None, f"{sentence(str(error))}.")
        return False
    return True


def taken_in(request: UserRequest, form: Form, row: Picture, *, measured: bool = True) -> bool:
    """Keep a photograph and put it in line; False where there is no key, and the form says so then.

    measured: whether there is anything to measure in it; it is only kept otherwise.
    """
    if not sealed(form, [(row.name, form.cleaned_data["kept"])]):
        return False
    hold_new_to_consent(request, row)
    with transaction.atomic():
        row.save()
        audit.note(request.user, Action.PHOTOGRAPH_ADDED, row)
    for note in form.cleaned_data["notes"]:
        messages.warning(request, note)
    if measured:
        queue.put_in_line(row)
    return True


def hold_new_to_consent(request: UserRequest, row: Picture) -> None:
    """Let a new photograph go when the consent to keep it ends, and say so where that is before the promised day."""
    latest = photo_promise.within_consent(row.shown_client, row.deletes_on)
    if latest < row.deletes_on:
        row.deletes_on = latest
        said = _("It is deleted on %(day)s, because the consent to keep it ends then.")
        messages.info(request, said % {"day": date_format(latest, "DATE_FORMAT")})
