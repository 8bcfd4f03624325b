"""The bench: the next two cloths, one key to answer, and every entry written down before the screen changes."""

import secrets
from dataclasses import asdict
from http import HTTPStatus
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from tenter.consultation.flags import Flag, Sign
from tenter.consultation.judgements import Source, View
from tenter.errors import TenterError
from tenter.web import access, store
from tenter.web.bench_entry import MovedOn, enter
from tenter.web.bench_state import BenchState, bench_state
from tenter.web.bench_stream import event_numbers
from tenter.web.bench_words import STRENGTHS
from tenter.web.models import Sitting

_SIGN_KEYS = "qwertyuiopasdfgh"
_WHO = ((Source.ANALYST, "Analyst", "8"), (Source.CLIENT, "Client", "9"), (Source.THIRD, "Third person", "0"))
_EQUAL = (
    ("nothing-seen", "Nothing seen", "n ArrowDown . b"),
    ("both-good", "Both good", "g"),
    ("both-wrong", "Both wrong", "w"),
)
_LEFT_KEYS = ("a ArrowLeft PageUp", "s Shift+ArrowLeft", "d")
_RIGHT_KEYS = ("j ArrowRight PageDown", "k Shift+ArrowRight", "l")
_SUITS = (("works", "Works", "g 1"), ("tolerable", "Tolerable", "n 2"), ("fails", "Fails", "w 3"))
REASONS = ("wrong cloth was lifted", "the light changed", "the client moved or spoke", "the key was wrong")


@never_cache
@require_GET
def bench(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the bench, with the next cloths or those that the address names."""
    row = access.own_sitting(request.user, pk)
    return _page(request, row, request.GET.get("cloths", "").split())


@never_cache
@require_GET
def state(request: HttpRequest, pk: int) -> HttpResponse:
    """Return the bench as a document."""
    row = access.own_sitting(request.user, pk)
    try:
        return JsonResponse(_document(request, row, request.GET.get("cloths", "").split()))
    except TenterError as error:
        return JsonResponse({"problem": str(error)}, status=HTTPStatus.UNPROCESSABLE_ENTITY)


@never_cache
@require_POST
def entry(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down what the bench sent, and answer with the bench as it is then."""
    row = access.own_sitting(request.user, pk)
    wants_document = request.headers.get("Accept", "").startswith("application/json")
    try:
        event = enter(row, request.POST.dict(), timezone.now())
    except TenterError as error:
        status = HTTPStatus.CONFLICT if isinstance(error, MovedOn) else HTTPStatus.UNPROCESSABLE_ENTITY
        if not wants_document:
            return _page(request, row, (), str(error), status)
        now = _document(request, row) if status is HTTPStatus.CONFLICT else {}
        return JsonResponse({**now, "problem": str(error)}, status=status)
    if not wants_document:
        return redirect("bench", row.pk)
    moved = event is not None and request.POST.get("seen") not in (None, "", str(event.number - 1))
    return JsonResponse({**_document(request, row), "saved": True, "moved": moved})


@never_cache
@require_GET
def events(request: HttpRequest, pk: int) -> StreamingHttpResponse:
    """Tell the page whenever the sitting has moved on."""
    row = access.own_sitting(request.user, pk)
    return StreamingHttpResponse(event_numbers(row.pk), content_type="text/event-stream")


def _page(request: HttpRequest, row: Sitting, chosen: Any, problem: str = "", status: int = 200) -> HttpResponse:
    with store.load(row) as live:
        try:
            now = bench_state(live, chosen)
        except TenterError as error:
            now, problem, status = bench_state(live), str(error), HTTPStatus.UNPROCESSABLE_ENTITY
    return render(request, "tenter/bench.html", {**_context(request, row, now), "problem": problem}, status=status)


def _document(request: HttpRequest, row: Sitting, chosen: Any = ()) -> dict[str, object]:
    with store.load(row) as live:
        now = bench_state(live, chosen)
    stage = render_to_string("tenter/bench_stage.html", _context(request, row, now), request)
    return {**asdict(now), "stage": stage}


def _context(request: HttpRequest, row: Sitting, now: BenchState) -> dict[str, object]:
    """Return what the stage is drawn from; every key stands here or beside its button in the template, once."""
    columns = list(zip(STRENGTHS.items(), _LEFT_KEYS, _RIGHT_KEYS, strict=True))
    return {
        "sitting": row,
        "state": now,
        "key": secrets.token_hex(16),
        "strengths": columns,
        "equal": _EQUAL,
        "suits": _SUITS,
        "who": _WHO,
        "split": request.GET.get("view") == View.SPLIT,
        "flags": [(flag, flag.replace("-", " "), place) for place, flag in enumerate(Flag, start=1)],
        "signs": [(sign, sign.replace("-", " "), key) for sign, key in zip(Sign, _SIGN_KEYS, strict=True)],
        "reasons": list(enumerate(REASONS, start=1)),
    }
