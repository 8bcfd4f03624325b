"""The bench: the next two cloths, one key to answer, and every entry written down before the screen changes."""

import secrets
from dataclasses import asdict
from http import HTTPStatus

from django.http import HttpResponse, JsonResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext, gettext_lazy, pgettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from tenter.consultation.cloths.said_cloths import cloths_said
from tenter.consultation.words.answers import Source, View
from tenter.consultation.words.flags import Flag, Sign
from tenter.consultation.words.terms import flag, seen_sign
from tenter.errors import TenterError
from tenter.web.bench.bench_clock import bench_clock
from tenter.web.bench.bench_state import BenchState, Prospect, bench_state, prospect
from tenter.web.bench.bench_stream import event_numbers
from tenter.web.bench.bench_words import REASONS, STRENGTHS
from tenter.web.bench.other_faces import faces
from tenter.web.bench.stage import stage_document, told, write_from_page
from tenter.web.models import Sitting
from tenter.web.rules import access
from tenter.web.rules.care import taken_care
from tenter.web.rules.logged_in import UserRequest
from tenter.web.store import store, turns

_SIGN_KEYS = "qwertyuiopasdfgh"
_NOT_THE_CLIENTS = gettext_lazy("Client answers, not evidence")
_NOT_A_THIRDS = gettext_lazy("Third person answers, not evidence")
# Who answers: the word that is kept, the button's, its keys, what they do, and what is noted beside the cloths.
WHO = (
    (Source.ANALYST, gettext_lazy("Consultant"), "8", gettext_lazy("Consultant answers"), ""),
    (Source.CLIENT, gettext_lazy("Client"), "9", gettext_lazy("Client answers"), _NOT_THE_CLIENTS),
    (Source.THIRD, gettext_lazy("Third person"), "0", gettext_lazy("Third person answers"), _NOT_A_THIRDS),
)
EQUAL = (
    ("nothing-seen", gettext_lazy("Nothing seen"), "n ArrowDown . b"),
    ("both-good", gettext_lazy("Both good"), "g"),
    ("both-wrong", gettext_lazy("Both wrong"), "w"),
)
LEFT_KEYS = ("a ArrowLeft PageUp", "s Shift+ArrowLeft", "d")
RIGHT_KEYS = ("j ArrowRight PageDown", "k Shift+ArrowRight", "l")
_SUITS = (
    ("works", pgettext_lazy("a cloth on its own", "Works"), "g 1"),
    ("tolerable", pgettext_lazy("a cloth on its own", "Tolerable"), "n 2"),
    ("fails", pgettext_lazy("a cloth on its own", "Fails"), "w 3"),
)


@never_cache
@require_GET
def bench(request: UserRequest, pk: int) -> HttpResponse:
    """Show the bench, with the next cloths or those that the address names."""
    row = access.own_sitting(request.user, pk)
    return _page(request, row)


@never_cache
@require_GET
def state(request: UserRequest, pk: int) -> HttpResponse:
    """Return the bench as a document."""
    return told(request, pk, _document)


@never_cache
@require_POST
def entry(request: UserRequest, pk: int) -> HttpResponse:
    """Write down what the bench sent, and answer with the bench as it is then."""
    return write_from_page(request, pk, "bench", _page, _document)


@never_cache
@require_GET
def events(request: UserRequest, pk: int) -> StreamingHttpResponse:
    """Tell the page whenever the sitting has moved on."""
    row = access.own_sitting(request.user, pk)
    return StreamingHttpResponse(event_numbers(row.pk), content_type="text/event-stream")


@never_cache
@require_GET
def ahead(request: UserRequest, pk: int) -> JsonResponse:
    """Return whether to go on, and the pairs likely to come next; asked for once the cloths are on the screen."""
    row = access.own_sitting(request.user, pk)
    with store.load(row) as live:
        return JsonResponse({"version": len(live.events) + row.turn, **asdict(_prospect(row))})


def _page(request: UserRequest, row: Sitting, problem: str = "", status: int = 200) -> HttpResponse:
    try:
        now = _look(row, request.GET.get("cloths"))
    except TenterError as error:
        now, problem, status = _look(row), str(error), HTTPStatus.UNPROCESSABLE_ENTITY
    context = {**_context(request, row, now), "problem": problem, "whole": True, "prospect": _prospect(row)}
    return render(request, "bench/bench.html", context, status=status)


def _document(request: UserRequest, row: Sitting) -> dict[str, object]:
    now = _look(row, request.GET.get("cloths"))
    return stage_document(request, now, "bench/bench_stage.html", _context(request, row, now))


def _look(row: Sitting, named: str | None = None) -> BenchState:
    """Return the bench. The cloths that an address names are held from now on; it may name none, for the plan's."""
    with store.load(row) as live:
        chosen = row.held.split() if named is None else cloths_said(live.kit, named)
        now = bench_state(live, chosen, ended=row.closed is not None)
    if named is not None and not now.ended:
        turns.hold_sides(row, chosen)
    return now


def _prospect(row: Sitting) -> Prospect:
    with store.load(row) as live:
        return Prospect() if row.closed else prospect(live, row.held.split())


def _context(request: UserRequest, row: Sitting, now: BenchState) -> dict[str, object]:
    """Return what the stage is drawn from; every key stands here or beside its button in the template, once."""
    columns = list(zip(STRENGTHS.items(), LEFT_KEYS, RIGHT_KEYS, strict=True))
    return {
        "sitting": row,
        "care": taken_care(row, store.kit_of(row.kit)),
        "state": now,
        "clock": bench_clock(row, timezone.now()),
        "faces": faces(row),
        "version": now.event + row.turn,
        "key": secrets.token_hex(16),
        "strengths": columns,
        "equal": EQUAL,
        "suits": _SUITS,
        "who": WHO,
        "named": request.GET.get("cloths", ""),
        "split": request.GET.get("view") == View.SPLIT,
        "flags": [(one, str(flag(one)), place) for place, one in enumerate(Flag, start=1)],
        "signs": [(one, str(seen_sign(one)), key) for one, key in zip(Sign, _SIGN_KEYS, strict=True)],
        "reasons": [(place, reason, gettext(reason)) for place, reason in enumerate(REASONS, start=1)],
    }
