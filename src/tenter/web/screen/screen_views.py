"""The client's own screen: for whoever knows its address, read-only, kept up to date by an event stream.

The stream carries a count and nothing else; the page fetches itself again when it changes.
"""

import asyncio
from collections.abc import AsyncIterator
from datetime import datetime
from http import HTTPStatus
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from tenter.consultation.findings.verdict import PhaseMissing
from tenter.language import translated
from tenter.report.on_screen import told_back
from tenter.web.models import Sitting
from tenter.web.rules import access
from tenter.web.rules.client_language import in_clients_language
from tenter.web.screen import second_screen
from tenter.web.store import screen_link, store, turns

_LOOKS_EVERY = 1.0  # seconds; one small query each time
_SAYS_SO_EVERY, _LIVES = 15, 900  # looks: a sign of life, and the end of one stream, after which the page asks anew


@login_not_required
@require_safe
@never_cache
def screen(request: HttpRequest, token: str) -> HttpResponse:
    """Show the client's screen: calm before the reveal, the sitting told back after it."""
    row = access.sitting_by_token(screen_link.token_in(token))
    with in_clients_language(row.client):
        if screen_link.has_ended(row, token):
            return render(request, "screen/screen_ended.html", status=HTTPStatus.GONE)
        return _shown(request, row, token)


def _shown(request: HttpRequest, row: Sitting, token: str) -> HttpResponse:
    context: dict[str, object] = {"token": token, "version": version(row.pk), "words": second_screen.goes_by_words(row)}
    context["labels"] = translated(told_back.ScreenLabels())
    with store.load(row) as live:
        if row.revealed_at is not None:
            try:
                told = second_screen.revealed_screen(row, live)
                return render(request, "screen/screen_told.html", {**context, "told": told})
            except PhaseMissing:
                pass  # entries were undone since: there is nothing to tell any more
        return render(request, "screen/screen_calm.html", {**context, "calm": second_screen.calm(row, live)})


@login_not_required
@require_safe
@never_cache
async def events(_request: HttpRequest, token: str) -> StreamingHttpResponse:
    """Stream the version of the client's screen, each time it changes; `Http404` once the link has ended."""
    row = await access.asitting_by_token(screen_link.token_in(token))
    if screen_link.has_ended(row, token):
        raise Http404
    return StreamingHttpResponse(
        changes(row.pk, row.token), content_type="text/event-stream", headers={"X-Accel-Buffering": "no"}
    )


async def changes(pk: int, token: str) -> AsyncIterator[str]:
    """Yield a server-sent event for each new version of a sitting's screen, the present one first.

    It ends with the link: when another token was made, or the sitting is gone.
    """
    last = ""
    for look in range(_LIVES):
        seen = await _seen(pk).filter(token=token).afirst()
        if seen is None:  # erased meanwhile, or another link was made
            return
        if (now := _version(seen)) != last:
            yield f"event: change\ndata: {now}\n\n"
            last = now
        elif look % _SAYS_SO_EVERY == 0:
            yield ": still here\n\n"
        await asyncio.sleep(_LOOKS_EVERY)


def version(pk: int) -> str:
    """Return what changes whenever the screen does."""
    return _version(_seen(pk).get())


def _seen(pk: int) -> "QuerySet[Any, tuple[int, datetime | None]]":
    return turns.counting_query(pk).values_list("happened", "revealed_at")


def _version(seen: tuple[int, object]) -> str:
    happened, revealed_at = seen
    return f"{happened}{'b' if revealed_at else 'a'}"
