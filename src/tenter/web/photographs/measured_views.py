"""What the pages of all that is measured in the background share: how far it is, what came of it, its picture.

A page finds its row by a function of `access.py`, which takes the user and the row's number. The views of each kind are
made of that function here.
"""

from collections.abc import Callable
from typing import Any, TypeVar

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import Http404, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.errors import TenterError
from tenter.photo.files.keeping import media_type, thumbnail
from tenter.web.models import Measured, Picture
from tenter.web.pictures import pictures, queue
from tenter.web.rules import access, audit, consents
from tenter.web.rules.audit import Action
from tenter.web.rules.logged_in import UserRequest
from tenter.web.sweeping import photo_sweep

Result = TypeVar("Result")
Row = TypeVar("Row", bound=Measured)
Found = TypeVar("Found", bound=Picture)
RequestView = Callable[[UserRequest, int], HttpResponse]


# -- views, each made of how a row is found ----------------------------------------------------------------------------


def state_of(find: Callable[[User, int], Measured]) -> RequestView:
    """Return the view that says how far a row is."""

    @require_safe
    @never_cache
    def state(request: UserRequest, pk: int) -> HttpResponse:
        row = find(request.user, pk)
        return JsonResponse({"state": row.state, "progress": row.progress, "waits": row.waits})

    return state


def picture_of(find: Callable[[User, int], Picture]) -> RequestView:
    """Return the view that gives a row's picture, opened in memory."""
    return shown(find, pictures.opened_picture)


def small_of(find: Callable[[User, int], Picture]) -> RequestView:
    """Return the view that gives a small picture of a row, for lists."""
    return shown(find, lambda row: thumbnail(pictures.opened_picture(row)))


def shown(find: Callable[[User, int], Found], opened: Callable[[Found], bytes]) -> RequestView:
    """Return the view that gives what is opened of a row, in memory; 404 where it cannot be opened."""

    @require_safe
    def picture(request: UserRequest, pk: int) -> HttpResponse:
        row = find(request.user, pk)
        try:
            content = opened(row)
        except TenterError:
            raise Http404 from None  # the page beside it says why
        return kept_by_no_cache(content)

    return picture


def kept_by_no_cache(content: bytes) -> HttpResponse:
    """Return an answer with a picture that no browser keeps."""
    headers = {"Cache-Control": "no-store", "Content-Disposition": "inline", "X-Content-Type-Options": "nosniff"}
    return HttpResponse(content, content_type=media_type(content), headers=headers)


# -- what a page says, and what it changes -----------------------------------------------------------------------------


def outcome(row: Row, result_of: Callable[[Row], Result | None]) -> tuple[Result | None, str]:
    """Return what was measured, if anything was, and what went wrong, if anything did."""
    if row.waits:
        return None, row.problem
    if isinstance(row, Picture) and row.past_its_day:
        return None, str(pictures.PastItsDay())
    try:
        return result_of(row), row.problem
    except TenterError as error:
        return None, str(error)


def changed(request: UserRequest, row: Measured, action: Action, **fields: Any) -> None:
    """Write fields of a row, with a line in the log."""
    type(row)._default_manager.filter(pk=row.pk).update(**fields)
    audit.note(request.user, action, row)


def anew(request: UserRequest, row: Measured, action: Action = Action.PHOTOGRAPH_CORRECTED, **fields: Any) -> None:
    """Write what a person has put right of a row, and have it measured again, unless the client agrees no more."""
    if row.shown_client is not None:
        consents.refuse_if_ended(row.shown_client)
    changed(request, row, action, **fields)
    queue.put_in_line(row)


def erased(request: UserRequest, row: Picture, said: str = "") -> None:
    """Erase a picture that the user may erase, with everything that was measured in it, at once; else answer 404.

    said: what the page then says, where it is more than that the photograph is erased.
    """
    photo_sweep.erase_pictures([access.to_erase(request.user, row)], request.user)
    messages.success(request, said or _("The photograph is erased."))
