"""Pictures of the incoming folder, offered on a client's photograph page and taken in there."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from tenter.consultation.client.consent import Purpose
from tenter.errors import TenterError
from tenter.language import in_a_row
from tenter.photo.files.keeping import thumbnail
from tenter.report.words.wording import sentence
from tenter.web.incoming import folder_contents, offers
from tenter.web.models import Client, Photograph, Sitting
from tenter.web.papers import photo_together
from tenter.web.photographs.card_forms import CardForm, card_within, last_card
from tenter.web.photographs.kept_photograph import form_of_shot, keep_photograph
from tenter.web.rules import access, consents
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sent.row_numbers import row_number

_VERSION_DIGITS = 16  # of a hash that is only ever compared with the one before


@dataclass(frozen=True, slots=True)
class _TakenIn:
    """What became of pictures that were to be taken in: the rows, and what went wrong, in sentences."""

    rows: tuple[Photograph, ...]
    faults: tuple[str, ...]


def offered(request: UserRequest, client: Client) -> dict[str, object]:
    """Return what a client's photograph page shows of the incoming folder; nothing where none is named."""
    found = access.sittings(request.user).filter(client=client)
    sitting = _named(found, request.GET.get("sitting", "")) or found.filter(ended=None).first()
    incoming = offers.incoming_offer(request.user, sitting)
    if incoming is None:
        return {}
    card = last_card(client.owner)
    return {
        "incoming": incoming,
        "incoming_sitting": sitting,
        "incoming_card": CardForm(initial=card, auto_id="incoming_%s"),
        "incoming_beside": card_within(str(card["chart"])),
    }


def _named(found: QuerySet[Sitting], number: str) -> Sitting | None:
    pk = row_number(number)
    return None if pk is None else found.filter(pk=pk).first()


def version_of(rows: Iterable[Photograph], shown: Mapping[str, object]) -> str:
    """Return what changes whenever the page has another photograph to show or to offer. shown: as `offered` says it."""
    incoming = shown.get("incoming")
    said = [f"{row.pk} {row.state}" for row in rows]
    said += [incoming.version] if isinstance(incoming, offers.IncomingOffer) else []
    return hashlib.sha256("\n".join(said).encode()).hexdigest()[:_VERSION_DIGITS]


@require_safe
@never_cache
def latest(request: UserRequest, pk: int) -> JsonResponse:
    """Return the version of a client's photograph page, so that what comes from a phone appears there by itself."""
    client = access.client(request.user, pk)
    rows = photo_together.numbered(access.photographs(request.user).filter(client=client))
    coming = offered(request, client)
    return JsonResponse({"version": version_of(rows, coming), "said": _said(rows, coming)})


def _said(rows: Sequence[Photograph], shown: Mapping[str, object]) -> str:
    """Return a line for the bench: what is being measured, and what waits in the folder."""
    incoming = shown.get("incoming")
    waiting = sum(row.waits for row in rows)
    ready = len(incoming.ready) if isinstance(incoming, offers.IncomingOffer) else 0
    measured = ngettext("%(count)s photograph being measured", "%(count)s photographs being measured", waiting)
    coming = ngettext("%(count)s picture in the incoming folder", "%(count)s pictures in the incoming folder", ready)
    return in_a_row([said % {"count": count} for said, count in ((measured, waiting), (coming, ready)) if count])


@require_safe
@never_cache
def small(request: UserRequest) -> HttpResponse:
    """Return a picture of the folder, small, so that it is seen whose it is; nothing of it is kept.

    Raises `Http404` where there is none or it is no picture.
    """
    client = access.client(request.user, row_number(request.GET.get("client", "")) or 0)
    consents.require(client, Purpose.MEASURE)
    folder = offers.incoming_folder_of(request.user)
    if folder is None:
        raise Http404
    try:
        content = folder_contents.read_picture(Path(folder.path), request.GET.get("of", ""))
        return HttpResponse(thumbnail(content), content_type="image/jpeg")
    except TenterError:
        raise Http404 from None


@require_POST
def take(request: UserRequest, pk: int) -> HttpResponse:
    """Take the ticked pictures of the folder in for a client, as far as the client agrees to photographs."""
    client = access.client(request.user, pk)
    consents.refuse_if_ended(client)
    consents.require(client, Purpose.MEASURE)
    sitting = _named(access.sittings(request.user).filter(client=client), request.POST.get("sitting", ""))
    form = CardForm(request.POST)
    keys = request.POST.getlist("picture")
    if not keys:
        messages.warning(request, _("Nothing was taken in: tick a picture first."))
    elif form.is_valid():
        _say(request, _take_in(request, client, sitting, keys, form.cleaned_data))
    else:
        messages.warning(request, _("Nothing was taken in: say which card stands beside the face."))
    return redirect("photographs", client.pk)


def _say(request: UserRequest, taken: _TakenIn) -> None:
    if count := len(taken.rows):
        said = ngettext("%(count)s photograph taken in.", "%(count)s photographs taken in.", count)
        messages.success(request, said % {"count": count})
    for fault in taken.faults:
        messages.warning(request, fault)


def _take_in(
    request: UserRequest, client: Client, sitting: Sitting | None, keys: Sequence[str], card: Mapping[str, object]
) -> _TakenIn:
    """Take pictures of the folder in, each through the photograph page's own form; whatever fails stays in the folder.

    card: what stands beside the face, as `CardForm` asks for it.
    """
    folder = offers.incoming_folder_of(request.user)
    if folder is None:
        return _TakenIn((), (_("No incoming folder is named under Studio. Nothing was taken in."),))
    rows, faults = [], []
    for key in dict.fromkeys(keys):
        try:
            row = _one(request, client, sitting, Path(folder.path), key, card)
            rows.append(row)
            offers.leave_behind(folder, key)
        except TenterError as error:
            faults.append(f"{sentence(str(error)).rstrip('.')}.")
    return _TakenIn(tuple(rows), tuple(faults))


def _one(
    request: UserRequest,
    client: Client,
    sitting: Sitting | None,
    folder: Path,
    key: str,
    card: Mapping[str, object],
) -> Photograph:
    """Return the row of a picture that was taken in; raises `TenterError` saying why it was not."""
    form = form_of_shot(request.user, client, sitting, folder_contents.read_picture(folder, key), card)
    row = keep_photograph(request, client, form) if form.is_valid() else None
    if row is None:
        raise TenterError(" ".join(str(fault) for faults in form.errors.values() for fault in faults))
    return row
