"""A paper as a PDF, shown beside the page that links to it."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _

from tenter.errors import TenterError


def shown_paper(
    request: HttpRequest, make: Callable[[], tuple[bytes, tuple[str, ...]]], name: str, page: str, row: int
) -> HttpResponse:
    """Return a paper, or the page again with the reason why there is none.

    make: returns the PDF, and what could not be drawn. name: of the file, in case it is saved. page, row: which view
    linked to it, by its name and the number of its row.
    """
    try:
        content, _notes = make()
    except TenterError as error:  # what draws PDFs is not installed, or what is to be drawn does not fit
        messages.warning(request, _("Nothing was written: %(why)s.") % {"why": error})
        return redirect(page, row)
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(content, content_type="application/pdf", headers=headers)
