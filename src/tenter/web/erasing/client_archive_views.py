"""Everything about one client as one file, for the client's owner; and such a file taken in again."""

from http import HTTPStatus

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from tenter.consultation.client.consent import Purpose, asked_for
from tenter.errors import TenterError
from tenter.language import one_of
from tenter.report.words.wording import sentence
from tenter.web.archives import client_archive, client_archive_back
from tenter.web.archives.client_archive_form import ArchiveForm
from tenter.web.archives.client_archive_reading import read_archive
from tenter.web.erasing import client_erasing
from tenter.web.models import Client
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sealing import photo_keys


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def archive(request: UserRequest, pk: int) -> HttpResponse:
    """Say what is in a client's archive, and write it; not while a reading is still hidden from the owner."""
    client = access.owned_client(request.user, pk)
    apart = client.sittings.count() > access.sittings(request.user).filter(client=client).count()
    apart = apart or access.reads_blind(request.user, client)
    if request.method == "POST" and not apart:
        file = client_archive.archive_of(client)
        audit.note(request.user, Action.CLIENT_EXPORTED, client)
        named = content_disposition_header(as_attachment=True, filename=file.name)
        return HttpResponse(file.content, content_type=file.media_type, headers={"Content-Disposition": str(named)})
    context = {
        "client": client,
        "apart": apart,
        "not_for": one_of(_not_for(client)),
        "counted": client_erasing.counted_with(client),
        "locked": photo_keys.problem() if client.photographs.exists() else "",
    }
    status = HTTPStatus.CONFLICT if request.method == "POST" else HTTPStatus.OK
    return render(request, "erasing/person_archive.html", context, status=status)


def _not_for(client: Client) -> list[str]:
    """Return what a file that has left Tenter could be used for, and what the client does not agree to."""
    able = (Purpose.PUBLISHED, Purpose.TRAINING)
    return [asked_for(one).named for one in able if not consents.may(client, one)]


@access.for_owner
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def take_in(request: UserRequest) -> HttpResponse:
    """Take a client in again from an archive."""
    form = ArchiveForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        try:
            client = client_archive_back.take_in_client(read_archive(file.read(), file.name), request.user, file.name)
        except TenterError as error:
            form.add_error("file", f"{sentence(str(error))}.")
        else:
            audit.note(request.user, Action.CLIENT_TAKEN_IN, client)
            messages.success(request, _("The client is imported, with everything that the file held."))
            return redirect("person", client.pk)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.is_bound else HTTPStatus.OK
    return render(request, "erasing/person_take_in.html", {"form": form}, status=status)
