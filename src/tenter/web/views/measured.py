"""What the pages of all that is measured in the background share: how far it is, what came of it, its picture."""

from collections.abc import Callable
from typing import Protocol, TypeVar

from django.http import Http404, HttpResponse, JsonResponse

from tenter.errors import TenterError
from tenter.photo.keeping import media_type, thumbnail
from tenter.web import pictures
from tenter.web.models import Picture

Result = TypeVar("Result")


class Measured(Protocol):
    """A row that a worker measures."""

    state: str
    progress: int
    problem: str

    @property
    def waits(self) -> bool: ...


Row = TypeVar("Row", bound=Measured)


def progress(row: Measured) -> JsonResponse:
    """Say how far it is."""
    return JsonResponse({"state": row.state, "progress": row.progress, "waits": row.waits})


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


def whole(row: Picture) -> HttpResponse:
    """Give a kept picture, opened in memory."""
    return answer(lambda: pictures.opened(row))


def small(row: Picture) -> HttpResponse:
    """Give a small one, for lists."""
    return answer(lambda: thumbnail(pictures.opened(row)))


def answer(opened: Callable[[], bytes]) -> HttpResponse:
    """Give a picture that no cache keeps; 404 where it cannot be opened."""
    try:
        content = opened()
    except TenterError:
        raise Http404 from None  # the page beside it says why
    headers = {"Cache-Control": "no-store", "Content-Disposition": "inline", "X-Content-Type-Options": "nosniff"}
    return HttpResponse(content, content_type=media_type(content), headers=headers)
