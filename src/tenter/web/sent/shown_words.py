"""Whether the words that an answer is about are still those that are asked."""

from django.contrib import messages
from django.http import HttpRequest
from django.utils.translation import gettext as _


def showed_other_words(request: HttpRequest, now: str) -> bool:
    """Whether a page that sends a client's answer showed other words than are asked now, and say so if it did.

    The language or the wording may have changed while the page was open, and only words that were read are kept. A page
    says in `shown` which words it showed; one that does not is believed. now: which are asked now.
    """
    other = request.POST.get("shown", now) != now
    if other:
        said = _("Nothing was written down, because the words have changed since they were shown. Read them again.")
        messages.warning(request, said)
    return other
